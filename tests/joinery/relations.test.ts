import { describe, expect, test } from 'vitest'
import {
  type Draft,
  PieceSet,
  ZERO,
  alternating,
  assembly,
  bench,
  circle,
  clearance,
  cradle,
  doublers,
  edgeStrips,
  family,
  full,
  glued,
  gusset,
  joiner,
  laminated,
  mirrored,
  notched,
  partsOf,
  petals,
  piece,
  piecesOf,
  placed,
  plane,
  plank,
  rectangle,
  rectangleFrom,
  sections,
  single,
  skin,
  stations,
  stringers,
  tabbed,
  taperedTube,
  tyre,
  wrapped,
} from '../../lib/index'
import type { Part } from '../../lib/model/assembly'
import { findingOf, modelOf } from '../helpers/model'

const mm = full.mm
const at1 = { at: '1:1' }

/** What the pieces of a model are to one another, in few words. */
const relations = (body: () => Part | readonly Part[]) =>
  modelOf(body, at1).relations.map((relation) => {
    switch (relation.kind) {
      case 'join':
        return `${relation.a} ${relation.how} ${relation.b}`
      case 'bond':
        return `${relation.a.join('|')} to one of ${relation.b.join('|')}`
      case 'seam':
        return `${relation.a} along ${relation.b}`
      case 'clearance':
        return `${relation.name}: ${relation.a.join('|')} from ${relation.b.join('|')}`
      default:
        return relation.kind
    }
  })

const card = (length = 30): Draft => piece({ stock: 'folder' }).outline(rectangleFrom(ZERO, ZERO, mm(length), mm(20)))
const plate = (code: string, z = 0) => single(code, () => card().place(plane.level(mm(z))))

