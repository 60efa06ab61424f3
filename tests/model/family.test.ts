import { describe, expect, test } from 'vitest'
import { ZERO, mm } from '../../lib/length/length'
import { bench, full } from '../../lib/length/unit'
import { assembly } from '../../lib/model/assembly'
import { piece } from '../../lib/model/draft'
import { family, mirrored, single } from '../../lib/model/family'
import { plane } from '../../lib/model/plane'
import { stations } from '../../lib/model/stations'
import { area } from '../../lib/shape/measure'
import { circle, polygon, rectangle, rectangleFrom } from '../../lib/shape/primitive'
import { findingOf, modelOf, pieceOf } from '../helpers/model'

const plain = () => piece({ stock: 'folder' }).outline(rectangle(bench.mm(20), bench.mm(10)))
const three = stations.even(3, full.m(0), full.m(6))

describe('marks', () => {
  test('family and number, two digits at least', () => {
    const found = modelOf(() => family('WR', three, plain))
    expect(found.pieces.map(({ mark }) => mark)).toEqual(['WR-01', 'WR-02', 'WR-03'])
  })

  test('as many digits as the last station needs', () => {
    const found = modelOf(() => family('WR', stations.even(100, full.m(0), full.m(6)), plain))
    expect(found.pieces[0]!.mark).toBe('WR-001')
  })

  test('a single piece has no number', () => {
    expect(modelOf(() => single('KE', plain)).pieces.map(({ mark }) => mark)).toEqual(['KE'])
  })

  test('a record of pieces makes one mark each', () => {
    const found = modelOf(() => family('SE', stations.at(full.m(1)), () => ({ PAN: plain(), ARM: plain().copies(2) })))
    expect(found.pieces.map(({ mark, copies }) => [mark, copies])).toEqual([
      ['SE-01-ARM', 2],
      ['SE-01-PAN', 1],
    ])
  })

  test('mirrored families are handed', () => {
    const found = modelOf(() => mirrored(family('WR', stations.at(full.m(1)), plain)))
    expect(found.pieces.map(({ mark, side }) => [mark, side])).toEqual([
      ['WR-P01', 'P'],
      ['WR-S01', 'S'],
    ])
  })
})

describe('mirrored pieces', () => {
  const hand = () =>
    piece({ stock: 'folder', grain: 30 })
      .outline(polygon([ZERO, ZERO], [bench.mm(20), ZERO], [ZERO, bench.mm(10)]))
      .openings(circle(bench.mm(1)).moved(bench.mm(4), bench.mm(3)))
      .valley([bench.mm(10), ZERO], [bench.mm(10), bench.mm(5)], 45)
      .text('UP', [bench.mm(3), bench.mm(2)], { size: bench.mm(1.5), angle: 20 })
      .place(plane.spanwise(full.m(3), { x: full.m(6), z: full.m(1.2), twist: 3 }))
  const found = modelOf(() => mirrored(family('WR', stations.at(full.m(1)), hand)))
  const [port, starboard] = [pieceOf(found, 'WR-P01'), pieceOf(found, 'WR-S01')]

  test('keep area and winding', () => {
    expect(area([port.outline])).toBeCloseTo(area([starboard.outline]), 9)
    expect(area([port.outline])).toBeGreaterThan(0)
    expect(area([port.openings[0]!.loop])).toBeLessThan(0)
  })

  test('stand at the mirror image of every point', () => {
    const place = (one: typeof port, u: number, v: number) =>
      one.pose!.origin.map((o, i) => o + u * one.pose!.right[i]! + v * one.pose!.up[i]!)
    for (const [u, v] of [
      [0, 0],
      [20, 0],
      [0, 10],
    ] as const) {
      const [x, y, z] = place(starboard, u, v)
      const [mx, my, mz] = place(port, -u, v)
      expect([mx, my, mz].map((c) => Number(c!.toFixed(9)))).toEqual([x, -y!, z].map((c) => Number(c!.toFixed(9))))
    }
  })

  test('have the grain mirrored, folds as they were, and text that still reads', () => {
    expect(port.grain).toBe(150)
    expect(port.scores[0]).toMatchObject({ fold: 'valley', angle: 45 })
    expect(port.texts[0]).toMatchObject({ text: 'UP', at: [-3, 2], angle: -20 })
  })
})

describe('exceptions', () => {
  test('change a station in one line and leave the others', () => {
    const found = modelOf(() => family('WR', three, plain).except(2, (rib) => rib.plies(3)))
    expect(found.pieces.map(({ plies }) => plies)).toEqual([1, 3, 1])
  })

  test('leave stations out without renumbering', () => {
    const found = modelOf(() => family('WR', three, plain).without(2))
    expect(found.pieces.map(({ mark }) => mark)).toEqual(['WR-01', 'WR-03'])
  })

  test('of a station there is not', () => {
    expect(findingOf(() => family('WR', three, plain).except(4, (rib) => rib)).text).toBe(
      'family WR: there is no station 4',
    )
  })
})

