import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { developBetween } from '../../lib/craft/develop/between'
import { carrier, planeLine } from '../../lib/craft/develop/carry'
import { frustum, frustumSector, obliqueFrustum } from '../../lib/craft/develop/cone'
import { tightestCurl } from '../../lib/craft/develop/curl'
import { cylinder } from '../../lib/craft/develop/cylinder'
import { distancesTo } from '../../lib/craft/develop/distance'
import { cutRing } from '../../lib/craft/develop/ring'
import { clipLine, panelsToFit, sliceDevelopment } from '../../lib/craft/develop/sheetPanel'
import { developSkin } from '../../lib/craft/develop/skin'
import { squareToRound } from '../../lib/craft/develop/transition'
import { type Development, facets } from '../../lib/craft/develop/unroll'
import { add, cross, distance, norm, scale, subtract } from '../../lib/craft/space'
import { FindingError } from '../../lib/finding/finding'
import type { Vector } from '../../lib/shape/pose'

describe('frustum sector against published examples', () => {
  // ceemrr.com/Geometry2/DrawingsNets6.html: diameters 5 and 8 in, height 4: radii 7.12 and 11.39, sector 126.4°.
  test('diameters 5 and 8, height 4', () => {
    const { inner, outer, sector } = frustumSector({ bottom: 4, top: 2.5, height: 4 })
    expect(inner).toBeCloseTo(7.12, 2)
    expect(outer).toBeCloseTo(11.39, 2)
    expect(sector).toBeCloseTo(126.4, 1)
  })

  // mathcentral.uregina.ca QQ.09.11 (fleur1): diameters 8 and 40 cm, height 21: outer 33, missing angle 142°. Its inner
  // radius of 6.75 subtracts the height for the slant; 6.60 is computed.
  test('diameters 8 and 40, height 21', () => {
    const { inner, outer, sector } = frustumSector({ bottom: 20, top: 4, height: 21 })
    expect(outer).toBeCloseTo(33, 2)
    expect(inner).toBeCloseTo(6.60019, 5)
    expect(Math.round(360 - sector)).toBe(142)
  })

  // anvilfire.com/21centbs/math/cones1.htm: a cone of 90° at the apex opens to 254.6°.
  test('a cone of 90° at the apex opens to 254.6°', () => {
    expect(frustumSector({ bottom: 10, top: 0, height: 10 }).sector).toBeCloseTo(254.6, 1)
  })

  test('the outline has the area and arcs of the cone', () => {
    const flat = frustum({ bottom: 20, top: 4, height: 21, tolerance: 1e-7 })
    const lateral = Math.PI * (20 + 4) * Math.hypot(21, 16)
    expect(loopArea(flat.outline) / lateral).toBeCloseTo(1, 6)
    expect(loopArea(frustum({ bottom: 4, top: 20, height: 21, tolerance: 1e-7 }).outline) / lateral).toBeCloseTo(1, 6)
  })

  test('a skin over a cone is the cone at its neutral layer', () => {
    const t = 0.3
    const { development } = developBetween(oval(20, 20, 0, 0, 720), oval(10, 10, 25, 0, 720), { out: t / 2 })
    const sector = frustumSector({ bottom: 20, top: 10, height: 25, out: t / 2 })
    const length = (Math.PI * sector.sector * sector.outer) / 180
    expect(pathLength(development.flatA)).toBeCloseTo(length, 2)
  })
})