describe('what words of card craft join', () => {
  test('strips wound, wrapped or laid on each other, in their order, on both sides', () => {
    const size = { stock: 'folder', core: mm(10), outside: mm(20), width: mm(5) }
    expect(relations(() => mirrored(single('TY', () => placed(tyre({ ...size, tread: mm(3) }), plane.level(ZERO)))))).toContain('TY-P-1 glue TY-P-2')
    const plies = { stock: 'folder', length: mm(60), width: mm(4), plies: 3, turning: 90 }
    expect(relations(() => mirrored(single('WR', () => wrapped(plies))))).toEqual(
      ['WR-P-W1 glue WR-P-W2', 'WR-P-W2 glue WR-P-W3', 'WR-S-W1 glue WR-S-W2', 'WR-S-W2 glue WR-S-W3'],
    )
    const tube = { stock: 'folder', bottom: mm(8), top: mm(4), length: mm(50), plies: 2 }
    expect(relations(() => single('TT', () => taperedTube(tube)))).toEqual(['TT-1 glue TT-2'])
  })

  test('whatever the author calls the strips', () => {
    const made = relations(() =>
      single('WR', () => {
        const { W1, W2 } = wrapped({ stock: 'folder', length: mm(60), width: mm(4), plies: 2 })
        return { IN: W1!, OUT: W2! }
      }),
    )
    expect(made).toEqual(['WR-IN glue WR-OUT'])
  })

  test('petals to their neighbours, and on the centre line to the other side', () => {
    const run = () => sections('FR', stations.pitch(4, mm(5), mm(5)), (x) => circle(x.times(0.6)), plane.frame)
    const options = { stock: 'folder', from: 'bottom', to: 'top', tip: [ZERO, ZERO, ZERO], handed: true, count: 2 } as const
    expect(relations(() => petals('BW', run(), options))).toEqual(
      ['BW-P01 along BW-P02', 'BW-P01 along BW-S01', 'BW-P02 along BW-S02', 'BW-S01 along BW-S02'],
    )
  })

  test('petals over frames to the frames as well', () => {
    const frames = family('FR', stations.pitch(2, mm(5), mm(5)), (x) => piece({ stock: 'divider' }).outline(circle(x.times(0.6))).place(plane.frame(x)))
    const options = { stock: 'folder', from: 'bottom', to: 'top', tip: [ZERO, ZERO, ZERO], count: 2 } as const
    expect(relations(() => [frames, petals('BW', frames, options)]).filter((text) => text.includes('glue'))).toEqual(
      ['BW-01 glue FR-01', 'BW-01 glue FR-02', 'BW-02 glue FR-01', 'BW-02 glue FR-02'],
    )
  })

  test('panels of a skin to the next one, and a ring to nothing', () => {
    const ring = (radii: number[]) => sections('FR', stations.pitch(radii.length, ZERO, mm(10)), (x) => circle(mm(radii[Math.round(x.full / 10)]!)), plane.frame)
    expect(relations(() => skin('SK', ring([10, 14, 10]), { stock: 'folder', from: 'bottom', split: [2], allowed: mm(9) }))).toEqual(['SK-01 along SK-02'])
    expect(relations(() => skin('SK', ring([10, 10]), { stock: 'folder', from: 'bottom' }))).toEqual([])
  })

  test('halves of a skin meet at the top of a curve', () => {
    const ring = () => sections('FR', stations.pitch(2, ZERO, mm(10)), () => circle(mm(60)), plane.frame)
    const options = { stock: 'folder', from: () => [mm(60), ZERO] as const, to: 'top', handed: true } as const
    expect(relations(() => skin('SK', ring(), options))).toEqual(['SK-P along SK-S'])
  })

  test('edges with tabs that take turns, and tabs to what they are glued on', () => {
    const edge = { from: [mm(30), mm(20)] as const, to: [ZERO, mm(20)] as const }
    expect(
      relations(() =>
        alternating({ pieces: plate('A'), ...edge }, { pieces: plate('B'), from: [ZERO, ZERO], to: [mm(30), ZERO] }, { depth: mm(3), count: 3 }),
      ),
    ).toEqual(['A glue B'])
    expect(
      relations(() => {
        const roof = family('RO', stations.at(ZERO, mm(5)), (x) => card().place(plane.level(x)))
        return [roof, tabbed(plate('SI'), { ...edge, depth: mm(3), onto: roof })]
      }),
    ).toEqual(['SI to one of RO-01|RO-02'])
  })

  test('doublers, edge strips and the plies under them', () => {
    const block = () => single('BL', () => piece({ stock: 'divider', plies: 2 }).outline(rectangle(mm(300), mm(300))).openings(circle(mm(5))).place(plane.level(ZERO)))
    expect(relations(() => [laminated(block()), doublers(block(), { stock: 'folder', width: mm(3) })])).toEqual([
      'BL-D1 to one of BL-L1|BL-L2',
      'BL-L1 glue BL-L2',
    ])
    const strips = relations(() => {
      const plies = laminated(block())
      return [plies, edgeStrips(plies, { stock: 'folder' })]
    })
    expect(strips.filter((text) => !text.includes('BL-L'))).toEqual(['BL-E1 glue BL-E2', 'BL-E2 glue BL-E3', 'BL-E3 glue BL-E4', 'BL-E4 glue BL-E5', 'BL-E5 glue BL-E6', 'BL-E6 glue BL-E7'])
  })

  test('lengths of one stringer to each other, and one that passes no frame is said', () => {
    const frames = () => family('FR', stations.pitch(7, ZERO, mm(100)), (x) => piece({ stock: 'divider' }).outline(circle(mm(20))).place(plane.frame(x)))
    const line = [ZERO, mm(600)].map((x) => [x, ZERO, mm(20)] as const)
    const made = relations(() => [...notched(frames(), [stringers('SG', { stock: 'folder', breadth: mm(2), lines: [line] })])])
    expect(made.filter((text) => !text.includes('FR'))).toEqual(['SG-01-A glue SG-01-B', 'SG-01-B glue SG-01-C'])
    const beside = [mm(10), mm(60)].map((x) => [x, ZERO, mm(20)] as const)
    const { findings } = modelOf(() => [...notched(frames(), [stringers('SG', { stock: 'folder', breadth: mm(2), lines: [beside] })])], at1)
    expect(findings.map(({ severity, text, remedy }) => `${severity}: ${text}; ${remedy}`)).toEqual([
      'warning: stringer SG-01 passes 0 frames, 1 or more hold it: it has no place; lead its line through the frames, or place a plain piece where it lies',
    ])
  })

  test('saddles of a cradle to its rails', () => {
    const frames = family('HF', stations.pitch(2, ZERO, mm(40)), (x) => piece({ stock: 'divider' }).outline(circle(mm(20))).place(plane.frame(x)))
    const made = relations(() => [
      frames,
      cradle('JC', frames, { stock: 'divider', board: mm(-40), rise: mm(12), gauge: mm(16), railHeight: mm(8) }),
    ])
    expect(made).toEqual(['JC-01', 'JC-02'].flatMap((saddle) => ['JC-RP', 'JC-RS'].map((rail) => `${saddle} slot ${rail}`)))
  })
})

