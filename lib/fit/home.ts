import type { Finding } from '../finding/finding'
import { inMm } from '../craft/figure'
import { scale } from '../craft/space'
import type { Model } from '../model/model'
import type { Join } from '../model/relation'
import type { Vector } from '../shape/pose'
import { boxesApart } from './nearPairs'
import { REACH, type Scene, type Standing, about, handsOf, once } from './scene'

/** How much further than its stocks' fit a piece may go into a slot, mm: flattened curves, and slots with round ends. */
const SLACK = 0.6

/** Longest way that is looked for, mm, and how finely. */
const FARTHEST = 16
const FINE = 0.01

/** What they share when one is pushed on, mm³, at which they hold each other. */
const HELD = 0.02

/**
 * Interlocked pieces that are not home: pushed on along the slot, one would go further than the fit lets it, as when a
 * spar stands too low for its ribs.
 */
export function homeFindings({ relations, stocks }: Pick<Model, 'relations' | 'stocks'>, scene: Scene): Finding[] {
  const slots = relations.filter((relation): relation is Join => relation.kind === 'join' && relation.opens !== undefined)
  return once(
    slots.flatMap((join) =>
      meetings(join, scene).flatMap(([a, b]) => {
        const fits = [a, b].map(({ piece }) => stocks.get(piece.stock)!.fit.loose.value)
        const allowed = Math.max(...fits) + SLACK
        const way = scale(join.opens!, -1)
        if (heldAt(a, b, way, allowed, scene)) return []
        return [notHome(a, b, freeWay(a, b, way, allowed, scene), allowed)]
      }),
    ),
  )
}

function meetings({ a, b }: Join, { byMark }: Scene): [Standing, Standing][] {
  const theirs = byMark.get(b) ?? []
  return (byMark.get(a) ?? []).flatMap((one) =>
    theirs.flatMap((other): [Standing, Standing][] => (boxesApart(one.bounds, other.bounds) < REACH ? [[one, other]] : [])),
  )
}

function heldAt(a: Standing, b: Standing, way: Vector, by: number, { body }: Scene): boolean {
  const [p, q] = [body(a), body(b)]
  if (!p || !q) return true
  const moved = q.translate(scale(way, by) as [number, number, number])
  const shared = p.intersect(moved)
  const held = shared.volume() > HELD
  shared.delete()
  moved.delete()
  return held
}

function freeWay(a: Standing, b: Standing, way: Vector, allowed: number, scene: Scene): number {
  let [free, held] = [allowed, allowed]
  while (held < FARTHEST && !heldAt(a, b, way, held, scene)) {
    free = held
    held = Math.min(FARTHEST, held * 2)
  }
  if (held >= FARTHEST) return FARTHEST
  while (held - free > FINE) {
    const middle = (free + held) / 2
    if (heldAt(a, b, way, middle, scene)) held = middle
    else free = middle
  }
  return free
}

function notHome(a: Standing, b: Standing, way: number, allowed: number): Finding & { key: string; port: boolean } {
  const far = way >= FARTHEST ? `${FARTHEST} mm or more` : inMm(way)
  return {
    id: 'not-home',
    severity: 'warning',
    text: `${b.mark} could go ${far} further into the slot of ${a.mark}, ${inMm(allowed)} is allowed: they are not home`,
    remedy: 'mend the place of one of them, or cut the slots where both stand',
    ...about(a),
    found: way,
    wanted: allowed,
    ...handsOf(a, b),
  }
}