describe('cylinder cut at an angle against published examples', () => {
  // mathcentral.uregina.ca QQ.09.07 (al2): diameter 200 cut at 45° unrolls to 100 cos(x/100) with period 200π.
  test('diameter 200, 45°: amplitude 100, period 628.32', () => {
    const flat = cylinder({ radius: 100, bottom: { height: 0 }, top: { height: 150, tilt: 45 } })
    const top = flat.outline.filter((point) => point[1] > 0)
    for (const [x, y] of top) expect(y - 150).toBeCloseTo(100 * Math.cos(x / 100), 9)
    expect(Math.max(...flat.outline.map(([x]) => x))).toBeCloseTo(200 * Math.PI, 9)
  })

  // pipecalculators.com: R 57.15, 30°: ordinate at 90° from the middle 32.99 (its tangent rounded to .577).
  test('radius 57.15, 30°: rise 32.99', () => {
    const flat = cylinder({ radius: 57.15, bottom: { height: -50 }, top: { height: 0, tilt: 30 } })
    expect(Math.max(...flat.outline.map(([, y]) => y))).toBeCloseTo(32.99557, 4)
  })

  test('the general development of the same surface has the same edge', () => {
    const [radius, tilt] = [20, Math.PI / 6]
    const edge = (z: (phi: number) => number): Vector[] =>
      Array.from({ length: 361 }, (_, i) => {
        const phi = (i * Math.PI) / 180
        return [radius * Math.cos(phi), radius * Math.sin(phi), z(phi)]
      })
    const { development, deviation } = developBetween(
      edge(() => 0),
      edge((phi) => 30 + radius * Math.tan(tilt) * Math.cos(phi)),
    )
    expect(deviation).toBeLessThan(0.01)
    for (const [i, [x, y]] of development.flatB.entries()) {
      expect(x).toBeCloseTo(radius * 360 * 2 * Math.sin(Math.PI / 360) * (i / 360), 2)
      expect(y).toBeCloseTo(30 + radius * Math.tan(tilt) * Math.cos(x / radius), 1)
    }
  })

  test('cuts that meet are refused with both heights', () => {
    expect(() => cylinder({ radius: 10, bottom: { height: 0 }, top: { height: 5, tilt: 45 } })).toThrow(/meet at/)
  })
})

describe('square-to-round transition', () => {
  // Inputs of letsfab.in/?p=4755 (square 400, round 300, height 500); no published result, the figures are computed
  // from true length = √(plan² + H²) (B. Coey, Pattern Development, 2021).
  const pattern = squareToRound({ width: 400, depth: 400, radius: 150, height: 500, divisions: 12 })
  const { a, b, rulings } = pattern.development

  test('true lengths of the first corner', () => {
    const lengths = rulings.slice(1, 5).map(([i, j]) => distance(a[i]!, b[j]!))
    expect(lengths).toEqual([540.8327, 520.1331, 520.1331, 540.8327].map((length) => expect.closeTo(length, 4)))
  })

  test('fan angles of the first corner, flat', () => {
    const { flatA, flatB } = pattern.development
    const angles = [0, 1, 2].map((k) => angleAt(flatA[1]!, flatB[k]!, flatB[k + 1]!))
    expect(angles).toEqual([8.09103, 8.5611, 8.09103].map((angle) => expect.closeTo(angle, 5)))
  })

  test.each([
    [12, 640912.39],
    [24, 642466.77],
    [48, 642862.32],
  ])('area with %d divisions: %d', (divisions, area) => {
    const { flat } = squareToRound({ width: 400, depth: 400, radius: 150, height: 500, divisions })
    expect(loopArea(flat.outline)).toBeCloseTo(area, 1)
  })

  test('the general development of the same two curves finds the same pattern', () => {
    const square = [pattern.development.a.slice(0, 2), pattern.development.a.slice(1)]
      .flat()
      .filter((p, i, all) => p !== all[i - 1])
    const { development, deviation } = developBetween(square, [...b])
    expect(deviation).toBeLessThan(1e-9)
    expect(pathLength(development.flatB)).toBeCloseTo(pathLength(pattern.development.flatB), 6)
    expect(totalArea(development)).toBeCloseTo(totalArea(pattern.development), 3)
  })

  test('divisions that miss the quarters are refused', () => {
    expect(() => squareToRound({ width: 1, depth: 1, radius: 1, height: 1, divisions: 10 })).toThrow(/multiple of 4/)
  })
})

