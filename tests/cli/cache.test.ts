import { once } from 'node:events'
import { appendFileSync, readdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { buildCommand, cardwright as newProcess, contents, emptyFolder, project, startCardwright } from '../helpers/command'
import { commandInProcess } from '../helpers/inProcess'
import { openStore } from '../../lib/cli/cache/store'

beforeAll(buildCommand)

const TUG = 'parts/tug/index.ts'
const PLAN = 'parts/tug/plan.ts'

/** A model that counts how often it is loaded. */
function countingTug(): string {
  const folder = project('good')
  appendFileSync(join(folder, TUG), '\nglobalThis.loads = (globalThis.loads ?? 0) + 1\n')
  settle(folder)
  return folder
}

/** Files saved long before a command, as they are at a prompt. */
function settle(folder: string): void {
  const earlier = new Date(Date.now() - 60_000)
  for (const file of Object.keys(contents(join(folder, 'parts')))) utimesSync(join(folder, 'parts', file), earlier, earlier)
}

function write(folder: string, file: string, text: string): void {
  writeFileSync(join(folder, file), text)
  settle(folder)
}

function replace(folder: string, file: string, from: string, to: string): void {
  const text = readFileSync(join(folder, file), 'utf8')
  expect(text).toContain(from)
  write(folder, file, text.replace(from, to))
}

const cardwright = commandInProcess()

/** Runs a build, or another command, and says as well whether it has loaded the model. */
async function run(folder: string, ...words: string[]) {
  const counter = globalThis as { loads?: number }
  counter.loads = 0
  const result = await cardwright(folder, [...words, '--no-types'])
  return { ...result, loaded: counter.loads > 0 }
}

const build = (folder: string, ...words: string[]) => run(folder, 'build', ...words)

describe('a build that nothing has changed for', () => {
  test('does not load the model, and says the same', async () => {
    const folder = countingTug()
    const first = await build(folder)
    const second = await build(folder)
    expect([first.loaded, second.loaded]).toEqual([true, false])
    expect(second.stdout).toMatch(/^Tug, 1:60: 6 pieces on 2 sheets\n.*\n.*\n {2}out\/tug: nothing has changed\nbuilt in /)
  })

  test('gives the same --json document as one without the cache', async () => {
    const folder = project('good')
    settle(folder)
    await build(folder)
    const documents = [await build(folder, '--json'), await build(folder, '--json', '--no-cache')]
    expect(documents[0]).toEqual(documents[1])
  })

  test('loads it with --no-cache, and leaves nothing in the project', async () => {
    const folder = countingTug()
    expect((await build(folder, '--no-cache')).loaded).toBe(true)
    expect((await build(folder, '--no-cache')).loaded).toBe(true)
    expect(readdirSync(folder)).toEqual(['out', 'package.json', 'parts'])
  })

  test('serves check as well, which still tells sheets that are not of the source', async () => {
    const folder = countingTug()
    await build(folder)
    expect(await run(folder, 'check')).toMatchObject({ code: 0, loaded: false })
    appendFileSync(join(folder, 'out/tug/sheets/folder-01.svg'), '<!-- by hand -->')
    const { code, loaded, stderr } = await run(folder, 'check')
    expect({ code, loaded }).toEqual({ code: 1, loaded: false })
    expect(stderr).toContain('are not what the source makes now')
  })
})

describe('what makes a build load the model again', () => {
  test.each([
    ['an edit of the model', (folder: string) => replace(folder, TUG, 'full.m(1.8)', 'full.m(1.9)')],
    ['an edit of what it imports', (folder: string) => write(folder, PLAN, 'export const beam = 3.3\n')],
    ['a new file that an import could mean', (folder: string) => write(folder, 'parts/tug/plan.js', 'exports.beam = 4\n')],
    ['a sheet that was changed', (folder: string) => appendFileSync(join(folder, 'out/tug/sheets/folder-01.svg'), ' ')],
    ['a sheet that was removed', (folder: string) => rmSync(join(folder, 'out/tug/sheets/folder-01.svg'))],
    ['a sheet too many', (folder: string) => writeFileSync(join(folder, 'out/tug/sheets/folder-09.svg'), '<svg/>')],
    ['a manifest that was removed', (folder: string) => rmSync(join(folder, 'out/tug/manifest.json'))],
    ['cache files cut off', (folder: string) => spoilCache(folder, (text) => text.slice(0, -20))],
    ['cache files of something else', (folder: string) => spoilCache(folder, () => '{"stands":{}}')],
  ])('%s', async (_, change) => {
    const folder = countingTug()
    await build(folder)
    change(folder)
    const { code, loaded, stderr } = await build(folder)
    expect({ code, loaded, stderr }).toEqual({ code: 0, loaded: true, stderr: '' })
  })

  test.each([[['--scale', '1:72']], [['--stock', 'folder=0.30mm']], [['--effort', 'quick']], [['--out', 'other']]])(
    '%j',
    async (words) => {
      const folder = countingTug()
      await build(folder)
      expect((await build(folder, ...words)).loaded).toBe(true)
    },
  )

  test('an edit of a table that is read, by a module of any depth', async () => {
    const folder = countingTug()
    const reading = "import { readFileSync } from 'node:fs'\nimport { join } from 'node:path'\n"
    write(folder, PLAN, `${reading}export const beam = Number(readFileSync(join(__dirname, 'beam.txt'), 'utf8'))\n`)
    write(folder, 'parts/tug/beam.txt', '3.2')
    await build(folder)
    expect((await build(folder)).loaded).toBe(false)
    write(folder, 'parts/tug/beam.txt', '3.4')
    expect((await build(folder)).loaded).toBe(true)
    expect(readFileSync(join(folder, 'out/tug/manifest.json'), 'utf8')).toContain((1700 / 60).toFixed(3))
  })

  test('a file that was looked for and has come', async () => {
    const folder = countingTug()
    write(folder, PLAN, "import * as fs from 'fs'\nexport const beam = fs.existsSync(`${__dirname}/../../wide`) ? 4 : 3\n")
    await build(folder)
    expect((await build(folder)).loaded).toBe(false)
    writeFileSync(join(folder, 'wide'), '')
    expect((await build(folder)).loaded).toBe(true)
  })

  test('asking another program, whose answer cannot be told beforehand', async () => {
    const folder = countingTug()
    const asking = "import { execFileSync } from 'node:child_process'\nexecFileSync(process.execPath, ['--version'])\n"
    write(folder, PLAN, `${asking}export const beam = 3.2\n`)
    await build(folder)
    expect((await build(folder)).loaded).toBe(true)
  })

  test('a file saved while the build ran', async () => {
    const folder = countingTug()
    utimesSync(join(folder, PLAN), new Date(), new Date(Date.now() + 60_000))
    await build(folder)
    expect((await build(folder)).loaded).toBe(true)
  })
})

function spoilCache(folder: string, change: (text: string) => string): void {
  const cache = join(folder, '.cache/cardwright')
  expect(readdirSync(cache)).not.toEqual([])
  for (const name of readdirSync(cache)) writeFileSync(join(cache, name), change(readFileSync(join(cache, name), 'utf8')))
}

/** Figures of the wing that edits change, each in one place of one file. */
const FIGURES = [
  ['subject.ts', /root = full\.m\((.*)\)/, [2.4, 2.5, 2.55]],
  ['subject.ts', /span = full\.m\((.*)\)/, [6, 6.3]],
  ['subject.ts', /ribs = (.*)/, [5, 4, 6]],
  ['ribs.ts', /web: bench\.mm\((.*?)\)/, [1, 1.4]],
  ['ribs.ts', /bench\.plies\((.*?)\)/, ["'folder'", "'divider'"]],
  ['index.ts', /wingRibs, plates\((.*?)\)/, [3, 4]],
  ['index.ts', /full\.m\((0\.\d) \+/, [0.8, 0.9]],
] as const

const WING_OPTIONS = [[], [], ['--scale', '1:72'], ['--stock', 'folder=0.40mm'], ['--effort', 'quick']]

/** The same edits, in the same order, for every copy of the wing. */
function* edits(seed: number, count: number): Generator<{ edit: (folder: string) => void; words: readonly string[] }> {
  let state = seed
  const below = (n: number) => {
    state = (state * 1103515245 + 12345) % 2 ** 31
    return Math.floor((state / 2 ** 31) * n)
  }
  for (let i = 0; i < count; i++) {
    const [file, place, values] = FIGURES[below(FIGURES.length)]!
    const value = String(values[below(values.length)])
    const edit = (folder: string) => {
      const text = readFileSync(join(folder, 'parts/wing', file), 'utf8')
      expect(text).toMatch(place)
      const edited = text.replace(place, (all, found) => all.replace(found, value))
      write(folder, `parts/wing/${file}`, edited)
    }
    yield { edit, words: WING_OPTIONS[below(WING_OPTIONS.length)]! }
  }
}

describe('the result is that of working all out anew, whatever was edited', () => {
  test('with the cache on disk, in one command after another', async () => {
    const [cached, fresh] = [project('wing'), project('wing')]
    for (const { edit, words } of edits(3, 8)) {
      for (const folder of [cached, fresh]) edit(folder)
      const again = ['build', '--no-types', '--json', ...words]
      for (const _ of ['after the edit', 'with nothing changed']) {
        const [a, b] = [await cardwright(cached, again), await cardwright(fresh, [...again, '--no-cache'])]
        expect(a).toEqual(b)
        expect(a.code).toBe(0)
        expect(contents(join(cached, 'out'))).toEqual(contents(join(fresh, 'out')))
      }
    }
    expect(readdirSync(cached)).toContain('.cache')
  })

  test('with the cache on disk, in one process after another', () => {
    const [cached, fresh] = [project('wing'), project('wing')]
    for (const { edit } of edits(7, 3)) {
      for (const folder of [cached, fresh]) edit(folder)
      const again = ['build', '--no-types', '--json']
      const [a, b] = [newProcess(cached, again), newProcess(fresh, [...again, '--no-cache'])]
      expect(a).toEqual(b)
      expect(a.code).toBe(0)
      expect(contents(join(cached, 'out'))).toEqual(contents(join(fresh, 'out')))
    }
  })

  test('with two builds of one project at once, and nothing torn is left', async () => {
    const [shared, fresh] = [project('wing'), project('wing')]
    for (const folder of [shared, fresh]) settle(folder)
    const both = [1, 2].map(() => startCardwright(shared, ['build', '--no-types']))
    const codes = await Promise.all(both.map(async (child) => (await once(child, 'close'))[0] as number))
    expect(codes).toEqual([0, 0])
    await cardwright(fresh, ['build', '--no-types', '--no-cache'])
    expect(contents(join(shared, 'out'))).toEqual(contents(join(fresh, 'out')))
    expect(readdirSync(join(shared, '.cache/cardwright')).filter((name) => name.endsWith('.tmp'))).toEqual([])
    const { stdout } = await cardwright(shared, ['build', '--no-types'])
    expect(stdout).toContain('nothing has changed')
  })

  test('with what a watch keeps from one build to the next', async () => {
    const [watched, fresh] = [project('wing'), project('wing')]
    const build = watcher(watched)
    for (const { edit } of edits(11, 12)) {
      for (const folder of [watched, fresh]) edit(folder)
      const { stdout } = await cardwright(fresh, ['build', '--no-types', '--json', '--no-cache'])
      expect(build()).toEqual(JSON.parse(stdout))
      expect(JSON.parse(stdout)).toMatchObject({ ok: true })
      expect(contents(join(watched, 'out'))).toEqual(contents(join(fresh, 'out')))
    }
  })
})

describe('files whose types are good', () => {
  test('are not looked through again, until one of them or one that they import changes', async () => {
    const folder = project('good')
    settle(folder)
    const check = async () => {
      const { code, started } = await withThreads(() => cardwright(folder, ['build']))
      return { code, started }
    }
    expect([await check(), await check()]).toEqual([{ code: 0, started: 1 }, { code: 0, started: 0 }])
    write(folder, PLAN, "export const beam = 'wide'\n")
    expect([await check(), await check()]).toEqual([{ code: 1, started: 1 }, { code: 1, started: 1 }])
    write(folder, PLAN, 'export const beam = 3.1\n')
    expect([await check(), await check()]).toEqual([{ code: 0, started: 1 }, { code: 0, started: 0 }])
  })
})

/** Counts the threads that a command starts. */
async function withThreads<T extends object>(work: () => Promise<T>): Promise<T & { started: number }> {
  const threads = createRequire(__filename)('node:worker_threads') as { Worker: new (...words: never[]) => object }
  const { Worker } = threads
  let started = 0
  threads.Worker = class extends Worker {
    constructor(...words: never[]) {
      super(...words)
      started++
    }
  }
  try {
    return { ...(await work()), started }
  } finally {
    threads.Worker = Worker
  }
}

/** What `build --watch` does at each save, without waiting for the file system to tell. */
function watcher(folder: string): () => unknown {
  const load = createRequire(__filename)
  const part = <T>(name: string) => load(join(__dirname, '../../dist/cli', `${name}.js`)) as T
  const { parse } = part<typeof import('../../lib/cli/parse')>('parse')
  const { openWorkshop } = part<typeof import('../../lib/cli/workshop')>('workshop')
  const { buildAll } = part<typeof import('../../lib/cli/builds')>('builds')
  const { jsonReport } = part<typeof import('../../lib/cli/report')>('report')
  const back = process.cwd()
  process.chdir(folder)
  const workshop = openWorkshop(parse(['build', '--watch', '--no-types']))
  process.chdir(back)
  return () => {
    const models = workshop.models()
    for (const { file } of models) workshop.loader.forget(workshop.loader.filesOf(file))
    return JSON.parse(JSON.stringify(jsonReport('build', buildAll(models, workshop, true), undefined, workshop.root)))
  }
}

describe('the store', () => {
  test('gives back what was put, to another process too, and nothing for another key', () => {
    const folder = emptyFolder()
    openStore(folder).put('a', { b: [1, 'ü'] })
    expect(openStore(folder).get('a')).toEqual({ b: [1, 'ü'] })
    expect(openStore(folder).get('b')).toBe(undefined)
  })

  test('keeps within its size, and first lets go of what was not used for longest', () => {
    const folder = emptyFolder()
    const store = openStore(folder, 2500)
    for (const key of ['a', 'b', 'c']) store.put(key, 'x'.repeat(700))
    const old = new Date(Date.now() - 60_000)
    for (const name of readdirSync(folder)) utimesSync(join(folder, name), old, old)
    expect(store.get('a')).toBeDefined()
    for (const key of ['d', 'e']) store.put(key, 'x'.repeat(700))
    store.trim()
    expect(store.get('a')).toBeDefined()
    const size = readdirSync(folder).reduce((sum, name) => sum + statSync(join(folder, name)).size, 0)
    expect(size).toBeLessThanOrEqual(2500)
    expect(['b', 'c'].map((key) => store.get(key))).toEqual([undefined, undefined])
  })

  test('does without where it cannot write', () => {
    const folder = emptyFolder()
    writeFileSync(join(folder, 'file'), '')
    const store = openStore(join(folder, 'file'))
    store.put('a', 1)
    store.trim()
    expect(store.get('a')).toBe(undefined)
    expect(readdirSync(folder)).toEqual(['file'])
  })
})
