import { describe, expect, test } from 'vitest'
import { ZERO } from '../../lib/length/length'
import { bench } from '../../lib/length/unit'
import { plank } from '../../lib/joinery/plank'
import { type RunSection, sections } from '../../lib/joinery/sections'
import { type SkinOptions, skin } from '../../lib/joinery/skin'
import type { Part } from '../../lib/model/assembly'
import { piece } from '../../lib/model/draft'
import { family, mirrored } from '../../lib/model/family'
import { plane } from '../../lib/model/plane'
import { stations } from '../../lib/model/stations'
import { area, boundsOf } from '../../lib/shape/measure'
import type { Point } from '../../lib/shape/point'
import { circle, rectangle, rectangleFrom } from '../../lib/shape/primitive'
import { catalogue } from '../../lib/stock/catalogue'
import { findingOf, modelOf, pieceOf } from '../helpers/model'

const { value: t } = catalogue.folder.thickness
const { value: k } = catalogue.folder.fold.k

/** Rings of the given radii, mm, 10 mm apart along the model. */
const rings = (...radii: number[]) =>
  sections(
    'FR',
    stations.pitch(radii.length, ZERO, bench.mm(10)),
    (x) => circle(bench.mm(radii[Math.round(x.bench / 10)]!)),
    plane.frame,
  )

const over = (run: () => Parameters<typeof skin>[1], options: Partial<SkinOptions> = {}) =>
  modelOf(() => skin('SK', run(), { stock: 'folder', from: 'bottom', ...options }))

describe('a skin round frames', () => {
  test('of radius r meets itself: the butted ring is π(bore + t) long for K = ½', () => {
    const { pieces } = over(() => rings(20, 20, 20))
    const bounds = boundsOf([pieces[0]!.outline])
    expect(k).toBe(0.5)
    expect(bounds.maxY - bounds.minY).toBeCloseTo(20, 6)
    // Chords stand for the circle, each short by at most its share of the chord tolerance.
    expect((bounds.maxX - bounds.minX) / (Math.PI * (40 + t))).toBeCloseTo(1, 3)
  })

  test('over a cone has the area of the frustum at its neutral layer', () => {
    const { pieces } = over(() => rings(20, 15, 10))
    const slant = Math.hypot(20, 10)
    const shift = (k * t * slant) / 20
    const lateral = Math.PI * (20 + 10 + 2 * shift) * slant
    expect(area([pieces[0]!.outline]) / lateral).toBeCloseTo(1, 3)
    expect(pieces).toHaveLength(1)
  })

  test('draws the frames between, where they stand', () => {
    const { pieces } = over(() => rings(20, 20, 20, 20))
    const places = pieces[0]!.lines.map(({ kind, line }) => [kind, line[0]![1]])
    const least = boundsOf([pieces[0]!.outline]).minY
    expect(places.map(([kind]) => kind)).toEqual(['align', 'align'])
    const heights = places.map(([, y]) => Number(((y as number) - least).toFixed(6)))
    expect(heights.toSorted((a, b) => a - b)).toEqual([10, 20])
  })

  test('takes its grain along the straight lines', () => {
    expect(over(() => rings(20, 20)).pieces[0]!.grain).toBe(90)
  })

  test('is split where it would stand off the frames further than allowed', () => {
    const barrel = () => rings(10, 14, 16, 14, 10)
    const { pieces } = over(barrel, { allowed: bench.mm(0.5) })
    expect(pieces.map(({ mark }) => mark)).toEqual(['SK-01', 'SK-02', 'SK-03', 'SK-04'])
    expect(over(barrel, { allowed: bench.mm(50) }).pieces).toHaveLength(1)
    expect(over(barrel, { allowed: bench.mm(50), split: [3] }).pieces).toHaveLength(2)
  })

  test('is split to go on the sheet', () => {
    const long = () => sections('FR', stations.pitch(41, ZERO, bench.mm(10)), () => circle(bench.mm(20)), plane.frame)
    const { pieces } = over(long)
    expect(pieces.length).toBe(2)
    for (const { outline } of pieces) {
      const { minY, maxY } = boundsOf([outline])
      expect(maxY - minY).toBeLessThan(catalogue.folder.sheet.height)
    }
  })
})

