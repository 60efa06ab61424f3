import fc from 'fast-check'
import { type Finding, FindingError } from '../../lib/finding/finding'
import { onBench } from '../../lib/length/bench'
import { parseScale } from '../../lib/length/scale'
import type { Loop, Point, Region } from '../../lib/shape/point'

/** Runs work at 1:60 on card of 0.28 mm. */
export function on<T>(work: () => T): T {
  return onBench({ scale: parseScale('1:60'), thickness: () => 0.28 }, work)
}

/** Corners of a regular polygon on a circle about the origin, counter-clockwise. */
export function regular(corners: number, radius: number, turned = 0): Loop {
  return Array.from({ length: corners }, (_, i): Point => {
    const angle = (2 * Math.PI * i) / corners + (turned * Math.PI) / 180
    return [radius * Math.cos(angle), radius * Math.sin(angle)]
  })
}

export function box(minX: number, minY: number, maxX: number, maxY: number): Loop {
  return [
    [minX, minY],
    [maxX, minY],
    [maxX, maxY],
    [minX, maxY],
  ]
}

export function clockwise(loop: Loop): Loop {
  return loop.toReversed()
}

/** Turned about the origin, written out here so that tests do not lean on what they test. */
export function turned(region: Region, degrees: number): Region {
  const [cos, sin] = [Math.cos((degrees * Math.PI) / 180), Math.sin((degrees * Math.PI) / 180)]
  return region.map((loop) => loop.map(([x, y]): Point => [x * cos - y * sin, x * sin + y * cos]))
}

/** Area by trapezoids down to the x axis: another sum than the library's fan of triangles. */
export function trapezoidArea(region: Region): number {
  let sum = 0
  for (const loop of region) {
    loop.forEach(([ax, ay], i) => {
      const [bx, by] = loop[(i + 1) % loop.length]!
      sum += ((ay + by) / 2) * (ax - bx)
    })
  }
  return sum
}

/** Distance from a point to the nearest edge, by trying many places along every edge. */
export function sampledDistance(region: Region, [x, y]: Point, places = 2000): number {
  let least = Infinity
  for (const loop of region) {
    loop.forEach(([ax, ay], i) => {
      const [bx, by] = loop[(i + 1) % loop.length]!
      for (let k = 0; k <= places; k++) {
        const t = k / places
        least = Math.min(least, Math.hypot(ax + (bx - ax) * t - x, ay + (by - ay) * t - y))
      }
    })
  }
  return least
}

/** Simple polygons that see all their edge from the origin: one radius in each of so many directions. */
export const starPolygons: fc.Arbitrary<Loop> = fc
  .array(fc.double({ min: 2, max: 30, noNaN: true }), { minLength: 3, maxLength: 24 })
  .map((radii) =>
    radii.map((radius, i): Point => {
      const angle = (2 * Math.PI * i) / radii.length
      return [radius * Math.cos(angle), radius * Math.sin(angle)]
    }),
  )

export const angles: fc.Arbitrary<number> = fc.double({ min: -360, max: 360, noNaN: true })

/** The finding of the error that work throws. */
export function findingOf(work: () => unknown): Finding {
  try {
    work()
  } catch (error) {
    if (error instanceof FindingError) return error.finding
    throw error
  }
  throw new Error('nothing was thrown')
}