describe('isometry', () => {
  const surfaces: [string, () => Development][] = [
    ['oblique cone', () => obliqueFrustum({ bottom: 20, top: 0, height: 30, shift: [15, 5] }).development],
    ['oblique frustum', () => obliqueFrustum({ bottom: 20, top: 12, height: 30, shift: [15, 5] }).development],
    ['between two unlike ovals', () => developBetween(oval(20, 12, 0, 0), oval(14, 16, 40, 6)).development],
  ]

  test.each(surfaces)('%s keeps every edge and ruling to 1e-6 of its length, and its area', (_, make) => {
    const { a, b, flatA, flatB, rulings } = make()
    for (const [i, j] of rulings) expectRatio(flatDistance(flatA[i]!, flatB[j]!), distance(a[i]!, b[j]!))
    for (let i = 1; i < a.length; i++) expectRatio(flatDistance(flatA[i]!, flatA[i - 1]!), distance(a[i]!, a[i - 1]!))
    for (let j = 1; j < b.length; j++) expectRatio(flatDistance(flatB[j]!, flatB[j - 1]!), distance(b[j]!, b[j - 1]!))
    const all = facets(make())
    const space = all.reduce((sum, facet) => sum + spaceArea(facet.space), 0)
    const flat = all.reduce((sum, facet) => sum + loopArea(facet.flat), 0)
    expectRatio(flat, space)
    expect(all.every((facet) => loopArea(facet.flat) > -1e-9)).toBe(true)
  })

  test('the oblique cone has the area of its integral', () => {
    const { flat } = obliqueFrustum({ bottom: 20, top: 0, height: 30, shift: [15, 0], tolerance: 1e-6 })
    expectRatio(loopArea(flat.outline), obliqueConeArea(20, 30, 15))
  })

  test('moving and turning the edges does not change the pattern', () => {
    const [a, b] = [oval(20, 12, 0, 0), oval(14, 16, 40, 6)]
    const before = developBetween(a, b).flat.outline
    const angle = fc.double({ min: 0, max: 6.3, noNaN: true })
    const shift = fc.double({ min: -100, max: 100, noNaN: true })
    fc.assert(
      fc.property(angle, angle, shift, (first, second, by) => {
        const move = (p: Vector): Vector => add(turned(p, first, second), [by, -by, by / 2])
        const after = developBetween(a.map(move), b.map(move)).flat.outline
        const ends = [loopArea(after), after.length]
        expect(ends).toEqual([expect.closeTo(loopArea(before), 6), before.length])
      }),
      { numRuns: 25 },
    )
  })
})

describe('the best developable between two curves', () => {
  test('on a right cone it finds the straight lines through the apex, whatever the steps along the edges', () => {
    const { development, deviation } = developBetween(unevenArc(97, 20, 0), unevenArc(60, 8, 30))
    expect(deviation).toBeLessThan(0.005)
    for (const [i, j] of development.rulings) {
      const [p, q] = [development.a[i]!, development.b[j]!]
      expect(Math.abs(Math.atan2(p[1], p[0]) - Math.atan2(q[1], q[0]))).toBeLessThan(0.12)
    }
  })

  test('rolled back up, points are within 0.01 mm of the cone they came from', () => {
    const { development } = developBetween(oval(20, 20, 0, 0, 400).slice(0, 201), oval(8, 8, 30, 0, 400).slice(0, 201))
    const on = carrier(development)
    for (let k = 0; k <= 50; k++) {
      const phi = (Math.PI * (k + 0.5)) / 51
      const z = 3 + (24 * k) / 50
      const r = 20 - (12 * z) / 30
      const point: Vector = [r * Math.cos(phi), r * Math.sin(phi), z]
      const there = on.toFlat(point)
      expect(there.off).toBeLessThan(0.01)
      expect(distance(on.toSpace(there.point)!, point)).toBeLessThan(0.01)
    }
  })

  test('a hyperbolic paraboloid is reported near the figure of its twist', () => {
    const side = 50
    const twist = Math.PI / 18
    const steps = 50
    const edge = (y: number, lean: number): Vector[] =>
      Array.from({ length: steps + 1 }, (_, i) => {
        const s = (side * i) / steps - side / 2
        return [s * Math.cos(lean), y, s * Math.sin(lean)]
      })
    const { deviation, findings } = developBetween(edge(0, -twist / 2), edge(side, twist / 2))
    // A square twisted by φ and folded along its diagonal stands φ/4 of its side off at the middle.
    expect(deviation / (side * (twist / 4))).toBeCloseTo(1, 1)
    expect(findings[0]).toMatchObject({ id: 'not-developable', wanted: 0.25 })
    expect(findings[0]!.found).toBe(deviation)
  })
})

