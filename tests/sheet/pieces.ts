import type { LineKind, Opening, Piece, Score } from '../../lib/model/piece'
import { placeLoop } from '../../lib/nest/turn'
import type { Loop, Point } from '../../lib/shape/point'

/** A piece of plain data for the sheet tests; everything but the outline may be left out. */
export function testPiece(mark: string, outline: Loop, rest: Partial<Piece> = {}): Piece {
  return {
    mark,
    family: mark.split('-')[0]!,
    side: '',
    station: 1,
    assembly: '',
    stock: 'folder',
    plies: 1,
    copies: 1,
    outline,
    openings: [],
    scores: [],
    lines: [],
    texts: [],
    reads: [],
    notes: [],
    ...rest,
  }
}

export function box(minX: number, minY: number, maxX: number, maxY: number): Loop {
  return [
    [minX, minY],
    [maxX, minY],
    [maxX, maxY],
    [minX, maxY],
  ]
}

/** A round opening, clockwise. */
export function hole(x: number, y: number, radius: number, corners = 48): Opening {
  const loop = Array.from({ length: corners }, (_, i): Point => {
    const angle = (-2 * Math.PI * i) / corners
    return [x + radius * Math.cos(angle), y + radius * Math.sin(angle)]
  })
  return { kind: 'opening', loop }
}

/** A wing rib: an aerofoil-like outline with two spar slots from below and lightening holes. */
export function rib(mark: string, chord: number): Piece {
  const upper = Array.from({ length: 41 }, (_, i): Point => {
    const t = i / 40
    const x = t * t
    return [x * chord, thicknessAt(x) * chord * 0.62]
  })
  const lower = upper
    .slice(1, -1)
    .toReversed()
    .map(([x, y]): Point => [x, y * -0.5])
  const outline = [...upper, ...lower].toReversed()
  const holes = [0.18, 0.42, 0.56].map((x) => hole(x * chord, 0.008 * chord, thicknessAt(x) * chord * 0.33))
  const slots = [0.3, 0.68].map((x): Opening => ({
    kind: 'slot',
    loop: box(x * chord, -0.01 * chord, x * chord + 0.6, 0.03 * chord).toReversed(),
  }))
  return testPiece(mark, outline, {
    openings: [...holes, ...slots],
    lines: [{ kind: 'datum', line: [[0, 0], [chord, 0]], closed: false }],
    grain: 0,
  })
}

/** A seat: pan and back from one blank, folded twice, a glue tab at the end. */
export function seat(mark: string, width: number, depth: number): Piece {
  const scores: Score[] = [
    { fold: 'valley', line: [[0, depth], [width, depth]], angle: 100 },
    { fold: 'mountain', line: [[0, depth * 2.2], [width, depth * 2.2]], angle: 180 },
  ]
  const tab = line('glue', box(0.8, depth * 2.3, width - 0.8, depth * 2.6))
  return testPiece(mark, box(0, 0, width, depth * 2.7), { scores, lines: [tab] })
}

export function line(kind: LineKind, points: Loop, closed = true): Piece['lines'][number] {
  return { kind, line: points, closed }
}

/** The same outline turned and moved. */
export function moved(loop: Loop, turn: number, x: number, y: number): Loop {
  return placeLoop(loop, turn, x, y)
}

function thicknessAt(x: number): number {
  return 5 * 0.15 * (0.2969 * Math.sqrt(x) - 0.126 * x - 0.3516 * x * x + 0.2843 * x ** 3 - 0.1015 * x ** 4)
}
