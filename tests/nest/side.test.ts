import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { squaredLike, squaredOff } from '../../lib/nest/side'
import { placeLoop, signedArea } from '../../lib/nest/turn'
import type { Loop, Point } from '../../lib/shape/point'
import { rounded } from './cases'

// What an outline is cut from follows from how each is made: a plain shape, rounded or notched by known amounts.

const mm = (min: number, max: number) => fc.double({ min, max, noNaN: true })

describe('squaredOff', () => {
  it('gives back the rectangle that was rounded, turned by any angle', () => {
    fc.assert(
      fc.property(mm(8, 90), mm(8, 90), mm(0.2, 2.4), mm(0, 360), (width, height, radius, angle) => {
        const outline = rounded(width, height, radius)
        const { loop, sides } = squaredOff(placeLoop(outline, angle, 7, 11))
        expect(loop).toHaveLength(4)
        expect(signedArea(loop)).toBeCloseTo(width * height, 6)
        // Four squares of the radius less their quarter discs have been cut off, the discs drawn by 24 chords.
        const disc = (radius * radius * 96 * Math.sin((2 * Math.PI) / 96)) / 2
        expect(signedArea(loop) - signedArea(outline)).toBeCloseTo(4 * radius * radius - disc, 6)
        for (const { fromAngle, toAngle, edges } of sides) {
          expect([fromAngle, toAngle]).toEqual([expect.closeTo(90, 6), expect.closeTo(90, 6)])
          expect(edges).toHaveLength(1)
        }
        const lengths = sides.map(({ edges: [only] }) => Math.hypot(only![1][0] - only![0][0], only![1][1] - only![0][1]))
        const straight = [width - 2 * radius, height - 2 * radius]
        expect(lengths.toSorted((a, b) => a - b)).toEqual([...straight, ...straight].toSorted((a, b) => a - b).map((one) => expect.closeTo(one, 6)))
      }),
    )
  })

  it('closes half a turn by a tangent across', () => {
    // A stadium of 40 × 12 mm is cut from the rectangle around it.
    const { loop, sides } = squaredOff(rounded(40, 12, 6 - 1e-9))
    expect(signedArea(loop)).toBeCloseTo(480, 4)
    expect(sides.map(({ edges: [only] }) => Math.abs(only![1][0] - only![0][0]))).toEqual(expect.arrayContaining([expect.closeTo(28, 4)]))
  })

  it('takes a side as one that is notched, and knows what is left of it', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(mm(1, 9), mm(0.3, 5.9), mm(0.5, 7)), { minLength: 1, maxLength: 6 }), mm(0, 360), (notches, angle) => {
        const top: Point[] = []
        let x = 0
        for (const [space, mouth, depth] of notches) {
          x += space
          top.push([x, 10], [x, 10 - depth], [x + mouth, 10 - depth], [x + mouth, 10])
          x += mouth
        }
        const width = x + 4
        const outline: Loop = [[0, 0], [width, 0], [width, 10], ...top.toReversed(), [0, 10]]
        const { loop, sides } = squaredOff(placeLoop(outline, angle))
        expect(loop).toHaveLength(4)
        expect(signedArea(loop)).toBeCloseTo(10 * width, 6)
        const whole = sides.find(({ edges }) => edges.length > 1)!
        const left = whole.edges.map(([from, to]) => Math.hypot(to[0] - from[0], to[1] - from[1]))
        expect(left.toReversed()).toEqual([...notches.map(([space]) => space), 4].map((one) => expect.closeTo(one, 6)))
      }),
    )
  })

  it('leaves wide bays, bumps, sharp corners and chords of a large round as they are', () => {
    const bay: Loop = [[0, 0], [40, 0], [40, 20], [28, 20], [28, 8], [12, 8], [12, 20], [0, 20]]
    const bump: Loop = [[0, 0], [40, 0], [40, 20], [24, 20], [24, 23], [20, 23], [20, 20], [0, 20]]
    const chamfered: Loop = [[2, 0], [38, 0], [40, 2], [40, 20], [0, 20], [0, 2]]
    for (const outline of [bay, bump, chamfered]) expect(squaredOff(outline).loop.toSorted()).toEqual(outline.toSorted())
    const disc = Array.from({ length: 90 }, (_, i): Point => [60 * Math.cos((i * Math.PI) / 45), 60 * Math.sin((i * Math.PI) / 45)])
    expect(signedArea(squaredOff(disc).loop)).toBeCloseTo(signedArea(disc), 9)
    expect(squaredOff(disc).sides).toEqual([])
    expect(squaredOff(bay).sides).toHaveLength(5)
  })

  it('is the same moved as found anew', () => {
    const outline = rounded(30, 20, 2)
    const moved = placeLoop(outline, 0, 3, 4)
    const anew = squaredOff(placeLoop(outline, 0, 3, 4))
    squaredLike(moved, outline, 3, 4)
    expect(squaredOff(moved)).toEqual(anew)
  })
})