test('rolled back up, a warped skin stays within the reported figure of its surface', () => {
  const [side, lean] = [50, Math.PI / 36]
  const edge = (y: number, sense: number): Vector[] =>
    Array.from({ length: 51 }, (_, i) => [i - side / 2, y, sense * Math.tan(lean) * (i - side / 2)])
  const { development, deviation } = developBetween(edge(0, -1), edge(side, 1))
  const on = carrier(development)
  for (let i = 1; i < 20; i++) {
    for (let j = 1; j < 20; j++) {
      const [x, y, z] = on.toSpace([(i * side) / 20, (j * side) / 20]) ?? [0, side / 2, 0]
      expect(Math.abs(z - Math.tan(lean) * x * ((2 * y) / side - 1))).toBeLessThanOrEqual(deviation)
    }
  }
})

describe('skins over frames', () => {
  test('a skin of thickness t meets itself round a frame of radius r', () => {
    const [r, t] = [15, 0.28]
    const { development } = developBetween(oval(r, r, 0, 0, 720), oval(r, r, 30, 0, 720), { out: t / 2 })
    expect(pathLength(development.flatA)).toBeCloseTo(2 * Math.PI * (r + t / 2), 2)
    const [first, last] = [development.flatA[0]!, development.flatA.at(-1)!]
    expect(flatDistance(first, last)).toBeCloseTo(2 * Math.PI * (r + t / 2), 2)
  })

  test('a knuckle becomes a mountain score, turned by its own angle', () => {
    const { flat } = developBetween(corner(0), corner(30), { inside: [10, 10, 15] })
    expect(flat.scores).toHaveLength(1)
    expect(flat.scores[0]).toMatchObject({ fold: 'mountain', angle: expect.closeTo(90, 9) })
  })

  test('a twisted bottom beside a chine: the chine is scored, the twist is not', () => {
    const skin = developBetween(chined(0, 6, 9), chined(30, 14, 4), { through: [[20, 20]], inside: [15, 0, 3] })
    expect(skin.flat.scores).toHaveLength(1)
    expect(skin.flat.scores[0]!.fold).toBe('mountain')
    expect(skin.findings[0]).toMatchObject({ id: 'not-developable' })
  })

  test('a whole run of frames: intermediate frames are drawn, and their distance is the deviation', () => {
    const sections = [0, 10, 20, 30].map((x, i) => ({
      name: `F-0${i + 1}`,
      points: halfOval(10 + i + (i === 2 ? 0.6 : 0), x),
    }))
    const [panel] = developSkin(sections, { splits: [] })
    expect(panel!.flat.lines.filter((line) => line.kind === 'align')).toHaveLength(2)
    expect(panel!.deviation).toBeGreaterThan(0.4)
    expect(panel!.findings[0]).toMatchObject({ id: 'not-developable', mark: 'F-03' })
    const fewest = developSkin(sections, { splits: 'fewest' })
    expect(fewest.length).toBeGreaterThan(1)
    for (const part of fewest) expect(part.deviation).toBeLessThan(0.25)
  })

  test('a frame line on the flat is where the plane cuts the skin', () => {
    const { development } = developBetween(halfOval(10, 0), halfOval(13, 30))
    const on = carrier(development)
    const line = planeLine(development, [12, 0, 0], [1, 0, 0])
    expect(line.length).toBeGreaterThan(20)
    for (const point of line) expect(on.toSpace(point)![0]).toBeCloseTo(12, 9)
  })

  test('a window thrown along a line of sight keeps its outline in space', () => {
    const window = Array.from({ length: 33 }, (_, i): Vector => {
      const phi = (i * Math.PI) / 16
      return [15 + 2 * Math.cos(phi), 50, 3 * Math.sin(phi)]
    })
    const sections = [
      { name: 'F-01', points: halfOval(10, 0) },
      { name: 'F-02', points: halfOval(12, 30) },
    ]
    const [panel] = developSkin(sections, { lines: [{ kind: 'opening', line: window, sight: [0, -1, 0] }] })
    const on = carrier(panel!.development)
    const loop = panel!.flat.openings[0]!.loop
    expect(loopArea(loop)).toBeLessThan(-10)
    for (const point of loop) {
      const [x, , z] = on.toSpace(point)!
      expect(((x - 15) / 2) ** 2 + (z / 3) ** 2).toBeCloseTo(1, 1)
    }
  })

  test('panels cut to a sheet cover the skin, fit, and share out what is on it', () => {
    const sections = [
      { name: 'F-01', points: oval(60, 60, 0, 0) },
      { name: 'F-02', points: oval(50, 50, 80, 0) },
    ]
    const belt = oval(55, 55, 40, 0)
    const [skin] = developSkin(sections, { lines: [{ kind: 'datum', line: belt }] })
    const parts = panelsToFit(skin!, { width: 190, height: 277 })
    expect(parts.length).toBeGreaterThan(1)
    const { development } = skin!
    expect(parts.reduce((sum, part) => sum + totalArea(part.development), 0)).toBeCloseTo(totalArea(development), 6)
    const drawn = parts.flatMap((part) => part.flat.lines)
    expect(drawn).toHaveLength(parts.length)
    const whole = pathLength(skin!.flat.lines[0]!.line)
    expect(drawn.reduce((sum, { line }) => sum + pathLength(line), 0)).toBeCloseTo(whole, 3)
    expect(totalArea(sliceDevelopment(development, 0, 10))).toBeLessThan(totalArea(development))
  })

  test('a skin longer from edge to edge than any sheet is refused', () => {
    const skin = developBetween(halfOval(12, 0), halfOval(12, 400))
    expect(findingOf(() => panelsToFit(skin, { width: 190, height: 277 }))).toMatchObject({
      id: 'panel-too-large',
      wanted: 277,
    })
  })

  test('a line is clipped to the parts inside a loop', () => {
    const square = [
      [0, 0],
      [10, 0],
      [10, 10],
      [0, 10],
    ] as const
    const pieces = clipLine(
      [
        [-5, 5],
        [5, 5],
        [15, 5],
        [15, 2],
        [-5, 2],
      ],
      square,
    )
    expect(pieces).toEqual([
      [
        [0, 5],
        [5, 5],
        [10, 5],
      ],
      [
        [10, 2],
        [0, 2],
      ],
    ])
  })
})

