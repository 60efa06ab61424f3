import type { Manifold, ManifoldToplevel } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { beforeAll, describe, expect, test } from 'vitest'
import { type Stringer, notchFrames } from '../../lib/craft/notch'
import type { Plate } from '../../lib/craft/plate'
import { cross, distance, dot, scale, subtract, unit } from '../../lib/craft/space'
import { area } from '../../lib/shape/measure'
import type { Point } from '../../lib/shape/point'
import type { Vector } from '../../lib/shape/pose'
import { loadSolids, plateSolid } from './solid'

let wasm: ManifoldToplevel
beforeAll(async () => {
  wasm = await loadSolids()
})

const OPTIONS = { fit: 0.1, web: 0.8, reach: 1 }

describe('notches for stringers', () => {
  test('on a round frame the outer corners of the section lie on the outline, the bottom a depth below', () => {
    const stringer: Stringer = {
      name: 'ST-01',
      line: [
        [-10, 20, 0],
        [50, 20, 0],
      ],
      width: 3,
      depth: 1,
    }
    const { frames, findings } = notchFrames([ring('F-01', 20, 20)], [stringer], OPTIONS)
    expect(findings).toEqual([])
    const slot = frames[0]!.slots![0]!
    const corner = Math.sqrt(400 - 1.5 * 1.5)
    expect(slot.width).toBeCloseTo(3.1, 9)
    expect(slot.end[0]).toBeCloseTo(corner - 1 - 0.05, 2)
  })

  test.each([
    ['along the hull', [60, 0, 0]],
    ['rising aft', [60, 0, 12]],
    ['running in towards the bow', [60, 8, 0]],
    ['both', [60, 8, 12]],
  ] as const)('a stringer %s goes through every frame without touching, within the fit', (_, way) => {
    const at = (t: number): Vector => [20 + way[0] * t, surfaceY(t, way), way[2] * t]
    const line = [at(-0.4), at(1)]
    const frames = [0, 10, 20, 30].map((x, i) =>
      ring(`F-0${i + 1}`, x + 10, Math.hypot(at((x - 10) / way[0])[1], at((x - 10) / way[0])[2])),
    )
    const stringer: Stringer = { name: 'ST-01', line, width: 1.5, depth: 1, under: 0.2 }
    const cut = notchFrames(frames, [stringer], OPTIONS)
    expect(cut.findings).toEqual([])
    for (const frame of cut.frames) {
      expect(frame.slots).toHaveLength(1)
      const solid = stringerSolid(stringer, frame)
      expect(plateSolid(wasm, frame).intersect(solid).volume()).toBeLessThan(1e-4)
      expect(plateSolid(wasm, frame).minGap(solid, 1)).toBeLessThan(OPTIONS.fit)
    }
  })

  test('a raked frame gets a wider, deeper notch', () => {
    const stringer: Stringer = {
      name: 'ST-01',
      line: [
        [-10, 0, 20],
        [50, 0, 20],
      ],
      width: 2,
      depth: 1,
    }
    const upright = notchFrames([ring('F-01', 20, 20)], [stringer], OPTIONS).frames[0]!.slots![0]!
    const raked = notchFrames([ring('F-01', 20, 20 / Math.cos(0.5), 0.5)], [stringer], OPTIONS).frames[0]!.slots![0]!
    expect(raked.width).toBeCloseTo(upright.width, 6)
    // The inner face passes through the card at 0.5 rad from square: 1/cos, and half the thickness times its tangent.
    expect(raked.depth - upright.depth).toBeCloseTo(1 / Math.cos(0.5) - 1 + 0.23 * Math.tan(0.5), 2)
  })

  test('two stringers at one chine run into each other', () => {
    const line: Vector[] = [
      [-10, 20, 0],
      [50, 20, 0],
    ]
    const near: Vector[] = [
      [-10, 20, 1],
      [50, 20, 1],
    ]
    const pair = [line, near].map((points, i) => ({ name: `ST-0${i + 1}`, line: points, width: 2, depth: 1 }))
    expect(notchFrames([ring('F-01', 20, 20)], pair, OPTIONS).findings.map((finding) => finding.id)).toContain(
      'three-meet',
    )
  })

  test('a line that leaves the outline is named with its distance', () => {
    const stringer: Stringer = {
      name: 'ST-01',
      line: [
        [-10, 17, 0],
        [50, 17, 0],
      ],
      width: 2,
      depth: 1,
    }
    const { findings, frames } = notchFrames([ring('F-01', 20, 20)], [stringer], OPTIONS)
    expect(findings[0]).toMatchObject({ id: 'stringer-off', mark: 'F-01', wanted: 1 })
    expect(findings[0]!.found).toBeCloseTo(3, 2)
    expect(frames[0]!.slots).toBeUndefined()
  })

  test('a stringer that runs along a frame is not notched', () => {
    const stringer: Stringer = {
      name: 'ST-01',
      line: [
        [19, 17, -10.5],
        [21, 17, 31],
      ],
      width: 2,
      depth: 1,
    }
    const { findings } = notchFrames([ring('F-01', 20, 20)], [stringer], { ...OPTIONS, reach: 5 })
    expect(findings[0]).toMatchObject({ id: 'stringer-along', mark: 'F-01', wanted: 15 })
  })

  test('a frame at a point of the line is notched once', () => {
    const stringer: Stringer = {
      name: 'ST-01',
      line: [
        [0, 20, 0],
        [20, 20, 0],
        [40, 20, 0],
      ],
      width: 2,
      depth: 1,
    }
    const { frames } = notchFrames(
      [0, 20, 40].map((x) => ring('F', x, 20)),
      [stringer],
      OPTIONS,
    )
    expect(frames.map((frame) => frame.slots?.length)).toEqual([1, 1, 1])
    expect(area([frames[0]!.outline])).toBeLessThan(area([ring('F', 0, 20).outline]) - 1.5)
  })
})