describe('what is carried over', () => {
  const side = { from: 'bottom', to: 'top' } as const

  test('a round window seen from the side is as high as its arc, 2R·asin(w/r)', () => {
    const windows = () => [
      { shape: circle(bench.mm(5)).moved(bench.mm(10), ZERO), place: plane.spanwise(bench.mm(60)) },
    ]
    const found = modelOf(() => skin('SK', rings(20, 20, 20), { stock: 'folder', ...side, openings: windows() }))
    const { openings } = pieceOf(found, 'SK')
    const { minX, maxX, minY, maxY } = boundsOf([openings[0]!.loop])
    expect(openings).toHaveLength(1)
    expect(maxY - minY).toBeCloseTo(10, 2)
    expect(maxX - minX).toBeCloseTo(2 * (20 + k * t) * Math.asin(5 / 20), 2)
    expect(area([openings[0]!.loop])).toBeLessThan(0)
  })

  test('a level plane through the axis is a line half-way up', () => {
    const found = modelOf(() => skin('SK', rings(20, 20), { stock: 'folder', ...side, datums: [plane.level(ZERO)] }))
    const { lines, outline } = pieceOf(found, 'SK')
    const { minX, maxX } = boundsOf([outline])
    const line = lines.find(({ kind }) => kind === 'datum')!.line
    for (const [x] of line) expect(x).toBeCloseTo((minX + maxX) / 2, 6)
  })

  test('panels end clear of windows where they can', () => {
    // A barrel so slight that where its panels end is a matter of the allowance.
    const barrel = () => rings(...Array.from({ length: 9 }, (_, i) => 20 - 0.05 * i * i))
    const common = { stock: 'folder', ...side } as const
    const plain = modelOf(() => skin('SK', barrel(), common))
    const end = Number(/to FR-(\d+);/.exec(pieceOf(plain, 'SK-01').notes[0]!)![1])
    const windows = () => [
      { shape: circle(bench.mm(4)).moved(bench.mm(10 * (end - 1)), ZERO), place: plane.spanwise(bench.mm(60)) },
    ]
    const found = modelOf(() => skin('SK', barrel(), { ...common, openings: windows() }))
    expect(end).toBeGreaterThan(2)
    expect(pieceOf(found, 'SK-01').notes[0]).toContain(`to FR-${String(end - 1).padStart(2, '0')};`)
    expect(found.findings.filter(({ severity }) => severity === 'error')).toEqual([])
    expect(found.pieces.flatMap(({ openings }) => openings)).toHaveLength(1)
  })

  test('a window across the end of a panel is an error with the mark', () => {
    const windows = () => [
      { shape: circle(bench.mm(4)).moved(bench.mm(20), ZERO), place: plane.spanwise(bench.mm(60)) },
    ]
    const found = modelOf(() =>
      skin('SK', rings(20, 20, 20, 20), { stock: 'folder', ...side, openings: windows(), split: [3] }),
    )
    const said = found.findings.find(({ id }) => id === 'opening-on-joint')!
    expect(said.mark).toBe('SK-01')
    expect(said.text).toMatch(/^an opening lies across the edge of the panel: \d+ of its \d+ points are on it$/)
  })
})

