import { type IncomingMessage, request } from 'node:http'
import { connect } from 'node:net'
import { networkInterfaces } from 'node:os'
import { afterEach, expect, test } from 'vitest'
import { type PageServer, startServer } from '../../lib/cli/server'
import { UsageError } from '../../lib/cli/usage'

const running: PageServer[] = []

afterEach(() => {
  for (const server of running.splice(0)) server.close()
})

async function serving(): Promise<{ server: PageServer; port: number }> {
  const server = await startServer(0)
  running.push(server)
  server.put('/', { type: 'text/html; charset=utf-8', body: '<p>the page</p>', policy: "default-src 'self'" })
  server.put('/sheet/boat/folder-01', { type: 'image/svg+xml', body: '<svg/>' })
  return { server, port: Number(new URL(server.address).port) }
}

interface Answer {
  readonly status: number
  readonly body: string
  readonly headers: Readonly<Record<string, unknown>>
}

/** The path goes out as it is: no client tidies it. */
function ask(port: number, path: string, options: { method?: string; host?: string } = {}): Promise<Answer> {
  const { method = 'GET', host = `127.0.0.1:${port}` } = options
  return new Promise((resolve, reject) => {
    const sent = request({ host: '127.0.0.1', port, path, method, headers: { host } }, (answer) => {
      let body = ''
      answer.on('data', (part) => (body += part))
      answer.on('end', () => resolve({ status: answer.statusCode!, body, headers: answer.headers }))
    })
    sent.on('error', reject).end()
  })
}

test('what was put is served, with headers that keep it where it belongs', async () => {
  const { port } = await serving()
  const { status, body, headers } = await ask(port, '/')
  expect([status, body]).toEqual([200, '<p>the page</p>'])
  expect(headers).toMatchObject({
    'content-type': 'text/html; charset=utf-8',
    'content-security-policy': "default-src 'self'",
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
    'cross-origin-resource-policy': 'same-origin',
    'cache-control': 'no-store',
  })
  expect(headers).not.toHaveProperty('access-control-allow-origin')
})

test('localhost is the same machine, and HEAD has no body', async () => {
  const { port } = await serving()
  const head = await ask(port, '/', { method: 'HEAD', host: `localhost:${port}` })
  expect([head.status, head.body, head.headers['content-length']]).toEqual([200, '', '15'])
})

test.each(['evil.example', 'evil.example:80', '127.0.0.1', 'localhost', '[::1]:PORT', '127.0.0.1:1', '127.0.0.1:PORT.evil.example'])(
  'a request for the host "%s" is not answered',
  async (host) => {
    const { port } = await serving()
    const answer = await ask(port, '/', { host: host.replace('PORT', String(port)) })
    expect([answer.status, answer.body]).toEqual([421, 'This server answers to its own address alone.\n'])
  },
)

test.each(['POST', 'PUT', 'DELETE', 'PATCH', 'OPTIONS', 'TRACE'])('%s is refused', async (method) => {
  const { port } = await serving()
  const { status, headers } = await ask(port, '/', { method })
  expect([status, headers['allow']]).toEqual([405, 'GET, HEAD'])
})

test.each([
  '/../package.json',
  '/sheet/boat/../../../../etc/passwd',
  '/sheet/boat/%2e%2e%2fmanifest.json',
  '/sheet/boat/folder-01.svg',
  '/sheet/boat',
  '//127.0.0.1/',
  '/\\..\\package.json',
  '/sheet/boat/folder-01%00',
  '/__proto__',
  'http://127.0.0.1/',
])('nothing but the paths that were put is served: not %s', async (path) => {
  const { port } = await serving()
  const { status, body } = await ask(port, path)
  expect([status, body]).toEqual([404, 'There is nothing at this address.\n'])
})

test('a path is gone when it is no longer kept', async () => {
  const { server, port } = await serving()
  server.keepOnly(new Set(['/']))
  expect((await ask(port, '/sheet/boat/folder-01')).status).toBe(404)
  expect((await ask(port, '/?7')).status).toBe(200)
})

test('no other address of this machine answers', async () => {
  const { port } = await serving()
  const others = Object.values(networkInterfaces()).flatMap((list) => list ?? [])
  const addresses = [...others.map(({ address }) => address).filter((address) => address !== '127.0.0.1'), '127.0.0.2']
  for (const host of addresses) expect([host, await reaches(host, port)]).toEqual([host, false])
  expect(await reaches('127.0.0.1', port)).toBe(true)
})

function reaches(host: string, port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect({ host, port, timeout: 500 })
    const end = (reached: boolean) => {
      socket.destroy()
      resolve(reached)
    }
    socket.on('connect', () => end(true)).on('error', () => end(false)).on('timeout', () => end(false))
  })
}

test('events reach a page that listens, and need the same host', async () => {
  const { server, port } = await serving()
  expect((await ask(port, '/events', { host: 'evil.example' })).status).toBe(421)
  const text = await new Promise<string>((resolve, reject) => {
    let got = ''
    const headers = { host: `127.0.0.1:${port}` }
    const sent = request({ host: '127.0.0.1', port, path: '/events', headers }, (answer) => {
      answer.on('data', (part) => {
        got += part
        if (got === 'retry: 1000\n\n') server.tell('built', '{"model":"boat"}')
        if (got.includes('event')) {
          sent.destroy()
          resolve(got)
        }
      })
    })
    sent.on('error', reject).end()
  })
  expect(text).toBe('retry: 1000\n\nevent: built\ndata: {"model":"boat"}\n\n')
})

test('a page that does not read what it is told is let go, and others go on', async () => {
  const { server, port } = await serving()
  const headers = { host: `127.0.0.1:${port}` }
  const listening = (read: boolean) =>
    new Promise<IncomingMessage>((resolve, reject) => {
      const sent = request({ host: '127.0.0.1', port, path: '/events', headers }, (answer) => resolve(read ? answer.resume() : answer.pause()))
      sent.on('error', reject).end()
    })
  const [deaf, attentive] = [await listening(false), await listening(true)]
  const gone = new Promise((resolve) => deaf.on('close', resolve).on('error', resolve))
  const long = 'x'.repeat(4 * 1024 * 1024)
  let heard = 0
  attentive.on('data', (part: Buffer) => (heard += part.length))
  for (let i = 1; i <= 12; i++) {
    server.tell('built', long)
    while (heard < i * long.length) await new Promise((resolve) => setImmediate(resolve))
  }
  deaf.resume()
  await gone
  expect(deaf.complete).toBe(false)
  expect(attentive.destroyed).toBe(false)
  attentive.destroy()
})

test('a port that is taken, or none, is said so', async () => {
  const { port } = await serving()
  await expect(startServer(port)).rejects.toEqual(
    new UsageError(
      `port ${port} is taken, perhaps by another cardwright view`,
      'give another with --port, or --port 0 for any that is free',
    ),
  )
  await expect(startServer(70000)).rejects.toThrow('port 70000 is no port: they are whole numbers up to 65535')
  await expect(startServer(80.5)).rejects.toThrow('port 80.5 is no port: they are whole numbers up to 65535')
})
