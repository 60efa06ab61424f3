import { execFileSync } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { PNG } from 'pngjs'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { svgOf } from '../../lib/sheet/index'
import { sheetSize } from '../../lib/stock/sheetSize'
import { box, hole, testPiece } from './pieces'
import { drawn, segmentsOf, stock } from './sheet'

/**
 * A printed sheet, as near as a machine without a printer comes to one: rendered at the 600 dpi of a laser printer by
 * a program that knows nothing of ours, and measured on the dots.
 */
const DPI = 600
const DOT = 25.4 / DPI

const folder = mkdtempSync(join(tmpdir(), 'sheet-print-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

function render(svg: string, width: number, height: number): PNG {
  const [source, picture] = [join(folder, 'sheet.svg'), join(folder, 'sheet.png')]
  writeFileSync(source, svg)
  if (existsSync('/usr/bin/rsvg-convert')) {
    const dots = ['-d', `${DPI}`, '-p', `${DPI}`]
    execFileSync('/usr/bin/rsvg-convert', [...dots, '--background-color=white', '-o', picture, source])
  } else if (existsSync('/usr/bin/chromium')) {
    const pixels = (mm: number) => Math.round((mm / 25.4) * 96)
    execFileSync('/usr/bin/chromium', [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--hide-scrollbars',
      `--force-device-scale-factor=${DPI / 96}`,
      `--window-size=${pixels(width)},${pixels(height)}`,
      `--screenshot=${picture}`,
      `file://${source}`,
    ])
  } else {
    throw new Error('nothing to render a sheet with: install librsvg2-bin (rsvg-convert) or chromium, as .ci/run does')
  }
  return PNG.sync.read(readFileSync(picture))
}

/** How black a dot is, 0 to 1. */
function ink({ data, width }: PNG, column: number, row: number): number {
  return 1 - data[4 * (row * width + column)]! / 255
}

/** Middles, in mm along it, of the runs of ink that a straight row or column of dots meets between two places. */
function inkAlong(picture: PNG, axis: 'x' | 'y', across: number, from: number, to: number): number[] {
  const middles: number[] = []
  let [sum, weight] = [0, 0]
  for (let i = Math.floor(from / DOT); i <= to / DOT; i++) {
    const line = Math.floor(across / DOT)
    const black = axis === 'x' ? ink(picture, i, line) : ink(picture, line, i)
    if (black > 0.1) {
      sum += black * (i + 0.5)
      weight += black
    } else if (weight > 0) {
      middles.push((sum / weight) * DOT)
      ;[sum, weight] = [0, 0]
    }
  }
  return middles
}

describe('a sheet rendered at 600 dpi', () => {
  const a5 = { ...stock, sheet: sheetSize('A5') }
  const { width, height } = a5.sheet
  const place = { id: 'FR-01', sheet: 0, x: 30, y: 90, turn: 0 }
  const plate = testPiece('FR-01', box(0, 0, 80, 40), { openings: [hole(20, 10, 8, 720)] })
  const [drawing] = drawn([plate], { stock: a5, placements: [place] })
  const bars = segmentsOf(drawing!.furniture, ['bar']).filter(([ax, ay, bx, by]) => Math.hypot(bx - ax, by - ay) > 50)
  let picture: PNG

  beforeAll(() => {
    picture = render(svgOf(drawing!), width, height)
  })

  test('has the size of the paper', () => {
    expect(Math.abs(picture.width * DOT - width)).toBeLessThan(2 * DOT)
    expect(Math.abs(picture.height * DOT - height)).toBeLessThan(2 * DOT)
  })

  test('has a bar of 100 mm across, from tick to tick, within half a dot', () => {
    const [ax, ay, bx] = bars.find((bar) => bar[1] === bar[3])!
    // Beside the bar, where only the ends' long ticks reach.
    const ticks = inkAlong(picture, 'x', height - ay - 0.8, ax - 1, bx + 1)
    expect(ticks).toHaveLength(2)
    expect(Math.abs(ticks[1]! - ticks[0]! - 100)).toBeLessThan(DOT / 2)
  })

  test('has a bar of 100 mm up, from tick to tick, within half a dot', () => {
    const [ax, ay, , by] = bars.find((bar) => bar[0] === bar[2])!
    const ticks = inkAlong(picture, 'y', ax + 0.8, height - by - 1, height - ay + 1)
    expect(ticks).toHaveLength(2)
    expect(Math.abs(ticks[1]! - ticks[0]! - 100)).toBeLessThan(DOT / 2)
  })

  test('shows the cuts of a piece where they belong, within half a dot', () => {
    // Along a line 5 mm above the lower edge: the side, both sides of the opening, the other side.
    const cuts = inkAlong(picture, 'x', height - (place.y + 5), place.x - 1, place.x + 81)
    expect(cuts).toHaveLength(4)
    const row = (Math.floor((height - place.y - 5) / DOT) + 0.5) * DOT
    const half = Math.sqrt(64 - (height - row - place.y - 10) ** 2)
    const wanted = [0, 20 - half, 20 + half, 80].map((x) => x + place.x)
    cuts.forEach((at, i) => expect(Math.abs(at - wanted[i]!)).toBeLessThan(DOT / 2))
  })
})
