import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { givenOffcuts, requireOneModel } from '../../lib/cli/offcuts'
import { readManifest } from '../../lib/revision/readManifest'
import { builtInStock } from '../../lib/stock/catalogue'
import { offcutStock, stockOfSheet } from '../../lib/stock/offcut'
import { buildCommand, cardwright, contents, project } from '../helpers/command'

beforeAll(buildCommand)

const messageOf = (work: () => unknown) => {
  try {
    work()
    return undefined
  } catch (error) {
    return (error as Error).message
  }
}

describe('offcuts on the command line', () => {
  test('are sizes and rectangles in mm, by stock, in the order given', () => {
    const offcut = ['folder=150x200', ' folder = 90.5 × 60 mm ', 'divider=100x100mm']
    expect([...givenOffcuts({ offcut, used: ['folder=0,180,215.9,99.4'] })]).toEqual([
      ['folder', { pieces: [{ width: 150, height: 200 }, { width: 90.5, height: 60 }], used: [{ x: 0, y: 180, width: 215.9, height: 99.4 }] }],
      ['divider', { pieces: [{ width: 100, height: 100 }], used: [] }],
    ])
  })

  test.each([
    ['150x200', '"150x200" is not a stock with a size'],
    ['folder=', '"folder=" is not a stock with a size'],
    ['folder=150', '"folder=150" is not a stock with a size'],
    ['folder=150x', '"folder=150x" is not a stock with a size'],
    ['folder=150x-20', '"folder=150x-20" is not a stock with a size'],
    ['folder=1e9x20', '"folder=1e9x20" is not a stock with a size'],
    ['folder=0x20', 'folder: "0x20" has a side of 0 mm'],
  ])('%s is refused', (text, message) => {
    expect(messageOf(() => givenOffcuts({ offcut: [text], used: [] }))).toContain(message)
  })

  test.each([
    ['folder=1,2,3', '"folder=1,2,3" is not a stock with a rectangle'],
    ['folder=10,10,20,0', 'folder: "10,10,20,0" has a side of 0 mm'],
  ])('used %s is refused', (text, message) => {
    expect(messageOf(() => givenOffcuts({ offcut: [], used: [text] }))).toContain(message)
  })

  test('go to one model only', () => {
    const given = givenOffcuts({ offcut: ['folder=150x200'], used: [] })
    expect(() => requireOneModel(given, [{ name: 'tug' }])).not.toThrow()
    expect(messageOf(() => requireOneModel(given, [{ name: 'tug' }, { name: 'tram' }]))).toContain(
      '--offcut, --used: 2 models are to be built, and a piece of card goes to one of them',
    )
  })
})

describe('the card of an offcut', () => {
  test('has its grain as whole sheets have, whichever side is the longer', () => {
    const folder = builtInStock('folder')
    expect(folder.grain).toBe('long')
    expect(offcutStock(folder, { width: 150, height: 200 })).toMatchObject({ grain: 'long', margin: folder.margin })
    expect(offcutStock(folder, { width: 200, height: 110 })).toMatchObject({
      grain: 'short',
      sheet: { name: '200 × 110 mm', width: 200, height: 110 },
    })
    const { width, height } = folder.sheet
    const offcuts = [{ width: 150, height: 200 }, { width, height, used: [{ x: 0, y: 200, width, height: 50 }] }]
    expect([0, 1, 2].map((index) => stockOfSheet(folder, offcuts, index).sheet.width)).toEqual([150, width, width])
  })
})

describe('a build on offcuts', () => {
  test('fills them first, draws what is used, and check and the next build agree without being told again', () => {
    const folder = project('good')
    const out = join(folder, 'out/tug')
    const options = ['--offcut', 'divider=150x120', '--used', 'folder=0,150,215.9,129.4']
    const built = cardwright(folder, ['build', '--no-types', ...options])
    expect({ code: built.code, stderr: built.stderr }).toEqual({ code: 0, stderr: '' })
    const files = contents(out)
    const { stocks, pieces } = readManifest(readFileSync(join(out, 'manifest.json'), 'utf8'))
    expect(stocks.map(({ id, offcuts }) => [id, offcuts])).toEqual([
      ['divider', [{ width: 150, height: 120 }]],
      ['folder', [{ width: 215.9, height: 279.4, used: [{ x: 0, y: 150, width: 215.9, height: 129.4 }] }]],
    ])
    const offcut = readFileSync(join(out, 'sheets/divider-01.svg'), 'utf8')
    expect(offcut).toMatch(/width="150mm" height="120mm"/)
    expect(offcut).toContain('offcut 150 × 120 mm')
    const used = readFileSync(join(out, 'sheets/folder-01.svg'), 'utf8')
    expect(used).toMatch(/width="215.9mm" height="279.4mm"/)
    expect(used).toContain('sheet used in part')
    for (const { stock, outline, placements } of pieces) {
      if (stock !== 'folder') continue
      for (const { y, turn, sheet } of placements) {
        expect(sheet).toBe(0)
        const [sin, cos] = [Math.sin((turn * Math.PI) / 180), Math.cos((turn * Math.PI) / 180)]
        expect(Math.max(...outline.map(([px, py]) => y + px * sin + py * cos))).toBeLessThan(148.01)
      }
    }

    expect(cardwright(folder, ['check', '--no-types']).code).toBe(0)
    expect(cardwright(folder, ['check', '--no-types', '--no-cache']).code).toBe(0)
    cardwright(folder, ['build', '--no-types', '--no-cache'])
    expect(contents(out)).toEqual(files)
    cardwright(folder, ['build', '--no-types', '--no-cache', ...options])
    expect(contents(out)).toEqual(files)

    // Afresh is without them.
    cardwright(folder, ['build', '--no-types', '--repack'])
    expect(readFileSync(join(out, 'manifest.json'), 'utf8')).not.toContain('offcuts')
    expect(readFileSync(join(out, 'sheets/divider-01.svg'), 'utf8')).toMatch(/width="215.9mm"/)
  })

  test.each([
    [['--offcut', 'foldr=150x200'], 'offcut of "foldr": no piece of the model is cut from that\n  did you mean "folder"?'],
    [['--offcut', 'folder=300x300'], 'offcut of folder, 300 × 300 mm: larger than a sheet of 215.9 × 279.4 mm'],
    [['--offcut', 'folder=40x40'], 'offcut of folder, 40 × 40 mm: its margins, title and bars leave 23 × 0 mm for pieces'],
    [['--used', 'folder=200,200,30,20'], 'used part of folder, 30 × 20 mm at 200, 200: it reaches beyond the sheet of 215.9 × 279.4 mm'],
    [['--used', 'folder=0,0,20,20'], 'used part of folder, 20 × 20 mm at 0, 0: the lowest'],
  ])('refuses %j and writes nothing', (options, message) => {
    const folder = project('good')
    const { code, stderr } = cardwright(folder, ['build', '--no-types', ...options])
    expect(code).toBe(1)
    expect(stderr).toContain(message)
    expect(() => readFileSync(join(folder, 'out/tug/manifest.json'))).toThrow()
  })
})
