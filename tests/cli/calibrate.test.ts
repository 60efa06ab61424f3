import { mkdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { buildCommand, cardwright, contents, project } from '../helpers/command'

beforeAll(buildCommand, 150_000)

const READINGS = ['--x', '164.5mm,164.75mm', '--y', '219.5mm', '--diagonals', '274.25mm,274.75mm']

describe('cardwright calibrate', () => {
  test('writes the target as PDF and SVG', () => {
    const root = project('good')
    expect(cardwright(root, ['calibrate', '--sheet', 'A4'])).toEqual({
      code: 0,
      stdout:
        'out/calibration/a4.pdf and out/calibration/a4.svg written\n' +
        'Print one of them at 100 % (“actual size”); it says how to measure it.\n',
      stderr: '',
    })
    expect(readFileSync(join(root, 'out/calibration/a4.svg'), 'utf8')).toContain('width="210mm" height="297mm"')
  })

  test('keeps a printer, and builds sheets that are true for it', () => {
    const root = project('good')
    expect(cardwright(root, ['calibrate', '--printer', 'den', ...READINGS]).stdout).toBe(
      [
        'printer den, 5 readings:',
        '  across: -0.210 % ± 0.115 % (-0.42 mm in 200 mm)',
        '  up: -0.193 % ± 0.094 % (-0.39 mm in 200 mm)',
        '  skew: -0.109° ± 0.089°',
        '  once corrected: ±0.23 mm in 200 mm (k = 2, about 95 %)',
        'printers.json written. Now: cardwright build --pdf --printer den',
        '',
      ].join('\n'),
    )
    expect(JSON.parse(readFileSync(join(root, 'printers.json'), 'utf8'))).toMatchObject({
      schema: 1,
      printers: [{ name: 'den', scaleX: 0.9979, scaleY: 0.998072, skewDegrees: -0.1087, residualIn200mm: 0.23 }],
    })
    expect(cardwright(root, ['build', '--no-types', '--pdf', '--printer', 'den']).code).toBe(0)
    const sheets = contents(join(root, 'out/tug'))
    expect(Object.keys(sheets).toSorted()).toEqual([
      'manifest.json',
      'pdf/divider.pdf',
      'pdf/folder.pdf',
      'sheets/divider-01.svg',
      'sheets/folder-01.svg',
    ])
    expect(sheets['sheets/folder-01.svg']).toContain('true on printer den to ±0.23 mm in 200 mm')
  })

  const wrong = (root: string, words: readonly string[]) => {
    const { code, stderr } = cardwright(root, words)
    return { code, stderr }
  }

  test('names the printer that was meant', () => {
    const root = project('good')
    cardwright(root, ['calibrate', '--printer', 'den', ...READINGS])
    expect(wrong(root, ['build', '--printer', 'dem'])).toEqual({
      code: 2,
      stderr: 'error: there is no printer "dem" in printers.json\n  did you mean "den"?\n',
    })
  })

  test('refuses a sheet that is too small, and half a pair', () => {
    const root = project('good')
    expect(wrong(root, ['calibrate', '--sheet', 'A5'])).toEqual({
      code: 2,
      stderr:
        'error: the target is 173 × 228 mm, between its margins A5 has 136.0 × 198.0 mm\n' +
        '  print it on a larger sheet: --sheet A4 or --sheet letter\n',
    })
    expect(wrong(root, ['calibrate', '--printer', 'den', '--diagonals', '274mm'])).toEqual({
      code: 2,
      stderr:
        'error: --diagonals "274mm" has 1 length, a pair has 2\n' +
        '  give C and D together: --diagonals 274.25mm,274.75mm; more pairs with --diagonals again\n',
    })
  })

  test('leaves what was there when it cannot write', () => {
    const root = project('good')
    mkdirSync(join(root, 'out'))
    writeFileSync(join(root, 'out/calibration'), 'mine')
    expect(wrong(root, ['calibrate'])).toEqual({
      code: 1,
      stderr:
        'error: out/calibration could not be written: a file stands where a folder is needed (EEXIST)\n' +
        '  move that file, or write elsewhere with --out; what was there is untouched\n',
    })
    expect(readFileSync(join(root, 'out/calibration'), 'utf8')).toBe('mine')
  })
})

test('a title that the font cannot write stops a PDF and keeps the last good pack', () => {
  const root = project('good')
  cardwright(root, ['build', '--no-types', '--pdf'])
  const before = contents(join(root, 'out'))
  const source = join(root, 'parts/tug/index.ts')
  writeFileSync(source, readFileSync(source, 'utf8').replace("model('Tug'", "model('Tug 中'"))
  const { code, stderr } = cardwright(root, ['build', '--no-types', '--pdf'])
  expect({ code, stderr }).toEqual({
    code: 1,
    stderr:
      'error: the title "Tug 中" has the character "中" (U+4E2D), which the font of the sheets lacks\n' +
      '  write it in Latin letters; the font has those of European languages\n\n',
  })
  expect(contents(join(root, 'out'))).toEqual(before)
})