describe('pieces', () => {
  test('slots at the edge open the outline, slots inside are openings of their own kind', () => {
    const found = modelOf(() =>
      single('RB', () =>
        plain().slots(
          rectangle(bench.mm(1), bench.mm(4)).moved(ZERO, bench.mm(5)),
          rectangle(bench.mm(1), bench.mm(4)).moved(bench.mm(6), ZERO),
        ),
      ),
    )
    const { outline, openings } = found.pieces[0]!
    expect(area([outline])).toBeCloseTo(200 - 2, 6)
    expect(openings).toHaveLength(1)
    expect(openings[0]!.kind).toBe('slot')
    expect(area([openings[0]!.loop])).toBeCloseTo(-4, 6)
  })

  test('remember the figures they read', () => {
    const found = modelOf(() => [
      single('A', () => plain()),
      single('B', () => piece({ stock: 'folder' }).outline(rectangle(full.m(1), bench.plies('divider', 4)))),
    ])
    expect(pieceOf(found, 'A').reads).toEqual([])
    expect(pieceOf(found, 'B').reads).toEqual(['scale', 'stock:divider.thickness'])
  })

  test('carry the path of their assembly', () => {
    const found = modelOf(() => assembly('wing', assembly('ribs', single('A', plain)), single('B', plain)))
    expect(found.pieces.map((one) => one.assembly)).toEqual(['wing/ribs', 'wing'])
    expect(found.assemblies).toEqual(['wing', 'wing/ribs'])
  })

  test('at 1:60 and 1:120 full-size lengths halve and bench lengths do not', () => {
    const body = () => single('A', () => piece({ stock: 'folder' }).outline(rectangleFrom(ZERO, ZERO, full.m(3), bench.mm(7))))
    const size = (at: string) => {
      const { outline } = modelOf(body, { at }).pieces[0]!
      return [Math.max(...outline.map(([x]) => x)), Math.max(...outline.map(([, y]) => y))]
    }
    expect(size('1:60')).toEqual([50, 7])
    expect(size('1:120')).toEqual([25, 7])
  })
})

describe('bad input names family, station and line', () => {
  test.each<[string, () => unknown, string]>([
    ['returns nothing', () => family('WR', three, (() => undefined) as never), 'family WR, station 1: its function returned nothing'],
    [
      'throws',
      () =>
        family('WR', three, (_, { number }) => {
          if (number === 2) throw new RangeError('spar too deep')
          return plain()
        }),
      'family WR, station 2: its function failed: spar too deep',
    ],
    ['returns something else', () => family('WR', three, (() => ({ A: 12 })) as never), 'family WR, station 1: its part "A" is not a piece'],
    ['no outline', () => single('WR', () => piece({ stock: 'folder' })), 'no outline was given'],
    [
      'nothing left',
      () => single('WR', () => plain().cut(rectangle(bench.mm(30), bench.mm(30)))),
      'nothing of the piece is left: its area is 0 mm²',
    ],
    [
      'falls apart',
      () => single('WR', () => plain().cut(rectangle(bench.mm(2), bench.mm(30)))),
      'it falls into 2 parts of 90.0, 90.0 mm² where one is meant',
    ],
    ['unknown stock', () => single('WR', () => piece({ stock: 'foldre' }).outline(circle(bench.mm(5)))), 'WR is of stock "foldre", which there is not'],
  ])('%s', (_, part, text) => {
    const finding = findingOf(() => modelOf(() => part() as never))
    expect(finding.text).toBe(text)
    expect(finding.site?.file).toMatch(/family\.test\.ts$/)
  })

  test('the nearest stock is suggested', () => {
    const finding = findingOf(() => modelOf(() => single('WR', () => piece({ stock: 'foldre' }).outline(circle(bench.mm(5))))))
    expect(finding.remedy).toBe('did you mean "folder"?')
  })

  test.each([
    ['A<B', 'the family code "A<B" has the character "<"'],
    ['A&B', 'the family code "A&B" has the character "&"'],
    ['A"B', 'the family code "A"B" has the character """'],
    ['A/B', 'the family code "A/B" has the character "/"'],
    ['', 'the family code is empty'],
    ['W'.repeat(10_000), 'the family code "WWWWWWWWWWWW…" is 10000 characters long, at most 24 can be printed'],
  ])('a code of odd characters: %.12s', (code, text) => {
    expect(findingOf(() => family(code, three, plain)).text).toBe(text)
  })

  test('a station that loops for ever is cut off and named, and earlier ones are not called again', () => {
    const calls: number[] = []
    const finding = findingOf(() =>
      modelOf(
        () =>
          family('WR', three, (_, { number }) => {
            calls.push(number)
            if (number === 2) for (;;) calls.length = Math.min(calls.length, 10)
            return plain()
          }),
        { timeLimit: 100 },
      ),
    )
    expect(finding).toMatchObject({
      id: 'time-limit',
      text: 'family WR, station 2: it did not come to an end within 0.1 s',
      family: 'WR',
      station: 'station 2',
    })
    expect(calls.filter((n) => n === 1)).toHaveLength(1)
  })

  test('many stations that together take longer than the limit are let through', () => {
    const slow = () => {
      const until = performance.now() + 30
      while (performance.now() < until);
      return plain()
    }
    const found = modelOf(() => family('WR', stations.even(8, full.m(0), full.m(6)), slow), { timeLimit: 100 })
    expect(found.pieces).toHaveLength(8)
  })

  test('a slot that misses the piece', () => {
    const found = modelOf(() => single('RB', () => plain().slots(rectangle(bench.mm(1), bench.mm(1)).moved(bench.mm(40), ZERO))))
    expect(found.findings.map(({ text }) => text)).toEqual(['a slot at (40.00, 0.00) mm does not touch the piece'])
  })

  test('lengths cannot be turned into millimetres outside a model', () => {
    expect(findingOf(() => mm(full.m(1))).text).toBe(
      'a full-size length was turned into millimetres outside the model, where no scale is known',
    )
  })
})
