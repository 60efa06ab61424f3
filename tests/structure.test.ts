import { readFileSync, readdirSync } from 'node:fs'
import { dirname, join, relative, sep } from 'node:path'
import { expect, test } from 'vitest'

const LIB = join(__dirname, '..', 'lib')
const PARTS = join(__dirname, '..', 'parts')

/** A folder may import from those before it. */
const ORDER = [
  'memo',
  'finding',
  'length',
  'survey',
  'stock',
  'shape',
  'section',
  'craft',
  'model',
  'joinery',
  'fit',
  'check',
  'nest',
  'sheet',
  'revision',
  'estimate',
  'book',
  'view',
  'cli',
]

const files = (folder: string): string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.endsWith('.d.ts'))
    .map((name) => join(folder, name))

const imports = (file: string): string[] =>
  [...readFileSync(file, 'utf8').matchAll(/^(?:import|export)\s[\w*{}\s,]+\sfrom\s'([^'\n]+)'|\b(?:require|import)\('([^'\n]+)'\)/gm)].map((match) => match[1] ?? match[2]!)

test('inside lib, a folder imports only from those before it', () => {
  const wrong = files(LIB).flatMap((file) => {
    const own = ORDER.indexOf(relative(LIB, file).split(sep)[0]!)
    if (own < 0) return []
    return imports(file)
      .filter((target) => target.startsWith('.') && !target.endsWith('.json'))
      .map((target) => relative(LIB, join(dirname(file), target)).split(sep)[0]!)
      .filter((folder) => ORDER.indexOf(folder) > own || ORDER.indexOf(folder) < 0)
      .map((folder) => `${relative(LIB, file)} imports from ${folder}`)
  })
  expect(wrong).toEqual([])
})

test('every folder of lib has its place in the order', () => {
  const folders = readdirSync(LIB, { withFileTypes: true }).filter((entry) => entry.isDirectory())
  expect(folders.map(({ name }) => name).filter((name) => !ORDER.includes(name))).toEqual([])
})

test('the demo models use the authors’ door alone', () => {
  const wrong = files(PARTS).flatMap((file) =>
    imports(file)
      .filter((target) => target !== 'cardwright' && !(target.startsWith('./') || target.startsWith('../')))
      .concat(imports(file).filter((target) => target.includes('lib/')))
      .map((target) => `${relative(PARTS, file)} imports ${target}`),
  )
  expect(wrong).toEqual([])
})

/** Letter shapes are part of the program, kept beside it as data because they are too large for a source file. */
const OWN_DATA = new Set([join('sheet', 'glyphs.ts')])

test('only cli touches disk, clock, network, terminal or chance', () => {
  const forbidden = /node:(?:fs|net|http|https|child_process|readline|os)\b|Date\.now|new Date\(|Math\.random|process\.(?:stdout|stderr|argv|env)|console\./
  const wrong = files(LIB)
    .filter((file) => !relative(LIB, file).startsWith('cli'))
    .filter((file) => forbidden.test(readFileSync(file, 'utf8')))
    .map((file) => relative(LIB, file))
    .filter((file) => !OWN_DATA.has(file))
  expect(wrong).toEqual([])
})
