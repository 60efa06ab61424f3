import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { PageServer, Served } from './server'
import type { FromServer, ToServer } from './serverWorker'
import { UsageError } from './usage'

/**
 * The server of `startServer` in a thread of its own, so that it answers while this one builds: what is put is in its
 * memory. Only what differs from what it has is sent there.
 *
 * @throws UsageError where the port is taken or not allowed
 */
export async function startServerThread(port: number): Promise<PageServer> {
  const worker = new Worker(join(__dirname, 'serverWorker.js'), { workerData: port })
  const answer = await firstWord(worker)
  if ('refused' in answer) {
    await worker.terminate()
    throw new UsageError(answer.refused, answer.remedy)
  }
  const known = new Map<string, Served>()
  // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread, not a window
  const send = (message: ToServer) => worker.postMessage(message)
  return {
    address: answer.address,
    put(path, served) {
      const before = known.get(path)
      if (before?.body === served.body && before.type === served.type && before.policy === served.policy) return
      known.set(path, served)
      send({ put: path, served })
    },
    keepOnly(paths) {
      for (const path of known.keys()) if (!paths.has(path)) known.delete(path)
      send({ keepOnly: paths })
    },
    tell: (tell, data) => send({ tell, data }),
    close: () => void worker.terminate(),
  }
}

function firstWord(worker: Worker): Promise<FromServer> {
  return new Promise((resolve, reject) => {
    worker.once('error', reject)
    worker.once('message', (answer: FromServer) => {
      // Later errors are nobody's to catch: without a server there is nothing to go on for.
      worker.off('error', reject)
      resolve(answer)
    })
  })
}
