import { mkdirSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { oldNode } from '../../lib/cli/nodeVersion'
import { buildCommand, cardwright, cardwrightHere, emptyFolder } from '../helpers/command'

beforeAll(buildCommand)

/** A project of these files below parts/, each with all the words that they use imported. */
function written(files: Readonly<Record<string, string>>): string {
  const folder = emptyFolder()
  for (const [name, text] of Object.entries({ '../package.json': '{ "private": true }', ...files })) {
    const file = join(folder, 'parts', name)
    mkdirSync(dirname(file), { recursive: true })
    writeFileSync(file, text)
  }
  return folder
}

const WORDS = `import { assembly, bench, family, full, model, path, piece, rectangle, single, stations, stock } from 'cardwright'\n`
const PLATES = `const plates = family('WR', stations.even(3, full.m(0), full.m(4)), () => piece({ stock: 'divider' }).outline(rectangle(full.m(1), full.m(1))))\n`

/** What a build of one file says, its times left out. */
async function said(text: string, words: readonly string[] = ['build', '--no-types']): Promise<string> {
  const { stdout, stderr } = await cardwrightHere(written({ 'm.ts': WORDS + text }), words)
  expect(stdout + stderr).not.toContain('cardwright itself failed')
  return stderr
}

describe('a slip in a model is told in the author’s words', () => {
  test.each([
    [
      'a word that there is not',
      `const odd = full.metre(3)\n${PLATES}export default model('M', { scale: '1:48' }, () => plates)`,
      'error: TypeError: full.metre is not a function\n  parts/m.ts:2:18 (threw)\n',
    ],
    [
      'a bare number between lengths',
      `${PLATES.replace('full.m(0)', '0')}export default model('M', { scale: '1:48' }, () => plates)`,
      'error: the bare number 0 was given where a length is meant\n  parts/m.ts:2:38 (length)\n',
    ],
    [
      'a list where a length is meant',
      `export default model('M', { scale: '1:48' }, () => single('A', () => piece({ stock: 'folder' }).outline(rectangle([full.m(1)], full.m(1)))))`,
      'error A its only station: a list of 1 was given where a length is meant\n  parts/m.ts:2:114 (length)\n',
    ],
    [
      'a piece without card',
      `export default model('M', { scale: '1:48' }, () => single('A', () => piece({ stok: 'folder' })))`,
      'error A its only station: a piece was given no stock\n  parts/m.ts:2:75 (length)\n',
    ],
    [
      'a path that is not closed',
      `export default model('M', { scale: '1:48' }, () => single('A', () => piece({ stock: 'folder' }).outline(path().from(bench.mm(1), bench.mm(1)))))`,
      'error A its only station: .outline(…) was given a path that is not closed\n  parts/m.ts:2:97 (length)\n  end it with .close()\n',
    ],
    [
      'a stock like one that there is not',
      `const mine = stock('mine', { like: 'foldr' })\n${PLATES}export default model('M', { scale: '1:48', stocks: [mine] }, () => plates)`,
      'error: there is no built-in stock "foldr"\n  parts/m.ts:2:19 (stock)\n  did you mean "folder"?\n',
    ],
    [
      'no scale',
      `${PLATES}export default model('M', {}, () => plates)`,
      'error: model "M" has no scale\n  parts/m.ts:3:21 (model)\n',
    ],
    [
      'a scale that is none',
      `${PLATES}export default model('M', { scale: '1/48x' }, () => plates)`,
      'error: "1/48x" is not a scale\n  parts/m.ts:3:21 (scale)\n',
    ],
    [
      'a function that is async',
      `${PLATES}export default model('M', { scale: '1:48' }, async () => plates)`,
      'error: the function of model "M" returned a promise: it must not be async\n  parts/m.ts:3:21 (model)\n',
    ],
    [
      'a function of a family that calls itself',
      `const again = () => again()\nexport default model('M', { scale: '1:48' }, () => single('A', again))`,
      'error: family A, its only station: its function failed: the functions call each other too deeply\n  parts/m.ts:2:21 (family)\n',
    ],
    [
      'two families of one code',
      `${PLATES}${PLATES.replace('plates', 'more')}export default model('M', { scale: '1:48' }, () => [plates, more])`,
      'error WR-01: 2 pieces have the mark WR-01, one is meant; the other is from line 3 of m.ts\n  parts/m.ts:2:80 (duplicate-mark)\n',
    ],
    [
      'one family in two assemblies',
      `${PLATES}export default model('M', { scale: '1:48' }, () => [assembly('a', plates), assembly('b', plates)])`,
      'error WR-01: 2 pieces have the mark WR-01, one is meant; they are in "a" and "b"\n  parts/m.ts:2:80 (duplicate-mark)\n',
    ],
  ])('%s', async (_, text, wanted) => {
    expect((await said(text)).replace(/\n {4}.*\n.*\^/, '')).toContain(wanted)
  })

  test('files that import each other and use each other’s values at once', async () => {
    const folder = written({
      'm.ts': `${WORDS}import { twice } from './sizes/a'\n${PLATES}export default model('M', { scale: '1:48' }, () => twice(plates))`,
      'sizes/a.ts': `import { width } from './b'\nexport const height = width + 1\nexport const twice = (one: unknown) => one`,
      'sizes/b.ts': `import { height } from './a'\nexport const width = height + 1`,
    })
    expect((await cardwrightHere(folder, ['build', '--no-types'])).stderr).toMatch(
      /^error: ReferenceError: Cannot access '(width|height)' before initialization\n {2}parts\/sizes\/[ab].ts:2:.*\n(.*\n)*.*where two files import each other, move what both need to a third one\n/,
    )
  })

  test('a name that TypeScript knows better is told by both', async () => {
    const text = `${PLATES}export default modl('M', { scale: '1:48' }, () => plates)`
    const stderr = await said(text, ['build'])
    expect(stderr).toContain('error: ReferenceError: modl is not defined')
    expect(stderr).toContain("error: Cannot find name 'modl'. Did you mean 'model'? (TS2552)")
  })

  test('a length that TypeScript complains of as well is told once', async () => {
    const stderr = await said(`${PLATES.replace('full.m(0)', '0')}export default model('M', { scale: '1:48' }, () => plates)`, ['build'])
    expect(stderr.match(/error/g)).toEqual(['error'])
  })
})

describe('a slip on the command line', () => {
  const folder = () => written({ 'm.ts': `${WORDS}${PLATES}export default model('M', { scale: '1:48' }, () => plates)` })

  test.each([
    ['build --scale', '--scale needs a RATIO\n  write it like --scale 1:72'],
    ['build --scale --pdf', '--scale needs a RATIO\n  write it like --scale 1:72'],
    ['stock foldr', 'there is no stock "foldr", and no task of that name\n  did you mean "folder"?'],
    ['estimate --hour-rate -3', '--hour-rate is for the table of --quote, which was not asked for\n  give --quote as well'],
    ['estimate --quote --hour-rate -3', '--hour-rate: "-3" is no amount of 0 or more\n  write it like --hour-rate 28'],
    ['estimate --quote --price gold=3', '--price: there is no stock "gold" in what is estimated\n  use one of: divider'],
  ])('%s', async (line, wanted) => {
    const root = folder()
    if (line.startsWith('estimate')) await cardwrightHere(root, ['build', '--no-types'])
    expect(await cardwrightHere(root, line.split(' '))).toEqual({ code: 2, stdout: '', stderr: `error: ${wanted}\n` })
  })

  test('a cut beside the model says where the model is', async () => {
    const placed = PLATES.replace('() => piece', '(y) => piece').replace('full.m(1))))', 'full.m(1))).place(plane.spanwise(y)))')
    const text = `${WORDS.replace('piece,', 'piece, plane,')}${placed}export default model('M', { scale: '1:50' }, () => plates)`
    const root = written({ 'm.ts': text })
    expect((await cardwrightHere(root, ['section', '--at', 'x=4'])).stderr).toBe(
      'error: --at: "4" has no unit\n  write it like x=123mm (on the model) or x=7.4m (on the subject)\n',
    )
    const run = await cardwrightHere(root, ['section', '--at', 'x=900m'])
    expect(run).toMatchObject({
      code: 2,
      // Plates of 1 m about the origin at 0, 2 and 4 m, of card 0.45 mm thick.
      stderr:
        'error: --at x=900m: no piece is cut there\n' +
        '  take a place within the model: x from -10.0 to 10.0 mm, y from -0.2 to 80.2 mm, z from -10.0 to 10.0 mm\n',
    })
  })

  test('what cannot be written is no misuse', async () => {
    const root = folder()
    const run = await cardwrightHere(root, ['view', '--no-types', '--export', 'no/such/page.html'])
    expect(run).toMatchObject({
      code: 1,
      stderr: 'error: no/such/page.html could not be written: there is no such folder (ENOENT)\n  give a file in a folder of yours\n',
    })
  })

  test('a folder in place of the logbook is told as such', async () => {
    const root = folder()
    await cardwrightHere(root, ['build', '--no-types'])
    mkdirSync(join(root, 'logbook.jsonl'))
    const { code, stdout, stderr } = cardwright(root, ['progress'])
    expect({ code, stdout }).toEqual({ code: 1, stdout: '' })
    expect(stderr).toMatch(/^error: EISDIR: illegal operation on a directory.*\n {2}see that it is there, is what it should be/)
  })

  test('a manifest that is something else says so without the words of a schema', async () => {
    const root = folder()
    await cardwrightHere(root, ['build', '--no-types'])
    writeFileSync(join(root, 'out/m/manifest.json'), '{}')
    expect((await cardwrightHere(root, ['build', '--no-types'])).stderr).toBe(
      'warning: out/m/manifest.json is not a manifest: it names no schema\n' +
        '  the pieces are laid out afresh; to keep the old places, take the file back from git first\n\n',
    )
  })
})

test('a file that ends the process is an error with its line, and the other models are built', async () => {
  const good = `${WORDS}${PLATES}export default model('M', { scale: '1:48' }, () => plates)`
  const root = written({ 'a.ts': `process.exit(0)\n${good}`, 'm.ts': good })
  const { code, stdout, stderr } = await cardwrightHere(root, ['build', '--no-types'])
  expect(code).toBe(1)
  expect(stderr).toContain('error: process.exit(0) was called\n  parts/a.ts:1:9 (exit)\n')
  expect(stdout).toContain('out/m: sheets and manifest written')
})

test.each([
  ['20.19.0', undefined],
  ['22.1.0', undefined],
  ['20.18.3', 'error: this is Node 20.18.3, cardwright needs 20.19 or later\n  install a newer one from nodejs.org\n'],
  ['18.20.4', 'error: this is Node 18.20.4, cardwright needs 20.19 or later\n  install a newer one from nodejs.org\n'],
])('Node %s', (running, wanted) => {
  expect(oldNode(running, '>=20.19')).toBe(wanted)
})

test.each([['build --help'], ['build -h'], ['help build'], ['--help build'], ['build sandpiper --scale 1:72 -h']])(
  'help is there however it is asked for: %s',
  async (line) => {
    const { code, stdout } = await cardwrightHere(emptyFolder(), line.split(' '))
    expect({ code, first: stdout.split('\n')[0] }).toEqual({ code: 0, first: 'Usage: cardwright build [MODEL]... [options]' })
  },
)
