import { mkdirSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { buildCommand, cardwrightHere, emptyFolder } from '../helpers/command'

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

const WORDS = `import { assembly, bench, family, full, model, piece, rectangle, single, stations } from 'cardwright'\n`
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
