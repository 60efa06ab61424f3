import { describe, expect, test } from 'vitest'
import { alternateGrain, laminate, wrappedPlies } from '../../lib/craft/laminate'

const folder = { id: 'folder', thickness: 0.28, glueLine: 0.02 }
const divider = { id: 'divider', thickness: 0.46, glueLine: 0.02 }

describe('plies to a thickness', () => {
  test('glue lines count between plies only', () => {
    expect(laminate(0.88, [folder], 0.01)).toMatchObject({
      plies: ['folder', 'folder', 'folder'],
      error: expect.closeTo(0),
    })
  })

  test('the fewest plies within tolerance win over more plies that come nearer', () => {
    // Two dividers make 0.94 mm; folder, divider and folder make 1.06 mm, nearer but one ply more.
    expect(laminate(1.0, [folder, divider], 0.1).plies).toEqual(['divider', 'divider'])
  })

  test('mixed plies lie symmetrically', () => {
    const { plies, error } = laminate(1.06, [folder, divider], 0.01)
    expect(plies).toEqual(['folder', 'divider', 'folder'])
    expect(error).toBeCloseTo(0, 9)
  })

  test('what cannot be reached is an error with both numbers', () => {
    const { findings, thickness } = laminate(0.1, [folder], 0.05)
    expect(thickness).toBe(0.28)
    expect(findings[0]).toMatchObject({ id: 'ply-thickness', found: 0.28, wanted: 0.1 })
  })
})

test('grain alternates and reads the same from either face', () => {
  expect(alternateGrain(3)).toEqual([0, 90, 0])
  expect(alternateGrain(4)).toEqual([0, 90, 90, 0])
  expect(alternateGrain(5)).toEqual([0, 90, 0, 90, 0])
  expect(alternateGrain(6)).toEqual([0, 90, 0, 0, 90, 0])
})

describe('plies wrapped round a former', () => {
  test('a ring of three plies on a drum: each is the circumference at its own middle', () => {
    const plies = wrappedPlies({
      length: 2 * Math.PI * 10,
      turning: 360,
      plies: 3,
      thickness: 0.28,
      glueLine: 0.02,
      k: 0.5,
    })
    expect(plies).toEqual([10.14, 10.44, 10.74].map((r) => expect.closeTo(2 * Math.PI * r, 9)))
  })

  test('over a straight part nothing grows', () => {
    const plies = wrappedPlies({ length: 50, turning: 0, plies: 2, thickness: 0.28, glueLine: 0.02, k: 0.5 })
    expect(plies).toEqual([50, 50])
  })
})