describe('closed sections', () => {
  test('rings drawn from different points are cut in line and give the same skin', () => {
    const [a, b] = [oval(20, 12, 0, 0, 60).slice(0, -1), oval(15, 9, 30, 0, 60).slice(0, -1)]
    const turned = [...b.slice(23), ...b.slice(0, 23)]
    const [first, second] = [cutRing(a, [0, -1, 0]), cutRing(turned, [0, -1, 0])]
    for (const ring of [first, second]) {
      expect(ring[0]).toEqual(ring.at(-1))
      expect(ring[0]![0]).toBeCloseTo(0, 9)
      expect(ring[0]![1]).toBeLessThan(0)
    }
    const skin = developBetween(first, second)
    expect(skin.deviation).toBeLessThan(0.01)
    expect(totalArea(skin.development)).toBeCloseTo(
      totalArea(developBetween(cutRing(a, [0, -1, 0]), cutRing(b, [0, -1, 0])).development),
      6,
    )
  })

  test('a seam between two points is put in', () => {
    const square: Vector[] = [
      [-5, -5, 0],
      [5, -5, 0],
      [5, 5, 0],
      [-5, 5, 0],
    ]
    expect(cutRing(square, [0, -1, 0])).toEqual([
      [0, -5, 0],
      [5, -5, 0],
      [5, 5, 0],
      [-5, 5, 0],
      [-5, -5, 0],
      [0, -5, 0],
    ])
  })

  test('a direction square to the section is refused', () => {
    expect(findingOf(() => cutRing(oval(20, 12, 0, 0), [0, 0, 1]))).toMatchObject({ id: 'skin-topology' })
  })
})

