import { createRequire } from 'node:module'
import { join } from 'node:path'
import { vi } from 'vitest'
import type { Run } from './command'

const load = createRequire(__filename)
const DIST = join(__dirname, '../../dist/cli')

/** Where a command listens until its process ends. */
const LISTENED: readonly (readonly [emitter: NodeJS.EventEmitter, event: string])[] = [
  [process, 'uncaughtException'],
  [process, 'unhandledRejection'],
  [process.stdout, 'error'],
]

/**
 * The built command run in this process, which saves the start of one: for tests of many commands in a row. Authors'
 * files are read anew by each, as in a new process.
 */
export function commandInProcess(): (folder: string, words: readonly string[]) => Promise<Run> {
  return async (folder, words) => {
    const { main } = load(join(DIST, 'main.js')) as typeof import('../../lib/cli/main')
    const { forgetFiles } = load(join(DIST, 'nodeLoader.js')) as typeof import('../../lib/cli/nodeLoader')
    const back = process.cwd()
    const said = { stdout: '', stderr: '' }
    const spies = (['stdout', 'stderr'] as const).map((name) =>
      vi.spyOn(process[name], 'write').mockImplementation((text) => {
        said[name] += String(text)
        return true
      }),
    )
    const listening = LISTENED.map(([emitter, event]) => ({ emitter, event, before: emitter.listeners(event) }))
    process.chdir(folder)
    try {
      return { code: await main(words), ...said }
    } finally {
      process.chdir(back)
      for (const spy of spies) spy.mockRestore()
      for (const { emitter, event, before } of listening) {
        for (const listener of emitter.listeners(event)) {
          if (!before.includes(listener)) emitter.off(event, listener as () => void)
        }
      }
      forgetFiles(Object.keys(load.cache).filter((file) => file.startsWith(folder)), folder)
    }
  }
}
