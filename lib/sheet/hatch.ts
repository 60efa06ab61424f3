import { boundsOf } from '../shape/bounds'
import type { Loop, Point, Polyline } from '../shape/point'

/** How an area that is cut through is hatched: degrees from the horizontal, and mm between the lines. */
export interface Hatching {
  readonly angle: number
  readonly pitch: number
}

/**
 * The hatching of each of several materials: narrow continuous lines at 45°, told apart by direction and then by
 * distance (ISO 128-50, clauses on hatching, from memory).
 */
export function hatchings(count: number): Hatching[] {
  return Array.from({ length: count }, (_, i) => ({ angle: i % 2 === 0 ? 45 : 135, pitch: 0.8 * 1.6 ** (i >> 1) }))
}

/** Lines of the hatching inside loops, holes left out: a point is inside where it lies within an odd number of them. */
export function hatch(loops: readonly Loop[], { angle, pitch }: Hatching): Polyline[] {
  const radians = (angle * Math.PI) / 180
  const [cos, sin] = [Math.cos(radians), Math.sin(radians)]
  // Turned so that the hatching lies level; lines count from the drawing's origin, so that pieces side by side agree.
  const level = loops.map((loop) => loop.map(([x, y]): Point => [x * cos + y * sin, y * cos - x * sin]))
  const { minY, maxY } = boundsOf(level)
  const back = ([x, y]: Point): Point => [x * cos - y * sin, x * sin + y * cos]
  const lines: Polyline[] = []
  for (let i = Math.ceil(minY / pitch); i * pitch <= maxY; i++) {
    const y = i * pitch
    const xs = crossings(level, y)
    for (let k = 0; k + 1 < xs.length; k += 2) lines.push([back([xs[k]!, y]), back([xs[k + 1]!, y])])
  }
  return lines
}

function crossings(loops: readonly Loop[], y: number): number[] {
  const xs: number[] = []
  for (const loop of loops) {
    for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
      const [[ax, ay], [bx, by]] = [loop[j]!, loop[i]!]
      if (ay > y !== by > y) xs.push(ax + ((bx - ax) * (y - ay)) / (by - ay))
    }
  }
  return xs.toSorted((a, b) => a - b)
}
