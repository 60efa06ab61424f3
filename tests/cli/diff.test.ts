import { readFileSync, renameSync, rmSync, writeFileSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { XMLParser } from 'fast-xml-parser'
import { beforeAll, describe, expect, test } from 'vitest'
import { buildCommand, cardwright, cardwrightHere, contents, emptyFolder, type Run } from '../helpers/command'
import { type History, history, launchHistory } from '../helpers/history'

beforeAll(buildCommand)

interface Told {
  readonly changed: boolean
  readonly models: readonly {
    readonly counts: Record<string, number>
    readonly again: number
    readonly changes: readonly Record<string, unknown>[]
  }[]
}

const run = ({ folder }: History, ...words: string[]) => cardwrightHere(folder, ['diff', ...words])
const build = ({ folder }: History, ...words: string[]) => cardwrightHere(folder, ['build', '--no-types', ...words])
const told = async (launch: History, ...words: string[]) =>
  JSON.parse((await run(launch, ...words, '--json')).stdout) as Told
const withoutHashes = (text: string) => text.replace(/\([0-9a-f]{7}\)/g, '(HASH)')

test('a history of six commits, built from its source, is told step by step', async () => {
  const launch = launchHistory()
  const told: Run[] = []
  for (const step of [1, 2, 3, 4, 5]) told.push(await run(launch, `step-${step}`, `step-${step + 1}`))
  expect(told.map(({ code, stderr }) => [code, stderr])).toEqual(told.map(() => [0, '']))
  expect(told.map(({ stdout }) => withoutHashes(stdout))).toEqual([
    `step-1 (HASH) against step-2 (HASH)

Launch: 4 of 7 pieces changed, 4 to cut again
  FR: 4 reshaped, at most 2.08 mm at FR-01

  reshaped
    FR-01  2.08 mm at 47.92, 45.83, was at 45.83, 45.83; area 3015.6, now 3178.0 mm² (+5.4 %)
    FR-04  2.08 mm at 35.42, 45.83, was at 33.33, 45.83; area 2041.6, now 2204.0 mm² (+8.0 %)
    FR-02  2.08 mm at 43.75, 45.83, was at 41.67, 45.83; area 2691.0, now 2853.3 mm² (+6.0 %)
    FR-03  2.08 mm at 39.58, 45.83, was at 37.50, 45.83; area 2366.3, now 2528.6 mm² (+6.9 %)
`,
    `step-2 (HASH) against step-3 (HASH)

Launch: 4 of 8 pieces changed, 1 to cut again
  FR: 1 added; 3 renamed

  added
    FR-02

  renamed
    FR-03  was FR-02
    FR-04  was FR-03
    FR-05  was FR-04
`,
    `step-3 (HASH) against step-4 (HASH)

Launch: 2 of 8 pieces changed, 1 to cut again
  TH: 1 recounted
  TR: 1 re-marked

  recounted
    TH  2, now 3

  re-marked
    TR  words "AFT", now "STERN"
`,
    `step-4 (HASH) against step-5 (HASH)

Launch: 1 of 8 pieces changed, 3 to cut again
  TH: 1 restocked

  restocked
    TH  folder, grain at 0°, now divider, grain at 0°
`,
    `step-5 (HASH) against step-6 (HASH)

Launch: 1 of 8 pieces changed, nothing to cut again
  RU: 1 removed

  removed
    RU
`,
  ])
  // Half the beam of 0.1 m more, at 1:24.
  expect(0.5 * 0.1 * 1000 / 24).toBeCloseTo(2.08, 2)
})

describe('what is compared', () => {
  test('by default the last commit and the files as they are, saved or staged or neither', async () => {
    const launch = history('launch')
    expect(await run(launch)).toMatchObject({
      code: 0,
      stdout: `last commit (${launch.git('rev-parse', '--short', 'HEAD')}) against working tree\n\nLaunch: 7 pieces, none changed\n`,
    })
    launch.edit('parts/launch/plan.ts', 'full.m(2.4)', 'full.m(2.5)')
    expect((await told(launch)).models[0]).toMatchObject({ counts: { reshaped: 4, unchanged: 3 }, again: 4 })
  })

  test('git, the files and what is staged stay as they were', async () => {
    const launch = history('launch')
    launch.edit('parts/launch/plan.ts', 'full.m(2.4)', 'full.m(2.5)')
    launch.git('add', '--all')
    launch.edit('parts/launch/plan.ts', 'full.m(1.1)', 'full.m(1.2)')
    const look = () => [launch.git('status', '--porcelain'), launch.git('stash', 'list'), launch.git('worktree', 'list')]
    const [before, files] = [look(), contents(launch.folder)]
    expect((await run(launch, 'step-1')).code).toBe(0)
    expect(look()).toEqual(before)
    const after = contents(launch.folder)
    expect(Object.keys(after).toSorted()).toEqual(Object.keys(files).toSorted())
    expect(after['parts/launch/plan.ts']).toBe(files['parts/launch/plan.ts'])
  })

  test('a manifest that is committed is read in place of its source', async () => {
    const launch = history('launch')
    await build(launch)
    const file = join(launch.folder, 'out/launch/manifest.json')
    writeFileSync(file, readFileSync(file, 'utf8').replace('"copies":2', '"copies":5'))
    launch.commit('Sheets')
    expect((await told(launch)).models[0]!.changes).toMatchObject([{ mark: 'TH', kind: 'recounted', again: 0 }])
    expect((await told(launch, 'step-1', 'step-2')).models[0]!.changes).toMatchObject([{ mark: 'TH', again: 3 }])
  })

  test('output folders and manifests, of one model or all, inside a repository or not', async () => {
    const launch = history('launch')
    const [old, now] = [join(launch.folder, 'old'), join(launch.folder, 'now')]
    await build(launch, '--out', old)
    launch.edit('parts/launch/plan.ts', 'full.m(2.4)', 'full.m(2.5)')
    await build(launch, '--out', now)
    rmSync(join(launch.folder, '.git'), { recursive: true })
    const reshaped = { code: 0, stdout: expect.stringContaining('FR: 4 reshaped, at most 2.08 mm at FR-01') as string }
    expect(await run(launch, 'old', 'now')).toMatchObject(reshaped)
    expect(await run(launch, 'old/launch', 'now/launch/manifest.json')).toMatchObject(reshaped)
    expect(await run(launch, old)).toMatchObject(reshaped)
    renameSync(join(now, 'launch'), join(now, 'renamed'))
    expect(await run(launch, 'old', 'now/renamed')).toMatchObject(reshaped)
  })

  test('several models, or the one asked for; one that is new is added piece by piece', async () => {
    const launch = history('launch')
    mkdirSync(join(launch.folder, 'parts/dory'))
    for (const file of ['index.ts', 'plan.ts']) {
      const text = readFileSync(join(launch.folder, 'parts/launch', file), 'utf8').replace("'Launch'", "'Dory'")
      writeFileSync(join(launch.folder, 'parts/dory', file), text)
    }
    expect((await run(launch)).stdout).toMatch(/\n\nDory: 7 of 7 pieces changed, 9 to cut again\n[^]*\n\nLaunch: 7 pieces, none changed\n$/)
    expect((await run(launch, '--model', 'launch')).stdout).not.toContain('Dory')
    expect(await run(launch, '--model', 'lunch')).toMatchObject({
      code: 2,
      stderr: expect.stringMatching(/has a model "lunch"\n {2}did you mean "launch"\?\n$/) as string,
    })
  })

  test('a project in a folder of its repository', async () => {
    const launch = history('launch')
    mkdirSync(join(launch.folder, 'models'))
    launch.git('mv', 'parts', 'package.json', 'models')
    launch.commit('Moved')
    const inside = { ...launch, folder: join(launch.folder, 'models') }
    expect((await run(inside)).stdout).toContain('Launch: 7 pieces, none changed')
    expect((await run(inside, 'step-1')).stderr).toBe(
      'error: at step-1 there is no folder models/\n  name a later revision: the project was not there yet\n',
    )
  })
})

describe('what is printed', () => {
  test('exit code 1 for a change only when asked for it', async () => {
    const launch = launchHistory()
    expect((await run(launch, 'step-1')).code).toBe(0)
    expect((await run(launch, 'step-1', '--exit-code')).code).toBe(1)
    expect((await run(launch, 'step-6', '--exit-code')).code).toBe(0)
  })

  test('Markdown with a short table and the pieces folded away', async () => {
    const launch = launchHistory()
    expect(withoutHashes((await run(launch, 'step-3', 'step-4', '--markdown')).stdout)).toBe(`What changed from step-3 (HASH) to step-4 (HASH).

### Launch: 2 of 8 pieces changed, 1 to cut again

| family | change | largest deviation | to cut again |
| --- | --- | --- | --- |
| TH | 1 recounted |  | 1 |
| TR | 1 re-marked |  |  |

<details>
<summary>All 2 pieces</summary>

| piece | change | to cut again | what |
| --- | --- | --- | --- |
| TH | recounted | 1 | 2, now 3 |
| TR | re-marked |  | words "AFT", now "STERN" |

</details>
`)
  })

  test('JSON with every figure, the same bytes each time', async () => {
    const launch = launchHistory()
    const first = await run(launch, 'step-1', 'step-2', '--json')
    expect((await run(launch, 'step-1', 'step-2', '--json')).stdout).toBe(first.stdout)
    const { models } = JSON.parse(first.stdout) as Told
    expect(models[0]!.changes[0]).toMatchObject({
      mark: 'FR-01',
      family: 'FR',
      kind: 'reshaped',
      again: 1,
      deviation: { distance: 2.084, before: [45.833, 45.833], after: [47.917, 45.833] },
      refolded: false,
      shift: [0, 0],
      area: { before: 3015.58, after: 3177.966 },
    })
  })

  test('an overlay for each reshaped piece, and none of an earlier run', async () => {
    const launch = launchHistory()
    const folder = emptyFolder()
    await run(launch, 'step-1', 'step-2', '--svg', folder)
    writeFileSync(join(folder, 'launch/notes.txt'), 'mine')
    expect(Object.keys(contents(folder))).toHaveLength(5)
    const svg = readFileSync(join(folder, 'launch/FR-02.overlay.svg'), 'utf8')
    const words = [...svg.matchAll(/<title>([^<]*)<\/title>/g)].map(([, text]) => text)
    expect(words).toContain('FR-02  Launch 1:24')
    expect(words).toContain('largest deviation 2.08 mm, at 43.75, 45.83')
    expect(words).toContain('area 2691.0, now 2853.3 mm² (+6.0 %)')
    expect(words).toContain('2.08 mm')
    expect(words).toContain('50 mm of the piece')
    expect(new XMLParser({ ignoreAttributes: false }).parse(svg)).toHaveProperty('svg')
    await run(launch, 'step-4', 'step-5', '--svg', folder)
    expect(Object.keys(contents(folder))).toEqual(['launch/notes.txt'])
  })
})

describe('exit code 2, and one clear line, for', () => {
  const failed = async (launch: History, ...words: string[]) => {
    const { code, stdout, stderr } = await run(launch, ...words)
    return { code, stdout, stderr: withoutHashes(stderr) }
  }

  test('a revision that there is not', async () => {
    const launch = launchHistory()
    expect(await failed(launch, 'stepp-2')).toEqual({
      code: 2,
      stdout: '',
      stderr: 'error: there is no revision "stepp-2", nor a folder or file of that name\n  did you mean "step-2"?\n',
    })
    expect((await failed(launch, 'zzzzzz')).stderr).toContain('see git log --oneline and git tag for what there is')
  })

  test('a revision that does not build', async () => {
    const launch = history('launch')
    launch.edit('parts/launch/plan.ts', 'full.m(2.4)', 'full.m(2.4')
    launch.commit('Broken')
    launch.edit('parts/launch/plan.ts', 'full.m(2.4', 'full.m(2.4)')
    expect(await failed(launch)).toEqual({
      code: 2,
      stdout: '',
      stderr:
        "error: launch of revision last commit (HASH) does not build: parts/launch/plan.ts:4:1: the file does not compile: ',' expected\n" +
        '  put the line right\n',
    })
  })

  test('a folder without a build, a cut off manifest, a newer one, one that is none', async () => {
    const launch = history('launch')
    await build(launch)
    const file = join(launch.folder, 'out/launch/manifest.json')
    const text = readFileSync(file, 'utf8')
    mkdirSync(join(launch.folder, 'empty'))
    expect((await failed(launch, 'empty')).stderr).toBe(
      'error: there is no manifest.json in empty or the folders in it\n  build the models there first\n',
    )
    writeFileSync(file, text.slice(0, 1000))
    expect((await failed(launch, 'out')).stderr).toBe(
      'error: out/launch/manifest.json is cut off after 1000 characters\n  take it from git, or build the model again\n',
    )
    writeFileSync(file, text.replace(/^\{"schema":\d+/, '{"schema":99'))
    expect((await failed(launch, 'out')).stderr).toContain('out/launch/manifest.json is of schema version 99, this program reads up to')
    writeFileSync(file, 'sheets')
    expect((await failed(launch, 'out/launch')).stderr).toContain('out/launch/manifest.json is not JSON')
    expect(readFileSync(file, 'utf8')).toBe('sheets')
  })

  test('no repository, no commit, no git', async () => {
    const launch = history('launch')
    expect(cardwright(launch.folder, ['diff'], { env: { PATH: '' } }).stderr).toBe(
      'error: git was not found\n  install it, or name output folders or manifests to compare\n',
    )
    rmSync(join(launch.folder, '.git'), { recursive: true })
    expect((await failed(launch)).stderr).toMatch(/^error: \S+ is not in a git repository\n/)
    launch.git('init', '--quiet')
    expect((await failed(launch)).stderr).toMatch(/^error: the git repository in \S+ has no commit yet\n/)
  })

  test('--json with --markdown, and three operands', async () => {
    const launch = history('launch')
    expect((await failed(launch, '--json', '--markdown')).code).toBe(2)
    expect((await failed(launch, 'a', 'b', 'c')).stderr).toContain('has no use for "c"')
  })
})
