import { describe, expect, test } from 'vitest'
import { cutArea, cutSolids } from '../../lib/fit/section'
import { seenEdges, viewAlong } from '../../lib/fit/seen'
import type { Solid } from '../../lib/fit/solid'
import type { Pose, Vector } from '../../lib/shape/pose'

/** A body of revolution about z from (radius, height) pairs, the first and last on the axis. */
function turned(profile: readonly (readonly [number, number])[], flats = 180): Solid {
  const inner = profile.slice(1, -1)
  const vertices = [0, 0, profile[0]![1], 0, 0, profile.at(-1)![1]]
  for (const [r, z] of inner) {
    for (let i = 0; i < flats; i++) {
      const angle = (2 * Math.PI * i) / flats
      vertices.push(r * Math.cos(angle), r * Math.sin(angle), z)
    }
  }
  const triangles: number[] = []
  const at = (ring: number, i: number) => 2 + ring * flats + (i % flats)
  for (let i = 0; i < flats; i++) {
    triangles.push(0, at(0, i + 1), at(0, i), 1, at(inner.length - 1, i), at(inner.length - 1, i + 1))
    for (let ring = 0; ring + 1 < inner.length; ring++) {
      triangles.push(at(ring, i), at(ring, i + 1), at(ring + 1, i + 1), at(ring, i), at(ring + 1, i + 1), at(ring + 1, i))
    }
  }
  return solid('T', vertices, triangles)
}

function solid(mark: string, vertices: number[], triangles: number[]): Solid {
  const side = (k: number) => vertices.filter((_, i) => i % 3 === k)
  const min = [0, 1, 2].map((k) => side(k).reduce((a, b) => Math.min(a, b))) as unknown as Vector
  const max = [0, 1, 2].map((k) => side(k).reduce((a, b) => Math.max(a, b))) as unknown as Vector
  return { mark, copy: 1, vertices: Float64Array.from(vertices), triangles: Uint32Array.from(triangles), bounds: { min, max } }
}

function brick(mark: string, [x0, y0, z0]: Vector, [x1, y1, z1]: Vector): Solid {
  const vertices = [z0, z1].flatMap((z) => [[x0, y0, z], [x1, y0, z], [x1, y1, z], [x0, y1, z]]).flat()
  const quads = [[0, 3, 2, 1], [4, 5, 6, 7], [0, 1, 5, 4], [1, 2, 6, 5], [2, 3, 7, 6], [3, 0, 4, 7]]
  return solid(mark, vertices, quads.flatMap(([a, b, c, d]) => [a!, b!, c!, a!, c!, d!]))
}

const level = (z: number): Pose => ({ origin: [0, 0, z], right: [1, 0, 0], up: [0, 1, 0] })

/** Simpson's rule over the height. */
function integral(area: (z: number) => number, from: number, to: number, steps = 200): number {
  const h = (to - from) / steps
  const weight = (i: number) => (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2)
  return (h / 3) * Array.from({ length: steps + 1 }, (_, i) => weight(i) * area(from + i * h)).reduce((a, b) => a + b, 0)
}

