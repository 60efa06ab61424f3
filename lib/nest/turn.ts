import type { Bounds, Loop, Point } from '../shape/point'

/** Cosine and sine of a turn in degrees counter-clockwise; exact for quarter turns. */
export function turning(degrees: number): { readonly cos: number; readonly sin: number } {
  const turn = ((degrees % 360) + 360) % 360
  if (turn % 90 === 0) return QUARTERS[turn / 90]!
  const radians = (turn * Math.PI) / 180
  return { cos: Math.cos(radians), sin: Math.sin(radians) }
}

/** The loop turned about the origin, then moved: where a placement puts an outline. */
export function placeLoop(loop: Loop, turn: number, x = 0, y = 0): Loop {
  const { cos, sin } = turning(turn)
  return loop.map((p): Point => [cos * p[0] - sin * p[1] + x, sin * p[0] + cos * p[1] + y])
}

/** Smallest upright box around the points; an empty list has an inside-out box. */
export function boundsOf(loop: Loop): Bounds {
  let minX = Infinity
  let minY = Infinity
  let maxX = -Infinity
  let maxY = -Infinity
  for (let i = 0; i < loop.length; i++) {
    const x = loop[i]![0]
    const y = loop[i]![1]
    if (x < minX) minX = x
    if (x > maxX) maxX = x
    if (y < minY) minY = y
    if (y > maxY) maxY = y
  }
  return { minX, minY, maxX, maxY }
}

/** Area by the shoelace formula, positive for a counter-clockwise loop. */
export function signedArea(loop: Loop): number {
  let twice = 0
  for (let i = 0, j = loop.length - 1; i < loop.length; j = i++) {
    const [ax, ay] = loop[j]!
    const [bx, by] = loop[i]!
    twice += ax * by - bx * ay
  }
  return twice / 2
}

const QUARTERS = [
  { cos: 1, sin: 0 },
  { cos: 0, sin: 1 },
  { cos: -1, sin: 0 },
  { cos: 0, sin: -1 },
] as const
