import { dirname, join, sep } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Finding } from '../finding/finding'
import type { SourceFiles } from './nodeLoader'
import type { TypeAnswer, TypeQuestion } from './typecheckWorker'
import type { Workshop } from './workshop'

export interface TypeChecker {
  /** Type errors of these files and all they import. */
  check(files: readonly string[]): Promise<readonly Finding[]>
  stop(): void
}

/**
 * Checks types beside the build, in a thread of its own: the TypeScript compiler takes a second to get going, and the
 * sheets need not wait for it. The thread stays for the next question, which then takes a fraction of that. Files found
 * good are remembered, so that a build of unchanged files does not start the thread at all.
 */
export function createTypeChecker({ root, memory }: Pick<Workshop, 'root' | 'memory'>): TypeChecker {
  let worker: Worker | undefined
  return {
    async check(files) {
      if (memory.recall('types', { root, files }) === GOOD) return []
      worker ??= startWorker()
      const { findings, stands } = await ask(worker, { root, files })
      if (findings.length === 0) memory.remember('types', { root, files }, sourceOf(stands), GOOD)
      return findings
    },
    stop() {
      void worker?.terminate()
      worker = undefined
    },
  }
}

const GOOD = 'good'

/** Our own declarations are left out: the program that is running is part of what is remembered in any case. */
function sourceOf(stands: readonly string[]): SourceFiles {
  const files = stands.filter((file) => !file.startsWith(OWN_FOLDER))
  const folders = files.filter((file) => !file.includes('/node_modules/')).map((file) => dirname(file))
  return { files: new Set(files), folders: new Set(folders), fathomed: true }
}

const OWN_FOLDER = dirname(__dirname).split(sep).join('/') + '/'

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