describe('a cut through solids', () => {
  const areaAt = (body: Solid) => (z: number) => cutSolids([body], level(z)).reduce((sum, cut) => sum + cutArea(cut), 0)

  // Volumes of cone and sphere: any handbook of mathematics, V = π·r²·h/3 and V = 4·π·r³/3.
  test('areas of a cone add up to its volume', () => {
    const cone = turned([[0, 0], [30, 0], [0, 70]], 720)
    expect(integral(areaAt(cone), 1e-9, 70) / ((Math.PI * 30 ** 2 * 70) / 3)).toBeCloseTo(1, 3)
    expect(areaAt(cone)(35)).toBeCloseTo(Math.PI * 15 ** 2, 1)
  })

  test('areas of a sphere add up to its volume, and the cut off its middle is Archimedes’ circle', () => {
    const rings = 360
    const sphere = turned(
      Array.from({ length: rings + 1 }, (_, i) => {
        const angle = (Math.PI * i) / rings
        return [i === 0 || i === rings ? 0 : 20 * Math.sin(angle), -20 * Math.cos(angle)] as const
      }),
      360,
    )
    expect(integral(areaAt(sphere), -20, 20) / ((4 * Math.PI * 20 ** 3) / 3)).toBeCloseTo(1, 3)
    expect(areaAt(sphere)(12) / (Math.PI * (20 ** 2 - 12 ** 2))).toBeCloseTo(1, 3)
  })

  test('through a tube along its axis is two rectangles; across it, a ring with its hole taken out', () => {
    const outer = brick('A', [0, 0, 0], [10, 10, 40])
    const [cut] = cutSolids([outer], { origin: [5, 5, 5], right: [0, 1, 0], up: [0, 0, 1] })
    expect(cutArea(cut!)).toBeCloseTo(400, 9)
    const ring = { loops: [[[0, 0], [10, 0], [10, 10], [0, 10]], [[2, 2], [8, 2], [8, 8], [2, 8]]] as [number, number][][] }
    expect(cutArea(ring)).toBe(64)
  })

  test('along a face shows it from one side alone, and past the solid shows nothing', () => {
    const body = brick('A', [0, 0, 0], [10, 20, 30])
    expect(cutArea(cutSolids([body], level(30))[0]!)).toBeCloseTo(200, 9)
    expect(cutSolids([body], level(0))).toEqual([])
    expect(cutSolids([body], level(30.001))).toEqual([])
  })
})

describe('what is seen', () => {
  const lengthOf = (lines: readonly (readonly (readonly [number, number])[])[]) =>
    lines.reduce((sum, line) => sum + line.slice(1).reduce((all, [x, y], i) => all + Math.hypot(x - line[i]![0], y - line[i]![1]), 0), 0)

  test('of a brick from the front is its outline, drawn once', () => {
    const [seen] = seenEdges([brick('A', [0, 0, 0], [10, 20, 30])], viewAlong([1, 0, 0]))
    expect(lengthOf(seen!.lines)).toBeCloseTo(100, 6)
    expect(seen!.lines).toHaveLength(1)
  })

  test('a brick behind a larger one is hidden, one that looks out is hidden in part', () => {
    const front = brick('F', [0, 0, 0], [1, 100, 100])
    const behind = brick('B', [5, 20, 20], [6, 60, 60])
    const beside = brick('S', [5, 50, 50], [6, 150, 60])
    const [f, b, s] = seenEdges([front, behind, beside], viewAlong([1, 0, 0]))
    expect(lengthOf(f!.lines)).toBeCloseTo(400, 6)
    expect(lengthOf(b!.lines)).toBe(0)
    // 50 mm stand out: two long edges and the far end.
    expect(lengthOf(s!.lines)).toBeCloseTo(110, 4)
  })

  test('an edge that passes a tilted face is cut where it does', () => {
    // A roof that rises towards the eye, x = -z, and a rod along z at x = -30: it goes behind the roof at z = 30.
    const roof: Solid = {
      mark: 'R',
      copy: 1,
      vertices: Float64Array.from([0, -50, 0, -100, -50, 100, -100, 50, 100, 0, 50, 0]),
      triangles: Uint32Array.from([0, 2, 3, 0, 1, 2]),
      bounds: { min: [-100, -50, 0], max: [0, 50, 100] },
    }
    const rod = brick('S', [-30, -1, -50], [-29, 1, 80])
    const [, seen] = seenEdges([roof, rod], viewAlong([1, 0, 0]))
    const top = Math.max(...seen!.lines.flat().map(([, up]) => up))
    expect(Math.abs(top - 30)).toBeLessThan(0.05)
  })

  test('what is inside a closed body does not shine through, however close it comes', () => {
    const inside = brick('I', [0.1, 0.1, 0.1], [9.9, 9.9, 9.9])
    for (const way of [[1, 1, -1], [1, 0, 0], [0.3, -0.2, -0.7]] as const) {
      const [, seen] = seenEdges([brick('A', [0, 0, 0], [10, 10, 10]), inside], viewAlong(way))
      expect(seen!.lines).toEqual([])
    }
  })

  test('an isometric brick shows nine of its twelve edges', () => {
    const iso = viewAlong([1, 1, -1])
    const [seen] = seenEdges([brick('A', [0, 0, 0], [10, 10, 10])], iso)
    expect(lengthOf(seen!.lines)).toBeCloseTo(9 * 10 * Math.sqrt(2 / 3), 6)
  })
})
