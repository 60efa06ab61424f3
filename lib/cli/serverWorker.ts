import { parentPort, workerData } from 'node:worker_threads'
import { type PageServer, type Served, startServer } from './server'
import { UsageError } from './usage'

/** What the thread that serves is told; one of these at a time. */
export type ToServer =
  | { readonly put: string; readonly served: Served }
  | { readonly keepOnly: ReadonlySet<string> }
  | { readonly tell: string; readonly data: string }

export type FromServer = { readonly address: string } | { readonly refused: string; readonly remedy: string }

if (parentPort) void serve(parentPort)

async function serve(port: NonNullable<typeof parentPort>): Promise<void> {
  try {
    const server = await startServer(workerData as number)
    port.on('message', (message: ToServer) => obey(server, message))
    answer({ address: server.address })
  } catch (error) {
    if (!(error instanceof UsageError)) throw error
    answer({ refused: error.message, remedy: error.remedy })
  }
}

function answer(message: FromServer): void {
  // oxlint-disable-next-line unicorn/require-post-message-target-origin -- a thread, not a window
  parentPort!.postMessage(message)
}

function obey(server: PageServer, message: ToServer): void {
  if ('put' in message) server.put(message.put, message.served)
  else if ('keepOnly' in message) server.keepOnly(message.keepOnly)
  else server.tell(message.tell, message.data)
}
