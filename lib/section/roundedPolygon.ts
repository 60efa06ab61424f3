import { type Length, mm } from '../length/length'
import { arcAbout } from '../shape/curve'
import { type Loop, type Point, SAME_POINT } from '../shape/point'
import { Shape } from '../shape/shape'
import { sectionError } from './fault'

/** A corner with the radius it is rounded by; none leaves it sharp. */
export type RoundedCorner = readonly [x: Length, y: Length, radius?: Length]

/**
 * The area within corners given in order, each rounded by its own radius: the section of a cab, a cowling, a hopper.
 *
 * @throws FindingError where two roundings do not fit on the edge between their corners
 */
export function roundedPolygon(...corners: RoundedCorner[]): Shape {
  return Shape.of(roundedPolygonLoop(corners.map(([x, y, radius]) => [mm(x), mm(y), radius ? mm(radius) : 0])))
}

/** Outline in mm from corners in mm. */
export function roundedPolygonLoop(corners: readonly (readonly [x: number, y: number, radius: number])[]): Loop {
  const n = corners.length
  if (n < 3) throw sectionError(`rounded polygon: ${n} corners`, 'give 3 or more')
  corners.forEach(([x, y], i) => {
    const j = (i + 1) % n
    if (Math.hypot(corners[j]![0] - x, corners[j]![1] - y) > SAME_POINT) return
    throw sectionError(`rounded polygon: corners ${i + 1} and ${j + 1} are the same point`, 'leave one of them out')
  })
  const roundings = corners.map((corner, i) => rounding(i, corners[(i + n - 1) % n]!, corner, corners[(i + 1) % n]!))
  roundings.forEach(({ back }, i) => {
    const j = (i + 1) % n
    const [a, b] = [corners[i]!, corners[j]!]
    const edge = Math.hypot(b[0] - a[0], b[1] - a[1])
    const used = back + roundings[j]!.back
    if (used > edge + 1e-9) {
      throw sectionError(
        `rounded polygon: the roundings of corners ${i + 1} and ${j + 1} take ${used.toFixed(3)} mm of an edge of ` +
          `${edge.toFixed(3)} mm`,
        'make a radius smaller',
        { found: used, wanted: edge },
      )
    }
  })
  return roundings.flatMap(({ points }) => points)
}

interface Rounding {
  /** How much of each edge it uses up. */
  readonly back: number
  readonly points: readonly Point[]
}

type Figures = readonly [x: number, y: number, radius: number]

/** The arc touches both edges at r·tan(turn/2) from the corner, its centre on the inner side of the turn. */
function rounding(i: number, [ax, ay]: Figures, [x, y, radius]: Figures, [bx, by]: Figures): Rounding {
  if (!(radius >= 0)) {
    throw sectionError(`rounded polygon: corner ${i + 1} has a radius of ${radius.toFixed(3)} mm`, 'give 0 or more')
  }
  const [inX, inY] = unit(x - ax, y - ay)
  const [outX, outY] = unit(bx - x, by - y)
  const turn = Math.atan2(inX * outY - inY * outX, inX * outX + inY * outY)
  if (radius === 0 || Math.abs(turn) < 1e-9) return { back: 0, points: [[x, y]] }
  const back = radius * Math.tan(Math.abs(turn) / 2)
  const side = Math.sign(turn)
  const centre: Point = [x - inX * back - inY * side * radius, y - inY * back + inX * side * radius]
  const start: Point = [x - inX * back, y - inY * back]
  return { back, points: [start, ...arcAbout(start, centre, (turn * 180) / Math.PI)] }
}

function unit(x: number, y: number): Point {
  const length = Math.hypot(x, y)
  return [x / length, y / length]
}