/** Radius at which the line lies: it keeps to a cone about the x axis. */
function surfaceY(t: number, way: readonly [number, number, number]): number {
  return 20 + way[1] * t
}

/** A disc standing across the hull, its top leaned aft by so many radians. */
function ring(name: string, x: number, radius: number, rake = 0): Plate {
  const outline = Array.from({ length: 360 }, (_, i): Point => {
    const at = (i * Math.PI) / 180
    return [radius * Math.cos(at), radius * Math.sin(at)]
  })
  const pose = {
    origin: [x, 0, 0] as Vector,
    right: [0, 1, 0] as Vector,
    up: [Math.sin(rake), 0, Math.cos(rake)] as Vector,
  }
  return { name, pose, outline, openings: [], thickness: 0.46 }
}

/** The stringer as a solid bar through one frame: outer face `under` the lower of its corners there. */
function stringerSolid({ line, width, depth, under = 0 }: Stringer, frame: Plate): Manifold {
  const way = unit(subtract(line[1]!, line[0]!))
  const t = (frame.pose.origin[0] - line[0]![0]) / way[0]
  const through: Vector = [line[0]![0] + way[0] * t, line[0]![1] + way[1] * t, line[0]![2] + way[2] * t]
  const radial = unit([0, through[1], through[2]])
  const flank = unit(cross(way, radial))
  const out = unit(cross(flank, way))
  // Corner of the section on the circle of the frame, as far below the line as its sagitta over the width.
  const radius = Math.hypot(through[1], through[2])
  const sagitta = radius - Math.sqrt(radius * radius - (width * width) / 4)
  const centre = scale(out, -(under + sagitta * dot(out, radial) + depth / 2))
  expect(distance(through, frame.pose.origin)).toBeCloseTo(radius, 6)
  return wasm.Manifold.cube([40, width, depth], true).transform([
    ...way,
    0,
    ...flank,
    0,
    ...out,
    0,
    through[0] + centre[0],
    through[1] + centre[1],
    through[2] + centre[2],
    1,
  ])
}