describe('what a piece is said to be glued to', () => {
  const panels = () => family('PA', stations.at(ZERO, mm(30)), (x) => card().place(plane.level(ZERO, { x })))

  test('families, of which it touches one at least', () => {
    const strip = () => joiner({ stock: 'folder', joint: [[ZERO, ZERO], [ZERO, mm(20)]], width: mm(8), copies: 2 })
    const made = relations(() => {
      const two = panels()
      return [two, single('JO', () => strip().gluedTo(two))]
    })
    expect(made).toEqual(['JO to one of PA-01|PA-02'])
    const corner = relations(() => {
      const [ribs, spar] = [mirrored(panels()), mirrored(plate('SP'))]
      return [ribs, spar, mirrored(single('GU', () => gusset({ stock: 'folder', legs: [mm(5), mm(5)] }).gluedTo(ribs, spar)))]
    })
    expect(corner).toEqual(['GU-P to one of PA-P01|PA-P02', 'GU-P to one of SP-P', 'GU-S to one of PA-S01|PA-S02', 'GU-S to one of SP-S'])
  })

  test('parts of its own station by name', () => {
    const seats = mirrored(family('SE', stations.at(ZERO, mm(50)), () => ({ PAN: card(), ARM: card().gluedTo('PAN') })))
    expect(relations(() => seats)).toEqual(['P01', 'P02', 'S01', 'S02'].map((n) => `SE-${n}-ARM to one of SE-${n}-PAN`))
  })

  test('a part that there is not', () => {
    const { text, remedy } = findingOf(() => modelOf(() => single('SE', () => ({ PAN: card(), ARM: card().gluedTo('PIN') }))))
    expect(`${text}; ${remedy}`).toBe('family SE, its only station: SE-ARM is glued to "PIN", of which there is no other part; did you mean "PAN"?')
    expect(findingOf(() => modelOf(() => single('SE', () => card().gluedTo('PAN')))).remedy).toBe(
      'give it the family itself, or make the parts of one station in one record',
    )
  })

  test('something that is no piece', () => {
    const wrong = undefined as unknown as string
    const { text, remedy, site } = findingOf(() => modelOf(() => single('SE', () => card().gluedTo(wrong))))
    expect(text).toBe('gluedTo of SE was given nothing, pieces are meant')
    expect(remedy).toBe("give it a family, pieces another word handed back, or the name of a part beside it: .gluedTo('PAN', floor)")
    expect(site?.file).toContain('relations.test.ts')
  })

  test('a family as it was before it was mirrored', () => {
    const { findings } = modelOf(() => {
      const one = panels()
      return [mirrored(one), single('JO', () => card().gluedTo(one))]
    })
    expect(findings.map(({ severity, text, remedy }) => `${severity}: ${text}; ${remedy}`)).toEqual([
      'error: gluedTo of JO names PA-01 and 1 more, which are not in the model (0 of 2 are); ' +
        'give it the pieces as the model has them, mirrored(…) where they are, and put them into an assembly; near it there is PA-P01',
    ])
    expect(findings[0]!.site?.file).toContain('relations.test.ts')
  })
})

