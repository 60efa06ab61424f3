import type { Finding } from '../finding/finding'
import { carrier, carryLine } from '../craft/develop/carry'
import type { Development } from '../craft/develop/unroll'
import type { FlatOpening } from '../craft/flat'
import { dot, faceNormal, heightOver, scale, subtract, toModel } from '../craft/space'
import { area } from '../shape/measure'
import type { Pose, Vector } from '../shape/pose'
import type { Shape } from '../shape/shape'

/** A window, door or hatch: a shape in a plane outside the skin, thrown on it at right angles to the plane. */
export interface SkinOpening {
  readonly shape: Shape
  readonly place: Pose
}

/** An opening in the flat, or why there is none. */
export interface Thrown {
  readonly opening?: FlatOpening
  readonly finding?: Finding
}

/** An opening as the line of sight throws it on the skin; nothing where it misses. */
export function throwOn(development: Development, { shape, place }: SkinOpening, inside: Vector): Thrown[] {
  const on = carrier(development)
  const normal = faceNormal(place)
  return shape.region.flatMap((loop): Thrown[] => {
    const corners = loop.map((point) => toModel(place, point))
    const sight = dot(normal, subtract(inside, corners[0]!)) > 0 ? normal : scale(normal, -1)
    const landed = corners.filter((corner) => on.seenAlong(corner, sight)).length
    if (landed === 0) return []
    if (landed < corners.length) return [{ finding: onTheJoint(landed, corners.length) }]
    const line = carryLine(on, [...corners, corners[0]!], sight).slice(0, -1)
    return [{ opening: { kind: 'opening', loop: area([line]) > 0 ? line.toReversed() : line } }]
  })
}

function onTheJoint(landed: number, count: number): Finding {
  return {
    id: 'opening-on-joint',
    severity: 'error',
    text: `an opening lies across the edge of the panel: ${landed} of its ${count} points are on it`,
    remedy: 'move the opening, or split the skin at another frame',
    found: landed,
    wanted: count,
  }
}

/** Whether the plane of a pose runs through one of the openings. */
export function cutsOpening(pose: Pose, openings: readonly SkinOpening[] = []): boolean {
  return openings.some(({ shape, place }) => {
    const heights = shape.region.flat().map((point) => heightOver(pose, toModel(place, point)))
    return Math.min(...heights) < 0 && Math.max(...heights) > 0
  })
}
