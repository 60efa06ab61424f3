import { createHash } from 'node:crypto'
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Finding } from '../finding/finding'
import type { TypeAnswer, TypeQuestion } from './typecheckWorker'

export interface TypeChecker {
  /** Type errors of these files and all they import. */
  check(files: readonly string[]): Promise<readonly Finding[]>
  stop(): void
}

/**
 * Checks types beside the build, in a thread of its own: the TypeScript compiler takes a second to get going, and the
 * sheets need not wait for it. The thread stays for the next question, which then takes a fraction of that. Files found
 * good are remembered in `.cache/`, so that a build of unchanged files does not start the thread at all.
 */
export function createTypeChecker(root: string): TypeChecker {
  const memory = join(root, '.cache', 'types.json')
  let worker: Worker | undefined
  return {
    async check(files) {
      if (isRemembered(memory, files)) return []
      worker ??= startWorker()
      const { findings, stands } = await ask(worker, { root, files })
      if (findings.length === 0) remember(memory, files, stands)
      return findings
    },
    stop() {
      void worker?.terminate()
      worker = undefined
    },
  }
}

function startWorker(): Worker {
  const worker = new Worker(join(__dirname, 'typecheckWorker.js'))
  worker.unref()
  return worker
}

function ask(worker: Worker, question: TypeQuestion): Promise<TypeAnswer> {
  return new Promise((resolve, reject) => {
    const settle =
      <T>(then: (value: T) => void) =>
      (value: T) => {
        worker.off('message', answered).off('error', failed)
        worker.unref()
        then(value)
      }
    const answered = settle(resolve)
    const failed = settle(reject)
    worker.ref()
    worker.on('message', answered).on('error', failed)
    // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread, not a window
    worker.postMessage(question)
  })
}

/** What a clean check stood on. Its own version is part of it, since the words authors use change with it. */
interface Memory {
  readonly own: string
  readonly files: readonly string[]
  /** Digest by file, of every file the compiler read outside its own library. */
  readonly digests: Readonly<Record<string, string>>
}

function isRemembered(memory: string, files: readonly string[]): boolean {
  try {
    const { own, files: before, digests } = JSON.parse(readFileSync(memory, 'utf8')) as Memory
    return (
      own === OWN &&
      files.every((file) => before.includes(file)) &&
      Object.keys(digests).every((file) => digests[file] === digest(file))
    )
  } catch {
    return false
  }
}

function remember(memory: string, files: readonly string[], stands: readonly string[]): void {
  try {
    const digests = Object.fromEntries(stands.map((file) => [file, digest(file)]))
    mkdirSync(dirname(memory), { recursive: true })
    writeFileSync(memory, JSON.stringify({ own: OWN, files, digests } satisfies Memory))
  } catch {
    // Only speed is lost where the project cannot be written to.
  }
}

const OWN = `${__dirname} ${process.version}`

function digest(file: string): string {
  return createHash('sha256').update(readFileSync(file)).digest('hex')
}
