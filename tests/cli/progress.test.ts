import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import type { Finding } from '../../lib/finding/finding'
import { buildCommand, project } from '../helpers/command'
import { launchHistory } from '../helpers/history'
import { commandInProcess } from '../helpers/inProcess'

beforeAll(buildCommand)

const run = commandInProcess()

interface Counts {
  readonly total: { needed: number; cut: number; formed: number; glued: number; scrapped: number }
  readonly stale: { mark: string; change: string; deviation: number; within: boolean; kept: boolean }[]
  readonly gone: { mark: string; count: number }[]
  readonly spent: { hours: number }
}

test('over the history of a boat, progress and check are right at every step', async () => {
  const { folder, git } = launchHistory()
  const say = async (...words: string[]) => {
    const said = await run(folder, words)
    expect(said.code, `${words.join(' ')}: ${said.stderr}`).toBe(0)
    return said.stdout
  }
  const step = async (n: number) => {
    git('checkout', '--quiet', `step-${n}`)
    await say('build', '--no-types')
    return progress()
  }
  const progress = async () => (JSON.parse(await say('progress', '--json')) as { models: Counts[] }).models[0]!
  const glued = async () => {
    const { code, stdout } = await run(folder, ['check', '--no-types', '--json'])
    const { models } = JSON.parse(stdout) as { models: { findings: Finding[] }[] }
    return { code, found: models[0]!.findings.filter(({ id }) => id === 'glued-changed') }
  }

  // Four frames, two thwarts, a transom of two layers, a rudder.
  expect((await step(1)).total).toMatchObject({ needed: 9, cut: 0 })
  await say('log', 'cut', 'FR', 'RU', '--minutes', '50')
  await say('log', 'cut', 'TH,TR', '--minutes', '20')
  await say('log', 'formed', 'TH', '--minutes', '5')
  await say('log', 'glued', 'FR-01', '--minutes', '15')
  expect(await progress()).toMatchObject({
    total: { needed: 9, cut: 9, formed: 2, glued: 1 },
    spent: { hours: 1.5 },
    stale: [],
  })
  expect(await glued()).toEqual({ code: 0, found: [] })

  // Wider by 0.1 m: the top corners of a frame go out by 50 mm, at 1:24 by 2.083 mm.
  const wider = await step(2)
  expect(wider.total).toMatchObject({ needed: 9, cut: 5, glued: 0 })
  expect(wider.stale.map(({ mark }) => mark)).toEqual(['FR-01', 'FR-02', 'FR-03', 'FR-04'])
  for (const one of wider.stale) {
    expect(one).toMatchObject({ change: 'reshaped', within: false, kept: false })
    expect(one.deviation).toBeCloseTo(50 / 24, 2)
  }
  const { code, found } = await glued()
  expect([code, found.length]).toEqual([1, 1])
  expect(found[0]).toMatchObject({
    severity: 'error',
    mark: 'FR-01',
    text: expect.stringMatching(
      /^1 glued by \d{4}-\d\d-\d\d is 2.08 mm off the model as it is now, 0.23 mm are allowed$/,
    ),
    remedy:
      'cut it anew and enter the old one: cardwright log scrapped FR-01; put the source back; or accept it as it is: ' +
      'cardwright log kept FR-01 --note "why"',
    site: { file: 'parts/launch/index.ts' },
  })
  await say('log', 'kept', 'FR-01', '--note', 'under the foredeck')
  expect(await glued()).toEqual({ code: 0, found: [] })
  await say('log', 'scrapped', 'FR-02..04')
  await say('log', 'cut', 'FR-02..04', '--minutes', '30')
  expect(await progress()).toMatchObject({ total: { cut: 9, glued: 1, scrapped: 3 }, stale: [{ mark: 'FR-01', kept: true }] })

  // A frame comes in behind the first, and the marks behind it move on.
  expect(await step(3)).toMatchObject({
    total: { needed: 10, cut: 9, glued: 1 },
    stale: [{ mark: 'FR-01', kept: true }],
    gone: [],
  })
  // What is now FR-03 was cut as FR-02, and stays that piece when it is glued.
  await say('log', 'glued', 'FR-03')
  expect(await progress()).toMatchObject({ total: { needed: 10, cut: 9, glued: 2 }, gone: [] })

  // Another word on the transom costs nothing, one thwart more one piece.
  expect(await step(4)).toMatchObject({ total: { needed: 11, cut: 9, formed: 2 }, gone: [] })

  const stiffer = await step(5)
  expect(stiffer.total).toMatchObject({ needed: 11, cut: 7, formed: 0 })
  expect(stiffer.stale[1]).toMatchObject({ mark: 'TH', change: 'restocked', within: false })

  expect(await step(6)).toMatchObject({ total: { needed: 10, cut: 6 }, gone: [{ mark: 'RU', count: 1 }] })
  expect(existsSync(join(folder, '.cache/logbook'))).toBe(false)
}, 60_000)

describe('cardwright progress', () => {
  test('says what is wrong with what it was asked for', async () => {
    const folder = project('good')
    const refusals: [words: string[], said: string][] = [
      [['progress'], 'no model has been built\n  run cardwright build first'],
      [['progress', 'tub'], 'there is no model "tub"\n  did you mean "tug"?'],
      [['progress', 'tug'], 'tug has not been built: there is no out/tug/manifest.json\n  run cardwright build first'],
      [
        ['progress', '--within', '0.2'],
        '--within: "0.2" has no unit\n  write a number and its unit, such as 0.30mm, 0.012in or 12pt (points of 0.001 in)',
      ],
      [['progress', '--within', '-1mm'], '--within -1mm is below 0\n  write it like --within 0.2mm'],
    ]
    for (const [words, said] of refusals) {
      expect(await run(folder, words)).toEqual({ code: 2, stdout: '', stderr: `error: ${said}\n` })
    }
  })

  test('writes a page that needs nothing else, or says why not', async () => {
    const folder = project('good')
    await run(folder, ['build', '--no-types'])
    await run(folder, ['log', 'cut', 'FR', '--minutes', '40'])
    expect((await run(folder, ['progress', '--html', 'p.html'])).code).toBe(0)
    const page = readFileSync(join(folder, 'p.html'), 'utf8')
    expect(page).toContain('<dd>4<small> of 6</small></dd>')
    expect(page).not.toMatch(/<script|https?:|@import|url\(/)
    const { code, stderr } = await run(folder, ['progress', '--html', 'no/such/p.html'])
    expect(code).toBe(1)
    expect(stderr).toMatch(/^error: no\/such\/p.html could not be written: there is no such folder \(ENOENT\)\n/)
  })
})
