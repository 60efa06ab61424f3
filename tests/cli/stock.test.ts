import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, describe, expect, test } from 'vitest'
import { buildCommand, cardwright, project } from '../helpers/command'

beforeAll(buildCommand)

describe('the stock command', () => {
  test('makes coupons, takes what they measured, and the next build uses it', () => {
    const folder = project('good')
    const made = cardwright(folder, ['stock', 'coupon', 'folder'])
    expect({ code: made.code, stderr: made.stderr }).toEqual({ code: 0, stderr: '' })
    expect(readFileSync(join(folder, 'out/coupons/folder/sheets/folder-01.svg'), 'utf8')).toContain('id="CU-SLOTS"')
    expect(readFileSync(join(folder, 'out/coupons/folder/readings.txt'), 'utf8')).toContain('droop-along=…mm:…mm')

    const measured = cardwright(folder, ['stock', 'measure', 'folder', 'pile=3.00mm', 'holds=0.33mm'])
    expect({ code: measured.code, stderr: measured.stderr }).toEqual({ code: 0, stderr: '' })
    expect(measured.stdout).toBe(
      [
        'folder:',
        '  thickness                  0.3 mm ± 0.0058 mm (95 %), was 0.28 mm',
        '  slot, tight                +0.03 mm ± 0.01 mm (95 %), was +0.02 mm',
        'written to stocks.json; the next build takes them',
        '',
      ].join('\n'),
    )
    cardwright(folder, ['build', '--no-types'])
    const { stocks } = JSON.parse(readFileSync(join(folder, 'out/tug/manifest.json'), 'utf8'))
    expect(stocks.find(({ id }: { id: string }) => id === 'folder').thickness).toMatchObject({ value: 0.3, nominal: false })
  })

  test('refuses what cannot be, and leaves the book as it was', () => {
    const folder = project('good')
    const wrong = cardwright(folder, ['stock', 'measure', 'foldr', 'pile=3mm'])
    expect(wrong).toEqual({ code: 2, stdout: '', stderr: 'error: there is no stock "foldr"\n  did you mean "folder"?\n' })
    expect(cardwright(folder, ['stock', 'measure', 'folder', 'pile=30mm']).code).toBe(2)
    expect(cardwright(folder, ['stock', 'weigh', 'folder']).stderr).toBe(
      'error: there is no stock "weigh", and no task of that name\n' +
        '  use one of: bristol, coupon, cover, divider, folder, index, measure, pressboard\n',
    )
    expect(existsSync(join(folder, 'stocks.json'))).toBe(false)
    writeFileSync(join(folder, 'stocks.json'), '{"schema":1,"stoc')
    const torn = cardwright(folder, ['stock', 'measure', 'folder', 'pile=3mm'])
    expect(torn.code).not.toBe(0)
    expect(torn.stderr).toContain('stocks.json is not JSON')
    expect(readFileSync(join(folder, 'stocks.json'), 'utf8')).toBe('{"schema":1,"stoc')
  })
})
