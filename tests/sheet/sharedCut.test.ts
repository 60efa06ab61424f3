import { expect, test } from 'vitest'
import { dxfOf } from '../../lib/sheet/dxf'
import { svgOf } from '../../lib/sheet/svg'
import { rounded } from '../nest/cases'
import { box, testPiece } from './pieces'
import { drawn } from './sheet'

const at = (id: string, x: number, y: number) => ({ id, sheet: 0, x, y, turn: 0 })

/** All lines of the cuts, added up. */
function cutLength(drawing: ReturnType<typeof drawn>[number]): number {
  return drawing.pieces
    .flatMap(({ marks }) => marks.flatMap((mark) => (mark.kind === 'stroke' && mark.role === 'cut' ? mark.lines : [])))
    .reduce((sum, { points, closed }) => {
      const ends = closed ? [...points, points[0]!] : points
      return sum + ends.slice(1).reduce((all, [x, y], i) => all + Math.hypot(x - ends[i]![0], y - ends[i]![1]), 0)
    }, 0)
}

test('a cut that parts two pieces is drawn once, with the first of them, in every format', () => {
  // Four plates of 40 × 20 mm in two rows: 12 edges instead of 16, those shared being two of 40 and two of 20 mm.
  const plates = ['A', 'B', 'C', 'D'].map((mark) => testPiece(mark, box(0, 0, 40, 20)))
  const together = [at('A', 40, 60), at('B', 80, 60), at('C', 40, 80), at('D', 80, 80)]
  const [drawing] = drawn(plates, { placements: together })
  expect(cutLength(drawing!)).toBeCloseTo(4 * 120 - 2 * 40 - 2 * 20, 6)
  const closed = drawing!.pieces.map(({ marks }) => marks.some((mark) => mark.kind === 'stroke' && mark.role === 'cut' && mark.lines[0]!.closed))
  expect(closed).toEqual([true, false, false, false])
  const inDxf = [...dxfOf(drawing!).matchAll(/POLYLINE\n8\nCUT\n66\n1\n70\n(\d)/g)].map(([, isClosed]) => isClosed)
  expect(inDxf).toEqual(['1', '0', '0', '0'])
  expect(svgOf(drawing!).match(/class="cut" d="[^"]*"/g)!.filter((path) => path.includes('Z') || path.includes('z'))).toHaveLength(1)

  const apart = [at('A', 40, 60), at('B', 82, 60), at('C', 40, 82), at('D', 82, 82)]
  const [parted] = drawn(plates, { placements: apart })
  expect(cutLength(parted!)).toBeCloseTo(4 * 120, 6)
  const says = ({ furniture }: typeof parted & object) =>
    furniture.some((mark) => mark.kind === 'lettering' && mark.text.includes('pieces edge to edge: one cut parts both'))
  expect(says(drawing!)).toBe(true)
  expect(says(parted!)).toBe(false)
})

test('of a side that lies along a longer one no stretch is drawn twice', () => {
  // Two plates of 30 × 10 mm on one of 80 × 20 mm, and one of 60 × 15 mm with corners rounded to 2 mm beneath it.
  const plates = [box(0, 0, 30, 10), box(0, 0, 30, 10), box(0, 0, 80, 20), rounded(60, 15, 2)]
  const pieces = plates.map((outline, i) => testPiece('ABCD'[i]!, outline))
  const around = 2 * 80 + 200 + cutLength(drawn([pieces[3]!], { placements: [at('D', 40, 60)] })[0]!)
  const [drawing] = drawn(pieces, { placements: [at('A', 40, 80), at('B', 70, 80), at('C', 40, 60), at('D', 50, 45)] })
  expect(cutLength(drawing!)).toBeCloseTo(around - 30 - 30 - 10 - 56, 6)
})

test('every strip of a stack has its label on a leader to its own end', () => {
  // 1.8 mm strips: no room for letters inside, and two labels at one end would cover each other.
  const strips = Array.from({ length: 9 }, (_, i) => testPiece(`WH-P0${i + 1}-1`, box(0, 0, 120, 1.8)))
  const [drawing] = drawn(strips, { placements: strips.map(({ mark }, i) => at(mark, 40, 100 + 1.8 * i)) })
  for (const [i, { mark, marks }] of drawing!.pieces.entries()) {
    expect(marks.filter(({ kind }) => kind === 'lettering').map((each) => each.kind === 'lettering' && each.text)).toEqual([mark])
    const leader = marks.find((each) => each.kind === 'stroke' && each.role === 'leader')
    const [tip] = leader?.kind === 'stroke' ? leader.lines[0]!.points : []
    const low = 100 + 1.8 * i
    expect(tip![1]).toBeGreaterThan(low - 0.01)
    expect(tip![1]).toBeLessThan(low + 1.81)
    // Inner strips are only open at their ends.
    if (i > 0 && i < 8) expect(Math.min(Math.abs(tip![0] - 40), Math.abs(tip![0] - 160))).toBeLessThan(0.01)
  }
})
