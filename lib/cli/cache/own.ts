import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs'
import { dirname, extname, join } from 'node:path'
import { digest } from './store'

let known: string | undefined

/**
 * Tells this very program from every other: where it lies, the size and time of each file of its code, the versions of the
 * packages it stands on, and Node's.
 */
export function ownDigest(): string {
  return (known ??= digest(JSON.stringify([DIST, process.version, process.arch, filesOf(DIST), packages()])))
}

/** `dist`, or `lib` when run from source. */
const DIST = dirname(dirname(__dirname))

function filesOf(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name)
    if (entry.isDirectory()) return filesOf(path)
    if (!entry.name.endsWith(SOURCE)) return []
    const { size, mtimeMs } = statSync(path)
    return [`${path} ${size} ${mtimeMs}`]
  })
}

const SOURCE = extname(__filename)

function packages(): string[] {
  const { dependencies } = require('../../../package.json') as { dependencies: Record<string, string> }
  return Object.keys(dependencies).map((name) => manifestOf(name, DIST))
}

/** The text of a package's `package.json`, found as Node finds it, which its `exports` may hide from `require`. */
function manifestOf(name: string, from: string): string {
  const file = join(from, 'node_modules', name, 'package.json')
  if (existsSync(file)) return readFileSync(file, 'utf8')
  return from === dirname(from) ? `${name} is missing` : manifestOf(name, dirname(from))
}
