import type { Loop, Point } from '../shape/point'
import { CHORD_TOLERANCE } from '../shape/point'
import type { Slot } from './plate'
import { radians } from './space'

/**
 * Width of the slot in a plate of thickness `own` for a plate of thickness `through` at an angle of 1 to 90 degrees:
 * (through + fit)/sin a + own·cot a.
 *
 * Seen along the line of the crossing, with the slotted card lying level and u along it:
 *
 *             ╱       ╱
 *     ───────╱───────╱───────   front, h = +own/2
 *           ╱  |    ╱
 *          ╱   |   ╱  a
 *     ────╱────────╱─────────   back,  h = −own/2
 *        ╱    u = 0
 *
 * The other card fills |u·sin a − h·cos a| ≤ through/2, so at height h it lies about u = h·cot a, through/(2·sin a) to
 * either side. A knife cuts square to the card, so the slot must be free at every height: its half-width is that plus
 * (own/2)·cot a. The fit is added to the thickness of the other card: what is left free is measured across it, the
 * same at every angle.
 */
export function slotWidth(own: number, through: number, angle: number, fit: number): number {
  const a = radians(angle)
  return (through + fit) / Math.sin(a) + own * Math.abs(Math.cos(a) / Math.sin(a))
}

/** How much wider than the slot a relief hole is. */
const RELIEF = 1.25

/** Radius of the hole, centred on the slot's closed end. */
export function reliefRadius({ width }: Slot): number {
  return (width / 2) * RELIEF
}

/** The area a slot takes out, from its closed end to `mouth` along it; `relief` ends it in a round hole. */
export function slotLoop(slot: Slot, mouth: number, kind: 'square' | 'relief'): Loop {
  const { end, towards, width } = slot
  const half = width / 2
  const place = (across: number, forward: number): Point => [
    end[0] + towards[0] * forward - towards[1] * across,
    end[1] + towards[1] * forward + towards[0] * across,
  ]
  const open = [place(-half, mouth), place(half, mouth)]
  if (kind === 'square') return [...open, place(half, 0), place(-half, 0)]
  // The hole is centred on the closed end and leaves the slot where its round meets the sides.
  const radius = reliefRadius(slot)
  const meet = Math.asin(half / radius)
  const turn = 2 * Math.PI - 2 * meet
  const steps = Math.ceil(turn / (2 * Math.acos(1 - Math.min(1, CHORD_TOLERANCE / radius))))
  const round = Array.from({ length: steps + 1 }, (_, i) => {
    const at = meet + (turn * i) / steps
    return place(radius * Math.sin(at), radius * Math.cos(at))
  })
  return [...open, ...round]
}

/** Least distance between two slots of one plate; 0 where they run into each other. */
export function slotsApart(a: Slot, b: Slot): number {
  const [p, q] = [slotLoop(a, a.depth, 'square'), slotLoop(b, b.depth, 'square')]
  if (overlap(p, q)) return 0
  let least = Infinity
  for (const [from, to] of [
    [p, q],
    [q, p],
  ] as const) {
    for (const point of from) {
      for (let i = 0; i < to.length; i++) least = Math.min(least, toSegment(point, to[i]!, to[(i + 1) % to.length]!))
    }
  }
  return least
}

/** Two convex loops overlap unless the side of one of them parts them (separating axis). */
function overlap(p: Loop, q: Loop): boolean {
  for (const loop of [p, q]) {
    for (let i = 0; i < loop.length; i++) {
      const [a, b] = [loop[i]!, loop[(i + 1) % loop.length]!]
      const away = (point: Point): number => (b[1] - a[1]) * (point[0] - a[0]) - (b[0] - a[0]) * (point[1] - a[1])
      const other = loop === p ? q : p
      const [mine, theirs] = [loop.map(away), other.map(away)]
      if (Math.min(...theirs) >= Math.max(...mine) || Math.max(...theirs) <= Math.min(...mine)) return false
    }
  }
  return true
}

function toSegment([x, y]: Point, [ax, ay]: Point, [bx, by]: Point): number {
  const [dx, dy] = [bx - ax, by - ay]
  const t = Math.max(0, Math.min(1, ((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy)))
  return Math.hypot(x - ax - t * dx, y - ay - t * dy)
}