describe('bad input', () => {
  const ring = oval(10, 10, 0, 0)

  test('a ring against an open edge names both sections', () => {
    const sections = [
      { name: 'F-01', points: ring },
      { name: 'F-02', points: halfOval(10, 30) },
    ]
    const finding = findingOf(() => developSkin(sections))
    expect(finding).toMatchObject({ id: 'skin-topology', mark: 'F-02' })
    expect(finding.text).toContain('F-01 to F-02')
  })

  test('a place that is not a number is refused, with its number', () => {
    expect(findingOf(() => developBetween(ring, [...ring.slice(0, -1), [Number.NaN, 0, 0]])).text).toContain(
      'point 97 of the second',
    )
  })

  test('edges that run opposite ways are refused', () => {
    expect(findingOf(() => developBetween(ring, oval(10, 10, 30, 0).toReversed())).text).toContain('opposite')
  })

  test('different numbers of knuckles are refused with both numbers', () => {
    const sections = [
      { name: 'F-01', points: halfOval(10, 0), knuckles: [12] },
      { name: 'F-02', points: halfOval(10, 30), knuckles: [10, 20] },
    ]
    expect(findingOf(() => developSkin(sections))).toMatchObject({ found: 2, wanted: 1 })
  })

  test('a pattern that runs over itself is a finding', () => {
    // A steep ring of more than a full flat turn: a flange, unrolled, laps over itself.
    expect(developBetween(ramp(20), ramp(10)).findings.map((finding) => finding.id)).toContain('skin-overlaps')
  })
})

describe('curl', () => {
  test('the tightest curl of a cone is near its small end, its axis along the straight lines', () => {
    const { development, flat } = developBetween(oval(20, 20, 0, 0, 360), oval(6, 6, 30, 0, 360))
    const curl = tightestCurl(development)!
    // Radius of curvature at a circle of radius r on a cone: r over the cosine of its half-angle.
    expect(curl.radius).toBeCloseTo(6 / Math.cos(Math.atan2(14, 30)), 1)
    const straight = carrier(development).toSpace(curl.at)!
    expect(Math.hypot(straight[0], straight[1])).toBeCloseTo(6, 2)
    expect(flat.grain).toBeDefined()
  })

  test('a cylinder curls at its radius, grain along its axis; a flat panel does not curl', () => {
    const { development, flat } = developBetween(halfOval(12, 0), halfOval(12, 40))
    expect(tightestCurl(development)!.radius).toBeCloseTo(12, 1)
    expect(Math.abs(flat.grain! - 90)).toBeLessThan(1)
    const plain = developBetween(
      [
        [0, 0, 0],
        [10, 0, 0],
        [20, 0, 0],
      ],
      [
        [0, 0, 30],
        [20, 0, 30],
      ],
    )
    expect(tightestCurl(plain.development)).toBeUndefined()
  })

  test('a nose far tighter than a millimetre is found', () => {
    expect(tightestCurl(developBetween(nose(0.4, 0), nose(0.4, 30)).development)!.radius).toBeCloseTo(0.4, 2)
  })

  test('a knuckle is a fold, not a curl', () => {
    expect(tightestCurl(developBetween(corner(0), corner(30)).development)).toBeUndefined()
  })
})

test('distances to the surface agree with an independent search', () => {
  const { development } = developBetween(oval(20, 12, 0, 0), oval(14, 16, 40, 6))
  const points: Vector[] = Array.from({ length: 40 }, (_, i) => [20 * Math.sin(i), 18 * Math.cos(2 * i), (i * 41) % 50])
  const on = carrier(development)
  expect(distancesTo(development, points)).toEqual(points.map((point) => expect.closeTo(on.toFlat(point).off, 9)))
})

function oval(width: number, depth: number, z: number, shift: number, count = 96): Vector[] {
  return Array.from({ length: count + 1 }, (_, i) => {
    const phi = (2 * Math.PI * i) / count
    return [shift + width * Math.cos(phi), depth * Math.sin(phi), z]
  })
}

/** A half circle sampled at uneven steps. */
function unevenArc(count: number, radius: number, z: number): Vector[] {
  return Array.from({ length: count + 1 }, (_, i) => {
    const t = i / count
    const phi = Math.PI * (t + 0.1 * Math.sin(2 * Math.PI * t))
    return [radius * Math.cos(phi), radius * Math.sin(phi), z]
  })
}

/** Two straight sides at a right angle. */
function corner(z: number): Vector[] {
  const plan = [0, 10, 20].map((x) => [x, 0] as const)
  return [...plan, [20, 10] as const, [20, 20] as const].map(([x, y]): Vector => [x, y, z])
}

