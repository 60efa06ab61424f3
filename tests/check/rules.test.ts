import { describe, expect, test } from 'vitest'
import { checkModel } from '../../lib/check'
import type { Finding } from '../../lib/finding/finding'
import { ZERO } from '../../lib/length/length'
import { bench, full } from '../../lib/length/unit'
import type { Part } from '../../lib/model/assembly'
import { type Draft, piece } from '../../lib/model/draft'
import { family, single } from '../../lib/model/family'
import { plane } from '../../lib/model/plane'
import { stations } from '../../lib/model/stations'
import { circle, rectangle, rectangleFrom } from '../../lib/shape/primitive'
import { modelOf } from '../helpers/model'

const AREA = { minX: 10, minY: 30, maxX: 200, maxY: 270 }

/** What the rules say of a model on a sheet with 190 × 240 mm of room. */
function check(body: () => Part | readonly Part[], at = '1:60'): Finding[] {
  return checkModel(modelOf(body, { at }), {
    area: () => AREA,
    atRatio: (ratio) => modelOf(body, { at: `1:${ratio}` }),
  })
}

const one = (draft: () => Draft) => check(() => single('A', draft))
const plate = (width = 40, height = 20) =>
  piece({ stock: 'folder' }).outline(rectangle(bench.mm(width), bench.mm(height)))
const said = (findings: Finding[]) => findings.map(({ id, severity, mark, text, remedy }) => [id, severity, mark, text, remedy])

test('a plain plate has no findings', () => {
  expect(one(() => plate())).toEqual([])
})

describe('what is wrong', () => {
  test('two families of one code', () => {
    const found = check(() => [single('A', () => plate()), single('A', () => plate())])
    expect(said(found)).toEqual([
      [
        'duplicate-mark',
        'error',
        'A',
        '2 pieces have the mark A, one is meant',
        'give each family a code of its own, put a family into one assembly only, or say copies: n',
      ],
    ])
    expect(found[0]!.site?.file).toMatch(/rules\.test\.ts$/)
  })

  test('an opening over the edge', () => {
    const found = one(() => plate().openings(circle(bench.mm(3)).moved(bench.mm(19), ZERO)))
    expect(found[0]).toMatchObject({ id: 'opening-outside', severity: 'error', remedy: 'move it inwards, or cut it as a notch with .cut(…)' })
    expect(found[0]!.text).toMatch(/^the opening crosses the outline at \(20\.00 mm, -?\d\.\d\d mm\)$/)
  })

  test('an opening beside the piece', () => {
    const found = one(() => plate().openings(circle(bench.mm(3)).moved(bench.mm(40), ZERO)))
    expect(found[0]!.text).toMatch(/^the opening lies outside the outline at \(\d\d\.\d\d mm, -?\d\.\d\d mm\)$/)
  })

  test('two openings that run into each other', () => {
    const found = one(() => plate().openings(circle(bench.mm(4)), circle(bench.mm(4)).moved(bench.mm(5), ZERO)))
    expect(found[0]!.text).toMatch(/^the opening runs into another opening/)
  })

  test('a fold that leaves the card', () => {
    const found = one(() => plate().valley([ZERO, bench.mm(-10)], [ZERO, bench.mm(14)]))
    expect(found[0]).toMatchObject({ id: 'score-place', severity: 'error' })
    expect(found[0]!.text).toMatch(/^a valley fold leaves the card at \(0\.00 mm, 1\d\.\d\d mm\)$/)
  })

  test('a fold across an opening', () => {
    const found = one(() => plate().openings(circle(bench.mm(4))).valley([ZERO, bench.mm(-10)], [ZERO, bench.mm(10)]))
    expect(found.map(({ id }) => id)).toEqual(['score-place'])
  })

  test('a fold from edge to edge is right', () => {
    expect(one(() => plate().mountain([ZERO, bench.mm(-10)], [ZERO, bench.mm(10)]))).toEqual([])
  })

  test('a piece larger than the room, with how much and where to split it', () => {
    const found = one(() => plate(300, 20))
    expect(found[0]!.text).toBe(
      'the piece is 300.0 × 20.0 mm, the printable area of letter 190.0 × 240.0 mm: 60.00 mm too large',
    )
    expect(found[0]!.remedy).toBe('split it into 2: at 150.00 mm from its left end, or use a larger sheet')
  })

  test('a piece too large both ways is to be split both ways', () => {
    expect(one(() => plate(300, 300))[0]!.remedy).toBe(
      'split it both ways, into 2: at 150.00 mm from its left end, and into 2: at 150.00 mm from its lower end, or use a larger sheet',
    )
    // Halves of 200 × 225 fit neither way, thirds on their side.
    expect(one(() => plate(200, 450))[0]!.remedy).toBe('split it into 3: at 150.00 mm, at 300.00 mm from its lower end, or use a larger sheet')
  })

  test('the split is put at a frame that stands near it', () => {
    const found = check(() => [
      single('KE', () =>
        piece({ stock: 'folder', grain: 'along' })
          .outline(rectangleFrom(ZERO, ZERO, full.m(18), full.m(1)))
          .place(plane.spanwise(ZERO)),
      ),
      family('HF', stations.at(full.m(2), full.m(9.6), full.m(16)), (x) => plate().place(plane.frame(x))),
    ])
    expect(found[0]!.remedy).toBe('split it into 2: at HF-02 (160.00 mm) from its left end, or use a larger sheet')
  })

  test('a long piece that fits when turned is no finding where the grain is free', () => {
    expect(one(() => plate(230, 20))).toEqual([])
  })
})

