import { describe, expect, test } from 'vitest'
import { type WrappedOptions, bench, single, wrapped } from '../../lib'
import { boundsOf } from '../../lib/shape/measure'
import { findingOf, modelOf, pieceOf } from '../helpers/model'

const ring = (options: Partial<WrappedOptions>) =>
  modelOf(() =>
    single('RG', () =>
      wrapped({ stock: 'folder', length: bench.mm(2 * Math.PI * 12), width: bench.mm(3), plies: 3, ...options }),
    ),
  )

const lengthsOf = (model: ReturnType<typeof ring>) =>
  model.pieces.map(({ outline }) => {
    const { minX, maxX } = boundsOf([outline])
    return maxX - minX
  })

describe('plies wrapped round a former', () => {
  test('a ring: each as long as the circle at its own neutral layer', () => {
    const model = ring({})
    expect(model.pieces.map(({ mark, plies }) => [mark, plies])).toEqual([1, 2, 3].map((n) => [`RG-W${n}`, 1]))
    const { thickness, glueLine, fold } = model.stocks.get('folder')!
    // Circumference 2πr, r to the layer that keeps its length (K-factor, the bend allowance of the handbooks).
    const radii = [0, 1, 2].map((i) => 12 + i * (thickness.value + glueLine.value) + fold.k.value * thickness.value)
    expect(lengthsOf(model)).toEqual(radii.map((r) => expect.closeTo(2 * Math.PI * r, 9)))
    expect(model.findings).toEqual([])
  })

  test('a curve that is no circle grows by its turn alone (Steiner, parallel curves)', () => {
    // A U of two legs of 20 mm and a half circle of radius 8, by hand: the legs, and the half circle at its layer.
    const model = ring({ length: bench.mm(40 + 8 * Math.PI), turning: 180, plies: 2 })
    const { thickness, glueLine, fold } = model.stocks.get('folder')!
    const first = 8 + fold.k.value * thickness.value
    const second = first + thickness.value + glueLine.value
    expect(lengthsOf(model)).toEqual([first, second].map((r) => expect.closeTo(40 + Math.PI * r, 9)))
  })

  test('grain across every strip unless it is to alternate, and a line across its middle', () => {
    expect(ring({}).pieces.map(({ grain }) => grain)).toEqual([90, 90, 90])
    const alternate = ring({ grain: 'alternate' })
    expect(alternate.pieces.map(({ grain }) => grain)).toEqual([90, 0, 90])
    for (const { lines, outline } of alternate.pieces) {
      expect(lines[0]!.line.map(([x]) => x)).toEqual([1, 1].map(() => expect.closeTo(boundsOf([outline]).maxX / 2, 9)))
    }
  })
})

test('a former tighter than the stock curls is a warning with both radii, for the plies it creases', () => {
  const model = ring({ length: bench.mm(2 * Math.PI * 5.3) })
  const least = model.stocks.get('folder')!.fold.leastCurlAlong.value
  expect(model.findings.map(({ mark }) => mark)).toEqual(['RG-W1'])
  expect(model.findings[0]).toMatchObject({ id: 'tight-bend', severity: 'warning', wanted: least })
  expect(model.findings[0]!.found).toBeCloseTo(5.3, 9)
})

test('no plies, or a former that turns the wrong way', () => {
  expect(findingOf(() => ring({ plies: 0 }))).toMatchObject({ id: 'wrapped', found: 0, wanted: 1 })
  expect(findingOf(() => ring({ turning: -90 }))).toMatchObject({ id: 'wrapped', found: -90, wanted: 0 })
  expect(pieceOf(ring({ plies: 1 }), 'RG-W1').notes[0]).toContain('Ply 1 of 1')
})
