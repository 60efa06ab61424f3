import { beforeAll, describe, expect, test } from 'vitest'
import { buildCommand, cardwright, project } from '../helpers/command'

beforeAll(buildCommand, 150_000)

describe('cardwright fit', () => {
  test('shows every clearance as asked and as measured, kept or not', () => {
    const { code, stdout, stderr } = cardwright(project('clearances'), ['fit'])
    expect(stdout).toBe(
      [
        'shed: 6 pieces stood up, 2 warnings, 3 notes',
        '  clearance     asked             measured            between the nearest of both',
        '  door to post  0.30 to 1.00 mm    0.50 mm  kept      DO#1 from PO',
        '  latch         0.20 mm or more          ?  unknown',
        '  passage       10.00 mm or more  39.64 mm  kept      WA-P from PO',
        '  wall to door  45.00 mm or more  39.72 mm  not kept  WA-P from DO#1',
        '',
      ].join('\n'),
    )
    expect(stderr).toContain('warning WA-P: wall to door: WA-P is 39.72 mm from DO#1, at least 45.00 mm is wanted\n  parts/shed.ts:16:10 (clearance)\n  move them apart, or make one of them smaller\n')
    expect(stderr).toContain('warning LA: latch: cannot be measured, of LA 0 stand in the finished model, 1 or more are needed\n')
    expect(code).toBe(1)
  })

  test('gives the same as data', () => {
    const { stdout } = cardwright(project('clearances'), ['fit', '--json'])
    const [shed] = JSON.parse(stdout).models
    expect(shed.clearances.map(({ name, kept, nearest }: { name: string; kept: boolean; nearest?: { a: string } }) => [name, kept, nearest?.a])).toEqual([
      ['door to post', true, 'DO#1'],
      ['latch', false, undefined],
      ['passage', true, 'WA-P'],
      ['wall to door', false, 'WA-P'],
    ])
    expect(shed.clearances[0].nearest.gap).toBeCloseTo(0.5, 6)
  })
})
