import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { readManifest } from '../../lib/revision/readManifest'
import { buildCommand, cardwrightHere, contents } from '../helpers/command'
import { type History, history, launchHistory } from '../helpers/history'

beforeAll(buildCommand)

const build = ({ folder }: History, ...words: string[]) => cardwrightHere(folder, ['build', '--no-types', ...words])
const patchFolder = ({ folder }: History) => join(folder, 'out/launch/patch')

/** Ids of what is on the patch sheets. */
function onSheets(launch: History): string[] {
  const { pieces } = readManifest(readFileSync(join(patchFolder(launch), 'manifest.json'), 'utf8'))
  return pieces.flatMap(({ placements }) => placements.map(({ id }) => id))
}

test('at each commit of a history, patch sheets hold what has to be cut again since the one before', async () => {
  const launch = launchHistory()
  const cut: string[][] = []
  for (const step of [2, 3, 4, 5, 6]) {
    launch.git('checkout', '--quiet', `step-${step}`)
    expect((await build(launch, '--since', `step-${step - 1}`)).code).toBe(0)
    cut.push(onSheets(launch))
  }
  expect(cut).toEqual([['FR-01', 'FR-02', 'FR-03', 'FR-04'], ['FR-02'], ['TH'], ['TH', 'TH#2', 'TH#3'], []])
  // Nothing is left of the patch before, that somebody might print.
  expect(Object.keys(contents(patchFolder(launch)))).toEqual(['manifest.json'])
})

test('a patch sheet says what it is, and the sheets of the whole stay as they were', async () => {
  const launch = launchHistory()
  await build(launch)
  const whole = contents(join(launch.folder, 'out'))
  const { stdout } = await build(launch, '--since', 'step-4')
  const short = launch.git('rev-parse', '--short', 'step-4')
  expect(stdout).toBe(`Launch, only what changed since ${short}: 1 of 7 pieces, 1:24: 3 pieces on 1 sheet
  divider 0.45 mm: 3 pieces on 1 sheet, 8 % of the room used
  out/launch/patch: sheets and manifest written
`)
  const sheet = readFileSync(join(patchFolder(launch), 'sheets/divider-01.svg'), 'utf8')
  const words = [...sheet.matchAll(/<title>([^<]*)<\/title>/g)].map(([, text]) => text)
  expect(words).toContain('patch sheet 1 of 1')
  expect(words.filter((text) => text!.startsWith(`only what changed since ${short}: 1 of 7 pieces · `))).toHaveLength(1)
  expect(contents(join(launch.folder, 'out'))).toMatchObject(whole)
})

test('a revision that there is not, and --watch, are refused and nothing is written', async () => {
  const launch = history('launch')
  const { code, stderr } = await build(launch, '--since', 'step-7')
  expect({ code, stderr }).toEqual({
    code: 2,
    stderr: 'error: there is no revision "step-7", nor a folder or file of that name\n  did you mean "step-1"?\n',
  })
  expect((await build(launch, '--since', 'step-1', '--watch')).stderr).toBe(
    'error: --since and --watch do not go together\n  give one of them\n',
  )
  expect(existsSync(join(launch.folder, 'out'))).toBe(false)
})
