import type { Site } from './finding'

/**
 * Remembers where in the author's file a call was made, without paying for it: V8 takes the frames when the error is
 * made and only formats (and maps them back to TypeScript) when {@link resolveSite} asks.
 */
export interface CallSite {
  readonly trace: Error
}

const FRAMES = 16

export function callSite(): CallSite {
  const limit = Error.stackTraceLimit
  Error.stackTraceLimit = FRAMES
  const trace = new Error('call site')
  Error.stackTraceLimit = limit
  return { trace }
}

/** The first frame outside this package and outside Node, or undefined where there is none. */
export function resolveSite(site: CallSite | Error | undefined): Site | undefined {
  const stack = (site instanceof Error ? site : site?.trace)?.stack
  if (!stack) return undefined
  for (const line of stack.split('\n')) {
    const frame = /(?:^|[ (])((?:file:\/\/)?(?:\/|[A-Za-z]:[\\/])[^()]*):(\d+):(\d+)\)?$/.exec(line.trim())
    if (!frame) continue
    const file = frame[1]!.replace(/^file:\/\//, '')
    if (isOwn(file)) continue
    return { file, line: Number(frame[2]), column: Number(frame[3]) }
  }
  return undefined
}

/** `lib` when run from source, `dist` when installed. */
const OWN_ROOT = __dirname.replace(/finding$/, '')

function isOwn(file: string): boolean {
  return file.startsWith(OWN_ROOT) || file.includes('node_modules') || file.startsWith('node:')
}