describe('over ribs', () => {
  const ribs = (notch = 0) =>
    mirrored(
      family('WR', stations.even(3, bench.mm(10), bench.mm(50)), (y) => {
        const rib = piece({ stock: 'divider' })
          .outline(rectangleFrom(ZERO, ZERO, bench.mm(40), bench.mm(8)))
          .place(plane.spanwise(y))
        return notch ? rib.cut(rectangle(bench.mm(notch), bench.mm(4)).moved(bench.mm(20), bench.mm(8))) : rib
      }),
    )

  test('a mirrored family gets a skin to each side, one the mirror image of the other', () => {
    const found = modelOf(() => skin('WU', ribs(), { stock: 'folder', from: 'right', to: 'left' }))
    const [port, starboard] = [pieceOf(found, 'WU-P'), pieceOf(found, 'WU-S')]
    expect(found.pieces).toHaveLength(2)
    const flipped = starboard.outline.map(([x, y]): Point => [-x, y])
    for (const [x, y] of port.outline) expect(flipped.some((q) => Math.hypot(x - q[0], y - q[1]) < 1e-9)).toBe(true)
  })

  test('runs over the notches for stringers', () => {
    const width = (notch: number) => {
      const found = modelOf(() => skin('WU', ribs(notch), { stock: 'folder', from: 'right', to: 'left' }))
      return area([pieceOf(found, 'WU-S').outline])
    }
    expect(width(2)).toBeCloseTo(width(0), 2)
    expect(width(2)).toBeCloseTo(40 * 40, 1)
  })

  test('remembers the figures its ribs have read', () => {
    const found = modelOf(() => skin('WU', ribs(), { stock: 'folder', from: 'right', to: 'left' }))
    expect(pieceOf(found, 'WU-S').reads).toContain('stock:folder.thickness')
  })

  test('in facets is scored between them, away from the print', () => {
    const found = modelOf(() => skin('SK', rings(10, 10), { stock: 'folder', from: 'bottom', to: 'top', facets: 6 }))
    const { scores } = pieceOf(found, 'SK')
    expect(scores.map(({ fold }) => fold)).toEqual(Array.from({ length: 5 }, () => 'mountain'))
    // Six facets of a half circle, their chords turning by 30° from one to the next.
    for (const { angle } of scores) expect(angle).toBeCloseTo(30, 0)
  })
})

describe('planks', () => {
  test('between two straight lines are flat and keep their width', () => {
    const run = () =>
      sections('FR', stations.pitch(4, ZERO, bench.mm(20)), () => rectangle(bench.mm(30), bench.mm(12)), plane.frame)
    const found = modelOf(() => plank('HB', run(), { stock: 'folder', from: 'left', to: 'right' }))
    const { minX, minY, maxX, maxY } = boundsOf([pieceOf(found, 'HB').outline])
    const sides = [maxX - minX, maxY - minY].toSorted((a, b) => a - b)
    expect(sides[0]).toBeCloseTo(30, 6)
    expect(sides[1]).toBeCloseTo(60, 6)
    expect(pieceOf(found, 'HB').lines).toHaveLength(2)
  })
})