/** Half a section of a planing hull: a straight bottom from the keel, a chine at point 20, a straight side. */
function chined(x: number, half: number, deadrise: number): Vector[] {
  return Array.from({ length: 41 }, (_, i): Vector =>
    i <= 20 ? [x, (half * i) / 20, -deadrise * (1 - i / 20)] : [x, half + (3 * (i - 20)) / 20, (12 * (i - 20)) / 20],
  )
}

/** Round a leading edge and straight back on either side. */
function nose(radius: number, y: number): Vector[] {
  const round = Array.from({ length: 41 }, (_, i): Vector => {
    const at = -Math.PI / 2 - (i * Math.PI) / 40
    return [radius * Math.cos(at), y, radius * Math.sin(at)]
  })
  return [[40, y, -radius], ...round, [40, y, radius]]
}

/** More than a full turn, climbing slowly. */
function ramp(radius: number): Vector[] {
  return Array.from({ length: 200 }, (_, i) => {
    const phi = (i * Math.PI) / 60
    return [radius * Math.cos(phi), radius * Math.sin(phi), phi * 0.1]
  })
}

/** A half ring in a plane across x, open, from keel to top on the starboard side. */
function halfOval(radius: number, x: number): Vector[] {
  return Array.from({ length: 49 }, (_, i) => {
    const phi = -Math.PI / 2 + (Math.PI * i) / 48
    return [x, radius * Math.cos(phi), radius * Math.sin(phi)]
  })
}

function turned([x, y, z]: Vector, first: number, second: number): Vector {
  const [u, v] = [x * Math.cos(first) - y * Math.sin(first), x * Math.sin(first) + y * Math.cos(first)]
  return [u, v * Math.cos(second) - z * Math.sin(second), v * Math.sin(second) + z * Math.cos(second)]
}

function expectRatio(found: number, wanted: number): void {
  expect(Math.abs(found - wanted)).toBeLessThanOrEqual(1e-6 * Math.abs(wanted) + 1e-12)
}

function loopArea(loop: readonly (readonly [number, number])[]): number {
  return loop.reduce((sum, [x, y], i) => {
    const [nextX, nextY] = loop[(i + 1) % loop.length]!
    return sum + (x * nextY - nextX * y) / 2
  }, 0)
}

function totalArea(development: Development): number {
  return facets(development).reduce((sum, facet) => sum + spaceArea(facet.space), 0)
}

function spaceArea([p, q, r]: readonly [Vector, Vector, Vector]): number {
  return norm(scale(cross(subtract(q, p), subtract(r, p)), 0.5))
}

function pathLength(line: readonly (readonly [number, number])[]): number {
  return line.slice(1).reduce((sum, point, i) => sum + flatDistance(point, line[i]!), 0)
}

function flatDistance(p: readonly [number, number], q: readonly [number, number]): number {
  return Math.hypot(p[0] - q[0], p[1] - q[1])
}

function angleAt(p: readonly [number, number], q: readonly [number, number], r: readonly [number, number]): number {
  const turn = Math.atan2(r[1] - p[1], r[0] - p[0]) - Math.atan2(q[1] - p[1], q[0] - p[0])
  return (Math.abs(Math.atan2(Math.sin(turn), Math.cos(turn))) * 180) / Math.PI
}

/** ∫ ½|(P − apex) × P′| dφ by Simpson's rule; smooth and periodic, so it converges at once. */
function obliqueConeArea(radius: number, height: number, shift: number): number {
  const steps = 2000
  let sum = 0
  for (let i = 0; i < steps; i++) {
    const phi = (2 * Math.PI * i) / steps
    const from: Vector = [radius * Math.cos(phi) - shift, radius * Math.sin(phi), -height]
    const tangent: Vector = [-radius * Math.sin(phi), radius * Math.cos(phi), 0]
    sum += norm(cross(from, tangent)) / 2
  }
  return (sum * 2 * Math.PI) / steps
}

function findingOf(work: () => unknown): FindingError['finding'] {
  try {
    work()
  } catch (error) {
    if (error instanceof FindingError) return error.finding
    throw error
  }
  throw new Error('nothing was thrown')
}
