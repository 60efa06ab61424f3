import { FindingError } from '../../finding/finding'
import { subtract } from '../../shape/boolean'
import { area } from '../../shape/measure'
import type { Loop, Point, Polyline, Region } from '../../shape/point'
import { crossingsOf } from '../../shape/span'
import type { Flat, FlatLine, FlatOpening } from '../flat'
import { withoutRepeats } from '../line'
import { distance } from '../space'
import { flatOf } from './pattern'
import { type Development, type Ruling, developmentOutline } from './unroll'

/** A part of a skin that goes on one sheet. */
export interface SheetPanel {
  readonly development: Development
  readonly flat: Flat
}

/**
 * Cuts a developed skin along rulings into panels that each fit a sheet, as few and as equal as will do; what is drawn
 * on it and cut out of it is shared out among them.
 *
 * @throws FindingError where even a single strip between two rulings is too long
 */
export function panelsToFit(
  skin: { readonly development: Development; readonly flat: Flat },
  sheet: { readonly width: number; readonly height: number },
): SheetPanel[] {
  const { rulings } = skin.development
  for (let count = 1; count < rulings.length; count++) {
    const parts = slices(skin.development, count)
    if (!parts.every((part) => fitsSheet(part, sheet))) continue
    return parts.map((development) => ({ development, flat: shareOf(skin.flat, development) }))
  }
  const { a, b } = skin.development
  const longest = Math.max(...rulings.map(([i, j]) => distance(a[i]!, b[j]!)))
  throw new FindingError({
    id: 'panel-too-large',
    severity: 'error',
    text: `a skin ${longest.toFixed(1)} mm from edge to edge on a sheet of ${sheet.width} x ${sheet.height} mm`,
    remedy: 'split it at a frame in between',
    found: longest,
    wanted: Math.max(sheet.width, sheet.height),
  })
}

/** The development between two of its rulings. */
export function sliceDevelopment(development: Development, from: number, to: number): Development {
  const [i0, j0] = development.rulings[from]!
  const [i1, j1] = development.rulings[to]!
  return {
    a: development.a.slice(i0, i1 + 1),
    b: development.b.slice(j0, j1 + 1),
    flatA: development.flatA.slice(i0, i1 + 1),
    flatB: development.flatB.slice(j0, j1 + 1),
    rulings: development.rulings.slice(from, to + 1).map(([i, j]): Ruling => [i - i0, j - j0]),
  }
}

/** What of the whole flat lies on one part of it: the parts keep the whole's axes. */
function shareOf(whole: Flat, part: Development): Flat {
  const own = flatOf(part)
  const left = subtract([own.outline], ...whole.openings.map(({ loop }): Region => [loop.toReversed()]))
  const outline = left.filter((loop) => area([loop]) > 0).toSorted((a, b) => area([b]) - area([a]))[0] ?? own.outline
  const openings = left.filter((loop) => area([loop]) < 0).map((loop): FlatOpening => ({ kind: 'opening', loop }))
  const lines = whole.lines.flatMap(({ kind, line, closed }): FlatLine[] =>
    clipLine(closed ? [...line, line[0]!] : line, own.outline).map((piece) => ({ kind, line: piece, closed: false })),
  )
  return { ...own, outline, openings, lines, ...(whole.grain !== undefined && { grain: whole.grain }) }
}

/** The parts of a line inside a loop. */
export function clipLine(line: Polyline, loop: Loop): Polyline[] {
  const pieces: Point[][] = []
  for (let i = 1; i < line.length; i++) {
    const [p, q] = [line[i - 1]!, line[i]!]
    const length = Math.hypot(q[0] - p[0], q[1] - p[1])
    if (length === 0) continue
    const at = (s: number): Point => [p[0] + ((q[0] - p[0]) * s) / length, p[1] + ((q[1] - p[1]) * s) / length]
    for (const { enter, leave } of crossingsOf([loop], p, q)) {
      const [from, to] = [Math.max(0, enter), Math.min(length, leave)]
      if (to <= from) continue
      const last = pieces.at(-1)?.at(-1)
      const goesOn = from === 0 && last !== undefined && Math.hypot(last[0] - p[0], last[1] - p[1]) < 1e-9
      if (goesOn) pieces.at(-1)!.push(at(to))
      else pieces.push([at(from), at(to)])
    }
  }
  return pieces.map(withoutRepeats).filter((piece) => piece.length > 1)
}

/** So many parts, cut at the rulings nearest to equal shares of the way between the edges. */
function slices(development: Development, count: number): Development[] {
  const { a, b, rulings } = development
  const reached = [0]
  for (let k = 1; k < rulings.length; k++) {
    const [i, j] = rulings[k - 1]!
    const [nextI, nextJ] = rulings[k]!
    reached.push(reached[k - 1]! + distance(a[i]!, a[nextI]!) + distance(b[j]!, b[nextJ]!))
  }
  const cuts = Array.from({ length: count + 1 }, (_, n) => {
    const wanted = (reached.at(-1)! * n) / count
    return reached.reduce(
      (best, value, k) => (Math.abs(value - wanted) < Math.abs(reached[best]! - wanted) ? k : best),
      0,
    )
  })
  const distinct = [...new Set(cuts)]
  return distinct.slice(1).map((to, n) => sliceDevelopment(development, distinct[n]!, to))
}

/** Fits at some turn: tried by whole degrees, the finest that anyone lays a sheet to. */
function fitsSheet(development: Development, { width, height }: { width: number; height: number }): boolean {
  const outline = developmentOutline(development)
  for (let turn = 0; turn < 180; turn++) {
    const c = Math.cos((turn * Math.PI) / 180)
    const s = Math.sin((turn * Math.PI) / 180)
    let [minX, maxX, minY, maxY] = [Infinity, -Infinity, Infinity, -Infinity]
    for (const [x, y] of outline) {
      minX = Math.min(minX, c * x - s * y)
      maxX = Math.max(maxX, c * x - s * y)
      minY = Math.min(minY, s * x + c * y)
      maxY = Math.max(maxY, s * x + c * y)
    }
    if (maxX - minX <= width && maxY - minY <= height) return true
  }
  return false
}
