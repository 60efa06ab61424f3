import { neutralSurface } from '../craft/develop/neutral'
import type { Development } from '../craft/develop/unroll'
import { distance, mix } from '../craft/space'
import type { Curved, Ruling } from '../model/form'
import type { Point } from '../shape/point'

/** Lines whose ends lie nearer than this to where the lines beside them would put them say nothing new, mm. */
const SAYS_NOTHING = 0.02

/**
 * How a developed piece stands: its straight lines, moved from the surface it was developed from to the middle of the
 * card, `out` mm outwards; as few as tell the shape. `move` is what became of the flat pattern since.
 */
export function curvedAs(development: Development, out: number, move: (point: Point) => Point = (point) => point): Curved {
  const { flatA, flatB, rulings } = development
  const { a, b } = neutralSurface(development, out)
  return thinned(
    rulings.map(([i, j]): Ruling => ({ flat: [move(flatA[i]!), move(flatB[j]!)], model: [a[i]!, b[j]!] })),
  )
}

/** From the face that was measured to the middle of the card. */
export function toMiddle(face: 'inside' | 'outside', thickness: number): number {
  return face === 'outside' ? -thickness / 2 : thickness / 2
}

export function thinned(rulings: readonly Ruling[]): Curved {
  const kept = [rulings[0]!]
  for (let from = 0; from < rulings.length - 1;) {
    let to = from + 1
    while (to + 1 < rulings.length && to + 1 - from <= MOST_LEFT_OUT && straightBetween(rulings, from, to + 1)) to++
    kept.push(rulings[to]!)
    from = to
  }
  return { kind: 'curved', rulings: kept }
}

const MOST_LEFT_OUT = 40

function straightBetween(rulings: readonly Ruling[], from: number, to: number): boolean {
  const [first, last] = [rulings[from]!, rulings[to]!]
  const whole = ([0, 1] as const).map((end) => gap(first.flat[end], last.flat[end])) as [number, number]
  for (let k = from + 1; k < to; k++) {
    const ruling = rulings[k]!
    // Both ends must have gone the same share of the way, or the lines between would not be the ones left out.
    const shares = ([0, 1] as const).flatMap((end) =>
      whole[end] < 1e-9 ? [] : [gap(first.flat[end], ruling.flat[end]) / whole[end]],
    )
    const share = shares.reduce((sum, one) => sum + one, 0) / (shares.length || 1)
    for (const end of [0, 1] as const) {
      const [p, q] = [first.flat[end], last.flat[end]]
      const flat: Point = [p[0] + (q[0] - p[0]) * share, p[1] + (q[1] - p[1]) * share]
      const model = mix(first.model[end], last.model[end], share)
      if (gap(flat, ruling.flat[end]) > SAYS_NOTHING) return false
      if (distance(model, ruling.model[end]) > SAYS_NOTHING) return false
    }
  }
  return true
}

function gap(p: Point, q: Point): number {
  return Math.hypot(p[0] - q[0], p[1] - q[1])
}