describe('bad input', () => {
  const wrong = (part: () => Part) => findingOf(() => modelOf(part))
  const one = () => sections('FR', stations.pitch(2, ZERO, bench.mm(10)), () => circle(bench.mm(20)), plane.frame)

  test('one section', () => {
    const run = () => sections('FR', stations.at(ZERO), () => circle(bench.mm(20)), plane.frame)
    expect(wrong(() => skin('SK', run(), { stock: 'folder', from: 'bottom' }))).toMatchObject({
      id: 'skin-topology',
      text: 'a skin over 1 section, it takes 2',
      family: 'SK',
      found: 1,
      wanted: 2,
    })
  })

  test('a section in two parts, by its name', () => {
    const two = circle(bench.mm(2)).moved(bench.mm(9), ZERO)
    const run = () =>
      sections(
        'FR',
        stations.pitch(2, ZERO, bench.mm(10)),
        (x) => (x.bench > 5 ? circle(bench.mm(2)).union(two) : circle(bench.mm(2))),
        plane.frame,
      )
    const found = wrong(() => skin('SK', run(), { stock: 'folder', from: 'bottom' }))
    expect(found).toMatchObject({ mark: 'FR-02', found: 2, wanted: 1 })
  })

  test('an end that is not on the section, with the distance', () => {
    const from = () => [bench.mm(25), ZERO] as const
    expect(wrong(() => skin('SK', one(), { stock: 'folder', from }))).toMatchObject({
      id: 'skin-edge',
      text: 'a skin is to end at (25.00, 0.00) mm on FR-01, 5.00 mm from its edge, 1.00 mm is allowed',
      mark: 'FR-01',
    })
  })

  test('a split at a station there is not', () => {
    expect(wrong(() => skin('SK', one(), { stock: 'folder', from: 'bottom', split: [7] }))).toMatchObject({
      id: 'skin-split',
      text: 'a skin is to be split at station 7; its sections run from 1 to 2',
    })
  })

  test('frames that stand nowhere', () => {
    const loose = family('FR', stations.pitch(2, ZERO, bench.mm(10)), () =>
      piece({ stock: 'divider' }).outline(circle(bench.mm(20))),
    )
    expect(wrong(() => skin('SK', loose, { stock: 'folder', from: 'bottom' }))).toMatchObject({
      text: 'FR-01 is to carry a skin but stands nowhere in the model',
      mark: 'FR-01',
    })
  })

  test('a stock there is not', () => {
    expect(wrong(() => skin('SK', one(), { stock: 'foldr', from: 'bottom' })).remedy).toBe('did you mean "folder"?')
  })

  test('a surface that no card lies on says by how much, with the mark', () => {
    const barrel = () => rings(10, 14, 16)
    const found = over(barrel, { allowed: bench.mm(0.001) })
    const said = found.findings.find(({ id }) => id === 'not-developable')
    // Circles about one axis are developable bay by bay: there is nothing to say.
    expect(said).toBeUndefined()
    const twisted = () =>
      sections(
        'FR',
        stations.pitch(2, ZERO, bench.mm(10)),
        (x) => rectangle(bench.mm(20), bench.mm(20)).turned(x.bench * 3),
        plane.frame,
      )
    const corner = (turn: number) => (section: RunSection) => {
      const angle = ((section.share * 30 + turn) * Math.PI) / 180
      return [bench.mm(Math.SQRT2 * 10 * Math.cos(angle)), bench.mm(Math.SQRT2 * 10 * Math.sin(angle))] as const
    }
    const warned = modelOf(() => skin('SK', twisted(), { stock: 'folder', from: corner(-45), to: corner(45) })).findings
    expect(warned.find(({ id }) => id === 'not-developable')).toMatchObject({
      severity: 'warning',
      mark: 'SK',
      wanted: 0.25,
    })
  })

  test('a curl tighter than the card takes, both numbers and the mark', () => {
    const said = over(() => rings(3, 3)).findings.find(({ id }) => id === 'tight-bend')!
    expect(said).toMatchObject({ mark: 'SK', severity: 'warning' })
    expect(said.found).toBeCloseTo(3 + k * t, 1)
    expect(said.wanted).toBeCloseTo(catalogue.folder.fold.leastCurlAlong.value, 1)
  })

  test('a skin that runs over itself in the flat is an error', () => {
    // A level ring walked round by more than a full turn.
    const spiral = () =>
      sections(
        'FR',
        stations.pitch(41, ZERO, bench.mm(1)),
        () => rectangleFrom(bench.mm(10), ZERO, bench.mm(15), bench.mm(1)),
        (x) => {
          const angle = (x.bench * 10 * Math.PI) / 180
          return plane.at([ZERO, ZERO, ZERO], [Math.cos(angle), Math.sin(angle), 0], [0, 0, 1])
        },
      )
    const edge = (x: number) => () => [bench.mm(x), bench.mm(1)] as const
    const found = modelOf(() => plank('HB', spiral(), { stock: 'folder', from: edge(15), to: edge(10) }))
    const said = found.findings.find(({ id }) => id === 'skin-overlaps')!
    expect(said).toMatchObject({ severity: 'error', remedy: 'split the skin into panels there' })
    expect(said.mark).toMatch(/^HB/)
  })
})
