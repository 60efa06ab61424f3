import type { ChildProcess } from 'node:child_process'
import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { get } from 'node:http'
import { join } from 'node:path'
import { afterEach, beforeAll, expect, test } from 'vitest'
import type { PageNews, ServedModel } from '../../lib/view/data'
import { buildPage } from '../helpers/browser'
import { buildCommand, project, startCardwright } from '../helpers/command'

const running: ChildProcess[] = []

beforeAll(() => {
  buildCommand()
  buildPage()
})
afterEach(() => {
  for (const child of running.splice(0)) child.kill()
})

interface Viewed {
  readonly address: string
  /** All that was printed. */
  readonly told: () => string
}

/** `cardwright view`, once it has printed this. */
function startView(folder: string, until: string): Promise<Viewed> {
  const child = startCardwright(folder, ['view', '--port', '0', '--no-types', '--no-cache'])
  running.push(child)
  let told = ''
  return new Promise((resolve, reject) => {
    child.stdout!.on('data', (part) => {
      told += String(part)
      const [, address] = /the page is at (\S+) /.exec(told) ?? []
      if (address !== undefined && told.includes(until)) resolve({ address, told: () => told })
    })
    child.on('exit', () => reject(new Error(`view ended: ${told}`)))
  })
}

/** Listens as a page does; from here on nothing that is told is missed. */
async function listenAt(address: string): Promise<AsyncGenerator<PageNews>> {
  const { body } = await fetch(new URL('/events', address))
  return newsIn(body!)
}

async function* newsIn(body: ReadableStream<Uint8Array>): AsyncGenerator<PageNews> {
  let text = ''
  const decoder = new TextDecoder()
  for await (const part of body as unknown as AsyncIterable<Uint8Array>) {
    text += decoder.decode(part, { stream: true })
    const messages = text.split('\n\n')
    text = messages.pop()!
    for (const message of messages) {
      const data = /^event: built\ndata: (.*)$/.exec(message)
      if (data) yield JSON.parse(data[1]!) as PageNews
    }
  }
}

async function modelAt(address: string): Promise<ServedModel> {
  return (await (await fetch(new URL('/model/tug', address))).json()) as ServedModel
}

async function fitKnown(address: string): Promise<ServedModel> {
  for (;;) {
    const editions = (await (await fetch(new URL('/editions', address))).json()) as PageNews[]
    const model = editions.length > 0 ? await modelAt(address) : undefined
    if (model?.data.fit === 'known') return model
    await new Promise((resolve) => setTimeout(resolve, 50))
  }
}

test('after a save only the pieces that changed are sent, then what the fit has to say', async () => {
  const folder = project('standing')
  const { address } = await startView(folder, 'waiting for changes')
  const before = await fitKnown(address)
  const heard = await listenAt(address)
  const index = join(folder, 'parts/tug/index.ts')
  writeFileSync(index, readFileSync(index, 'utf8').replace('full.m(2.5)', 'full.m(2.6)'))
  const news: PageNews[] = []
  for await (const one of heard) {
    news.push(one)
    if (one.delta!.parts.fit === 'known') break
  }
  // First the pieces, then the sheets they are on, then the fit; each takes up where the one before ended.
  const [built, drawn, looked] = news as [PageNews, PageNews, PageNews]
  expect(news.map(({ model, build }) => [model, build])).toEqual(news.map(() => ['tug', before.build + 1]))
  expect(news.map(({ delta }) => delta!.from)).toEqual([before.edition, built.edition, drawn.edition])
  expect(built.delta!.pieces.map(({ mark }) => mark)).toEqual(['DK-01', 'DK-02'])
  expect(built.delta!.parts).toEqual({ fit: 'under way' })
  expect(drawn.delta!.parts.sheets!.map(({ digest }, i) => digest === before.data.sheets[i]!.digest)).toEqual([true, false])
  expect(looked.delta!.pieces).toEqual([])
  expect((await modelAt(address)).edition).toBe(looked.edition)
})

test('it answers while a build is under way, before the first one too', async () => {
  const folder = project('standing')
  const plan = join(folder, 'parts/tug/plan.ts')
  const goOn = join(folder, 'go-on')
  const begun = join(folder, 'begun')
  const slow = [
    "import { existsSync, writeFileSync } from 'node:fs'",
    `writeFileSync(${JSON.stringify(begun)}, '')`,
    `while (!existsSync(${JSON.stringify(goOn)})) {}`,
    'export const beam = 3.2',
  ]
  writeFileSync(plan, slow.join('\n'))
  const { address, told } = await startView(folder, 'the page is at')
  while (!existsSync(begun)) await new Promise((resolve) => setTimeout(resolve, 20))
  const page = await fetch(address)
  expect([page.status, await page.text()]).toEqual([200, expect.stringContaining('<script src="/page.js" defer></script>')])
  expect(await (await fetch(new URL('/editions', address))).json()).toEqual([])
  expect((await fetch(new URL('/model/tug', address))).status).toBe(404)
  expect(told()).not.toContain('waiting for changes')
  writeFileSync(goOn, '')
  expect((await fitKnown(address)).build).toBe(1)
})

test('what is new at the server is as shut as the rest: own host alone, nothing but what was put', async () => {
  const folder = project('standing')
  const { address } = await startView(folder, 'waiting for changes')
  const { port } = new URL(address)
  const status = (path: string, host: string) =>
    new Promise((resolve, reject) => {
      get({ host: '127.0.0.1', port, path, headers: { host } }, (answer) => resolve(answer.resume().statusCode)).on('error', reject)
    })
  for (const path of ['/editions', '/model/tug', '/events']) expect([path, await status(path, 'evil.example')]).toEqual([path, 421])
  for (const path of ['/manifest.json', '/out/tug/manifest.json', '/model/tug/../../package.json', '/model', '/editions/', '/sheet/tug/../manifest']) {
    expect([path, await status(path, `127.0.0.1:${port}`)]).toEqual([path, 404])
  }
  const { headers } = await fetch(new URL('/editions', address))
  expect([headers.get('content-security-policy'), headers.get('cross-origin-resource-policy')]).toEqual(["default-src 'none'", 'same-origin'])
})

test('a port that is taken is said so, though the server is in a thread of its own', async () => {
  const folder = project('standing')
  const { address } = await startView(folder, 'the page is at')
  const child = startCardwright(project('standing'), ['view', '--port', new URL(address).port])
  let said = ''
  child.stderr!.on('data', (part) => (said += String(part)))
  const code = await new Promise((resolve) => child.on('exit', resolve))
  expect([code, said]).toEqual([2, expect.stringContaining('is taken, perhaps by another cardwright view')])
})
