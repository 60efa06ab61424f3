import { createServer, type IncomingMessage, type ServerResponse } from 'node:http'
import type { AddressInfo } from 'node:net'
import { UsageError } from './usage'

/** Something that is served at one exact path. */
export interface Served {
  readonly type: string
  readonly body: string
  /** Its content security policy. */
  readonly policy?: string
}

export interface PageServer {
  /** `http://127.0.0.1:4072/` */
  readonly address: string
  /** Serves this at the path from now on. */
  put(path: string, served: Served): void
  /** Paths that nobody has put since they were listed here are gone. */
  keepOnly(paths: ReadonlySet<string>): void
  /** Sends an event to every page that listens at `/events`. */
  tell(event: string, data: string): void
  close(): void
}

/**
 * Serves what it was given, on the loopback address alone. A request is answered only when it asks, by GET or HEAD and
 * with a Host of this very server (which a page from elsewhere that had its name pointed here cannot send), for exactly
 * one of the paths that were put: no path is ever taken apart or looked up on the disk.
 *
 * @throws UsageError where the port is taken or not allowed
 */
export async function startServer(port: number): Promise<PageServer> {
  if (!Number.isInteger(port) || port > MOST_PORT) {
    throw new UsageError(`port ${port} is no port: they are whole numbers up to ${MOST_PORT}`, REMEDY)
  }
  const files = new Map<string, Served>()
  const listeners = new Set<ServerResponse>()
  const server = createServer((request, response) => answer(request, response, files, listeners))
  return new Promise((resolve, reject) => {
    server.on('error', (error: NodeJS.ErrnoException) => reject(portError(port, error)))
    server.listen({ host: LOOPBACK, port, exclusive: true }, () => {
      resolve({
        address: `http://${LOOPBACK}:${(server.address() as AddressInfo).port}/`,
        put: (path, served) => void files.set(path, served),
        keepOnly(paths) {
          for (const path of files.keys()) if (!paths.has(path)) files.delete(path)
        },
        tell(event, data) {
          for (const listener of listeners) {
            // A page that has not read for long asks for all of it when it comes back.
            if (listener.writableLength > MOST_UNREAD) listener.destroy()
            else listener.write(`event: ${event}\ndata: ${data}\n\n`)
          }
        },
        close() {
          server.close()
          server.closeAllConnections()
        },
      })
    })
  })
}

const LOOPBACK = '127.0.0.1'
const MOST_PORT = 65535
const REMEDY = 'give another with --port, or --port 0 for any that is free'

function answer(
  request: IncomingMessage,
  response: ServerResponse,
  files: ReadonlyMap<string, Served>,
  listeners: Set<ServerResponse>,
): void {
  for (const [name, value] of Object.entries(ALWAYS)) response.setHeader(name, value)
  if (!isOwnHost(request)) return refuse(response, 421, 'This server answers to its own address alone.')
  if (request.method !== 'GET' && request.method !== 'HEAD') {
    response.setHeader('Allow', 'GET, HEAD')
    return refuse(response, 405, 'There is nothing here to change.')
  }
  const path = (request.url ?? '').replace(/\?.*$/s, '')
  if (path === EVENTS) return listen(request, response, listeners)
  const served = files.get(path)
  if (!served) return refuse(response, 404, 'There is nothing at this address.')
  if (served.policy !== undefined) response.setHeader('Content-Security-Policy', served.policy)
  response.writeHead(200, { 'Content-Type': served.type, 'Content-Length': Buffer.byteLength(served.body) })
  response.end(request.method === 'HEAD' ? undefined : served.body)
}

const EVENTS = '/events'
/** What may wait for one page, bytes. */
const MOST_UNREAD = 16 * 1024 * 1024

const ALWAYS = {
  'Cache-Control': 'no-store',
  'Content-Security-Policy': "default-src 'none'",
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
} as const

function isOwnHost({ headers, socket }: IncomingMessage): boolean {
  return headers.host === `${LOOPBACK}:${socket.localPort}` || headers.host === `localhost:${socket.localPort}`
}

function refuse(response: ServerResponse, status: number, text: string): void {
  response.writeHead(status, { 'Content-Type': 'text/plain; charset=utf-8', Connection: 'close' })
  response.end(`${text}\n`)
}

/** Server-sent events (HTML Standard, section 9.2): the connection stays open until the page goes. */
function listen(request: IncomingMessage, response: ServerResponse, listeners: Set<ServerResponse>): void {
  response.writeHead(200, { 'Content-Type': 'text/event-stream' })
  if (request.method === 'HEAD') return void response.end()
  response.write('retry: 1000\n\n')
  listeners.add(response)
  response.on('close', () => listeners.delete(response))
}

function portError(port: number, error: NodeJS.ErrnoException): unknown {
  const why = WHY[error.code ?? '']
  if (why === undefined) return error
  return new UsageError(`port ${port} ${why}`, REMEDY)
}

const WHY: Readonly<Record<string, string>> = {
  EADDRINUSE: 'is taken, perhaps by another cardwright view',
  EACCES: 'is not yours to open',
}