describe('glued', () => {
  const several = (code: string, count: number) => family(code, stations.pitch(count, ZERO, mm(5)), (z) => card().place(plane.level(z)))

  test('in pairs where there are as many of both, otherwise each to one of the others', () => {
    const said = (first: number, second: number) =>
      relations(() => {
        const [a, b] = [several('A', first), several('B', second)]
        glued(a, b)
        return [a, b]
      })
    expect(said(2, 2)).toEqual(['A-01 glue B-01', 'A-02 glue B-02'])
    expect(said(2, 3)).toEqual(['A-01 to one of B-01|B-02|B-03', 'A-02 to one of B-01|B-02|B-03'])
  })

  test('skins along the edges that lie side by side', () => {
    const run = () => sections('FR', stations.pitch(3, ZERO, mm(20)), () => rectangle(mm(30), mm(12)), plane.frame)
    const low = [mm(-15), mm(-6)] as const
    const high = [mm(15), mm(-6)] as const
    const made = relations(() => {
      const bottom = plank('HB', run(), { stock: 'folder', from: () => low, to: () => high })
      const side = plank('HS', run(), { stock: 'folder', from: () => high, to: () => [mm(15), mm(6)] })
      glued(bottom, side)
      return assembly('skins', bottom, side)
    })
    expect(made).toEqual(['HB along HS'])
  })

  test('nothing, and pieces of the other side alone', () => {
    const text = (work: () => void) => {
      const finding = findingOf(() => modelOf(() => (work(), assembly('all', several('A', 1)))))
      expect(finding.site?.file).toContain('relations.test.ts')
      return `${finding.text}; ${finding.remedy}`
    }
    expect(text(() => glued([], several('B', 2)))).toBe('glued was given 0 pieces and 2 to glue them to; give it 1 or more of both')
    expect(text(() => glued('WR-01' as never, several('B', 2)))).toBe(
      'glued was given WR-01, pieces are meant; give it a family, or pieces another word handed back',
    )
    const side = (code: string, wanted: string) => new PieceSet(piecesOf(mirrored(several(code, 2))).filter((one) => one.side === wanted))
    expect(text(() => glued([side('C', 'P'), plate('D')], side('B', 'S')))).toBe(
      'glued: of 2 pieces none is on the side of C-P01; give both sides of it: mirrored(…)',
    )
  })

  test('a part that no piece is', () => {
    const seats = () => single('SE', () => ({ PAN: card(), BACK: card() }))
    const text = (...names: string[]) => {
      const finding = findingOf(() => modelOf(() => partsOf(seats(), ...names)))
      return `${finding.text}; ${finding.remedy}`
    }
    expect(modelOf(() => partsOf(seats(), 'BACK')).pieces.map(({ mark }) => mark)).toEqual(['SE-BACK'])
    expect(text('BCK')).toBe('no piece of SE is a part "BCK"; did you mean "BACK"?')
    expect(text()).toBe('partsOf was given no names, 1 or more are needed; use one of: BACK, PAN')
  })
})

describe('clearance', () => {
  const text = (least: number, most?: number) => {
    const finding = findingOf(() =>
      modelOf(() => {
        clearance('door', plate('A'), plate('B'), { least: bench.mm(least), ...(most !== undefined && { most: bench.mm(most) }) })
        return [plate('A'), plate('B')]
      }),
    )
    return `${finding.text}; ${finding.remedy}`
  }

  test('below 0, or with no room between least and most', () => {
    const remedy = 'give 0 or more, and no less at most than at least'
    expect(text(-0.2)).toBe(`clearance "door" is to be -0.20 mm; ${remedy}`)
    expect(text(0.5, 0.2)).toBe(`clearance "door" is to be 0.50 to 0.20 mm; ${remedy}`)
  })

  test('between pieces that the model has not', () => {
    const found = (first: Part & ReturnType<typeof plate>, ...parts: Part[]) =>
      modelOf(() => {
        clearance('door', first, plate('B'), { least: bench.mm(0.3) })
        return parts
      }).findings.map(({ id, severity, text: said, remedy }) => `${severity} ${id}: ${said}; ${remedy}`)
    expect(found(plate('AA'), plate('AB'), plate('B'))).toEqual([
      'error not-in-model: clearance "door" names AA, which is not in the model (1 of 2 are); ' +
        'give it the pieces as the model has them, mirrored(…) where they are, and put them into an assembly; near it there is AB',
    ])
  })
})
