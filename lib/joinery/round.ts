import { radians } from '../craft/space'
import type { Curved, Form, Ruling, Turned } from '../model/form'
import type { Loop, Point } from '../shape/point'

/** A wall between two heights, as a tube has, by its radii. */
export function ring(inside: number, outside: number, from: number, to: number): Turned {
  return turned([
    [inside, from],
    [outside, from],
    [outside, to],
    [inside, to],
  ])
}

/** The wall of a right cone of these outside radii, from height 0 up. */
export function coneWall(bottom: number, top: number, height: number, thickness: number): Turned {
  const wide = (thickness * Math.hypot(height, bottom - top)) / height
  return turned([
    [bottom - wide, 0],
    [bottom, 0],
    [top, height],
    [top - wide, height],
  ])
}

/**
 * A shell inside a meridian of (height, radius), or outside it where the thickness is below 0, with points at right
 * angles to it; what would come beyond the axis ends there.
 */
export function shell(meridian: readonly (readonly [height: number, radius: number])[], thickness: number): Turned {
  const other = meridian.map(([x, r], i): Point => {
    const [px, pr] = meridian[Math.max(0, i - 1)]!
    const [qx, qr] = meridian[Math.min(meridian.length - 1, i + 1)]!
    const length = Math.hypot(qx - px, qr - pr)
    const side = qx >= px ? 1 : -1
    const tip = r === 0 ? 0 : 1
    return [r - (tip * side * thickness * (qx - px)) / length, x + (side * thickness * (qr - pr)) / length]
  })
  const near: Loop = meridian.map(([x, r]): Point => [r, x])
  return turned([...near, ...other.toReversed()])
}

/** What goes round once and closes: a body of revolution, whose card lies along the lines of what is curled round. */
export function closedRound(body: Turned, { rulings }: Curved): Form {
  return { ...body, card: { kind: 'lines', rulings } }
}

function turned(profile: Loop): Turned {
  return { kind: 'turned', profile: profile.map(([r, h]): Point => [Math.max(0, r), h]) }
}

/** Farthest the flats of curled card may lie inside its circle, mm. */
const SAGITTA = 0.02

/**
 * Card curled round the axis of its pose from 0°, the way it would turn from x to y, and from `from` along its flat:
 * `line` gives the two ends of the straight line at a share of the way, each by radius and height in the model.
 */
export function curledRound(
  turn: number,
  line: (share: number) => readonly [End, End],
  start = 0,
): Curved {
  const most = Math.max(...[0, 0.5, 1].flatMap((share) => line(share).map(({ radius }) => radius)))
  const steps = Math.max(2, Math.ceil(radians(turn) / (2 * Math.acos(1 - Math.min(1, SAGITTA / most)))))
  const rulings = Array.from({ length: steps + 1 }, (_, i): Ruling => {
    const share = i / steps
    const angle = radians(start + turn * share)
    const [a, b] = line(share)
    const at = ({ radius, height }: End) => [radius * Math.cos(angle), radius * Math.sin(angle), height] as const
    return { flat: [a.flat, b.flat], model: [at(a), at(b)] }
  })
  return { kind: 'curved', rulings }
}

export interface End {
  readonly flat: Point
  readonly radius: number
  readonly height: number
}
