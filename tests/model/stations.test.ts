import { describe, expect, test } from 'vitest'
import { mm } from '../../lib/length/length'
import { bench, full } from '../../lib/length/unit'
import { stations } from '../../lib/model/stations'
import { atBench, findingOf } from '../helpers/model'

const at = (list: ReturnType<typeof stations.even>) => atBench(() => list.map((one) => mm(one.at)))

describe('stations', () => {
  test('even: both ends and equal bays between', () => {
    expect(at(stations.even(5, bench.mm(10), bench.mm(30)))).toEqual([10, 15, 20, 25, 30])
  })

  test('even: one station stands at the start', () => {
    expect(at(stations.even(1, bench.mm(10), bench.mm(30)))).toEqual([10])
  })

  test('even: full-size ends are scaled', () => {
    expect(at(stations.even(3, full.m(0), full.m(6)))).toEqual([0, 50, 100])
  })

  test('taper: each bay is the ratio of the one before, and the ends are met', () => {
    const places = at(stations.taper(4, bench.mm(0), bench.mm(70), 0.5))
    expect(places).toEqual([0, 40, 60, 70])
  })

  test('bays: one station more than bays, numbered from 1', () => {
    const list = stations.bays(bench.mm(5), [bench.mm(1), bench.mm(2), bench.mm(4)])
    expect(at(list)).toEqual([5, 6, 8, 12])
    expect(list.map(({ number }) => number)).toEqual([1, 2, 3, 4])
  })

  test('pitch: a constant bay', () => {
    expect(at(stations.pitch(3, bench.mm(2), bench.mm(7)))).toEqual([2, 9, 16])
  })

  test.each([
    [() => stations.even(0, bench.mm(0), bench.mm(1)), 'stations.even was asked for 0 stations'],
    [() => stations.even(2.5, bench.mm(0), bench.mm(1)), 'stations.even was asked for 2.5 stations'],
    [() => stations.pitch(Number.NaN, bench.mm(0), bench.mm(1)), 'stations.pitch was asked for NaN stations'],
    [() => stations.taper(3, bench.mm(0), bench.mm(1), 0), 'stations.taper was given the ratio 0'],
    [() => stations.at(12 as never), 'the bare number 12 was given where a length is meant'],
  ])('bad input %#: %s', (work, text) => {
    expect(findingOf(work).text).toBe(text)
  })
})