describe('what a knife cannot make, with the scale at which it could', () => {
  test('a web between two openings', () => {
    const found = one(() => plate().openings(circle(bench.mm(3)), circle(bench.mm(3)).moved(bench.mm(6.4), ZERO)))
    expect(found.map(({ id, severity }) => [id, severity])).toEqual([['narrow-web', 'warning']])
    expect(found[0]!.found).toBeCloseTo(0.4, 2)
    expect(found[0]!.text).toMatch(/^a web of 0\.4\d mm is left, the knife needs \d\.\d\d mm$/)
    expect(found[0]!.remedy).toBe('move the cuts apart, or make the openings smaller')
  })

  test('a small opening names the punch', () => {
    const found = one(() => plate().openings(circle(bench.mm(0.3))))
    expect(found[0]).toMatchObject({ id: 'small-opening', severity: 'warning' })
    expect(found[0]!.text).toMatch(/^an opening is 0\.[56]\d mm across, the knife needs \d\.\d\d mm$/)
    expect(found[0]!.remedy).toBe('make it larger, or use a punch of 0.6 mm')
  })

  test('a full-size detail says up to which scale it works', () => {
    const opening = (radius: number) => check(() => single('A', () => plate().openings(circle(full.mm(radius)))))
    const [finding] = opening(18)
    const wanted = finding!.wanted!
    // 36 mm across on the subject is 0.6 mm at 1:60, and the wanted width at 1:(36 / wanted).
    const [, scale] = /use a punch of 0\.6 mm; as drawn it works up to 1:([\d.]+)$/.exec(finding!.remedy)!
    // Flattening takes up to two chord tolerances off the width, a bench figure of its own.
    expect(Number(scale)).toBeLessThanOrEqual(36 / wanted)
    expect(Number(scale)).toBeGreaterThan(36 / (wanted + 0.03))
  })

  test('a bench detail does not grow with the model, so no scale is named', () => {
    const [finding] = one(() => plate().openings(circle(bench.mm(0.3))))
    expect(finding!.remedy).not.toMatch(/works up to/)
  })

  test('a narrow slot', () => {
    const found = one(() => plate().slots(rectangle(bench.mm(0.1), bench.mm(6))))
    expect(found.map(({ id }) => id)).toContain('narrow-slot')
  })
})
