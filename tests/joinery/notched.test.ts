import { describe, expect, test } from 'vitest'
import { ZERO, bench, circle, family, full, mirrored, notched, piece, plane, stations, stringers } from '../../lib'
import type { StringersOptions } from '../../lib'
import { area, boundsOf } from '../../lib/shape/measure'
import { findingOf, modelOf, pieceOf } from '../helpers/model'

/** Round frames of 20 mm radius, 30 mm apart. */
const frames = (count = 4) =>
  family('F', stations.pitch(count, ZERO, bench.mm(30)), (x) =>
    piece({ stock: 'divider' }).outline(circle(bench.mm(20))).openings(circle(bench.mm(15))).place(plane.frame(x)),
  )

/** Area of a frame's disc as it is drawn, by chords. */
const WHOLE = area([pieceOf(modelOf(() => frames(1)), 'F-01').outline])

/** Along the side at 30 degrees above level, running past the frames at both ends. */
const side = (length: number): StringersOptions => ({
  stock: 'divider',
  breadth: bench.mm(2.2),
  handed: true,
  lines: [[-5, length].map((x) => [bench.mm(x), bench.mm(20 * Math.cos(Math.PI / 6)), bench.mm(10)] as const)],
})

describe('frames and strips', () => {
  const model = modelOf(() => notched(frames(), [stringers('SG', side(100))]))
  const { thickness, fit } = model.stocks.get('divider')!

  test('each frame is notched to port and starboard, as wide and deep as the strip asks', () => {
    expect(model.findings).toEqual([])
    const notch = notchArea(2.2, thickness.value, fit.sliding.value)
    // The disc's edge is drawn within 0.01 mm, over two notches of 2.26 mm.
    for (const mark of ['F-01', 'F-02', 'F-03', 'F-04']) {
      expect(WHOLE - area([pieceOf(model, mark).outline])).toBeCloseTo(2 * notch, 1)
    }
  })

  test('a strip is as long as its line, with both faces of every frame on it', () => {
    const strip = pieceOf(model, 'SG-S01')
    expect(boundsOf([strip.outline])).toEqual({ minX: 0, minY: 0, maxX: 105, maxY: 2.2 })
    const faces = [5, 35, 65, 95].flatMap((x) => [x - thickness.value / 2, x + thickness.value / 2])
    expect(strip.lines.map(({ line }) => line[0]![0])).toEqual(faces.map((x) => expect.closeTo(x, 9)))
    expect(strip.notes).toEqual(['Flat to the skin, through F-01 to F-04; its lines are their faces.'])
    expect(pieceOf(model, 'SG-P01').outline).toEqual(strip.outline)
  })
})

test('a strip too long for the sheet is cut on frames, and nothing of it is lost', () => {
  const model = modelOf(() => notched(frames(14), [stringers('SG', side(400))]))
  const parts = ['A', 'B'].map((name) => boundsOf([pieceOf(model, `SG-S01-${name}`).outline]).maxX)
  expect(parts[0]! + parts[1]!).toBeCloseTo(405, 9)
  expect((parts[0]! - 5) % 30).toBeCloseTo(0, 9)
  expect(Math.max(...parts)).toBeLessThan(model.stocks.get('divider')!.sheet.height - 30)
})

test('handed frames take the strips of their own side', () => {
  const off = family('F', stations.pitch(2, ZERO, bench.mm(30)), (x) =>
    piece({ stock: 'divider' }).outline(circle(bench.mm(20))).place(plane.frame(x, { y: bench.mm(60) })),
  )
  const line = [-5, 40].map((x) => [bench.mm(x), bench.mm(80), ZERO] as const)
  const model = modelOf(() => notched(mirrored(off), [stringers('SG', { ...side(40), lines: [line] })]))
  expect(model.findings).toEqual([])
  const lost = ['F-P01', 'F-S01', 'F-P02', 'F-S02'].map((mark) => WHOLE - area([pieceOf(model, mark).outline]))
  for (const one of lost) expect(one).toBeCloseTo(lost[0]!, 3)
  expect(lost[0]).toBeGreaterThan(0.9)
})

test('on edge, the strip stands its breadth deep and its thickness wide', () => {
  const model = modelOf(() => notched(frames(2), [stringers('SG', { ...side(40), lies: 'on edge' })]))
  const { thickness, fit } = model.stocks.get('divider')!
  const notch = notchArea(thickness.value, 2.2, fit.sliding.value)
  expect(WHOLE - area([pieceOf(model, 'F-01').outline])).toBeCloseTo(2 * notch, 2)
})

describe('what is wrong', () => {
  test('a line off the outline, with mark, place, both numbers and the line', () => {
    const lines = [[0, 40].map((x) => [bench.mm(x), bench.mm(24), ZERO] as const)]
    const { findings } = modelOf(() => notched(frames(2), [stringers('SG', { ...side(40), lines })]))
    expect(findings[0]).toMatchObject({ id: 'stringer-off', severity: 'error', mark: 'F-01', family: 'F', wanted: 1 })
    expect(findings[0]!.found).toBeCloseTo(4, 2)
    expect(findings[0]!.site?.file).toContain('notched.test.ts')
  })

  test('stringers without a line, or of one point', () => {
    const one = () => stringers('SG', { ...side(40), lines: [[[ZERO, ZERO, full.m(1)]]] })
    expect(findingOf(one)).toMatchObject({ id: 'stringers', family: 'SG', found: 1, wanted: 2 })
    expect(findingOf(() => stringers('SG', { ...side(40), lines: [] })).text).toContain('0 lines')
  })
})

/**
 * Area that a strip's notch takes out of a disc of 20 mm: the strip's outer corners lie on the circle, its inner face,
 * with half of the fit, is the bottom; the notch is wider than the strip by the fit.
 */
function notchArea(wide: number, deep: number, fit: number): number {
  const bottom = Math.sqrt(400 - (wide / 2) ** 2) - deep - fit / 2
  const half = (wide + fit) / 2
  const angle = Math.asin(half / 20)
  const segment = 400 * (angle - Math.sin(angle) * Math.cos(angle))
  return 2 * half * (Math.sqrt(400 - half * half) - bottom) + segment
}
