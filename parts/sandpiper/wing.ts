import {
  type Length,
  type Place,
  type Pose,
  type Shape,
  type Vector,
  ZERO,
  aerofoil,
  angleTemplate,
  assembly,
  bench,
  blend,
  edgeStrips,
  family,
  full,
  glued,
  gusset,
  interlock,
  laminated,
  lightened,
  lightening,
  mirrored,
  nacaSection,
  notched,
  piece,
  plane,
  polygon,
  rectangle,
  rectangleFrom,
  single,
  stations,
  stringers,
} from 'cardwright'
import { hullSection } from './hull'
import { chordAt, leadingEdgeAt, semiSpan, wing, wingHeightAt } from './subject'

/** The section at a distance from the centre line, thinning from root to tip. */
const sectionAt = (y: Length): Shape =>
  aerofoil(blend(nacaSection('23015'), nacaSection('23013'), y.over(semiSpan)), chordAt(y))

/** What the skin leaves of it for ribs and spars. */
const insideAt = (y: Length): Shape => sectionAt(y).inset(bench.plies('folder'))

const ribStations = stations.even(16, full.m(0.8), full.m(11.9))

/** Height of the wing's underside, skin and all. */
export const undersideAt = (x: Length, y: Length): Length =>
  wingHeightAt(y).plus(sectionAt(y).spanAt(x.minus(leadingEdgeAt(y))).from)

export const wingRibs = family('WR', ribStations, (y) => {
  const chord = chordAt(y)
  return piece({ stock: 'divider', grain: 'along' })
    .outline(insideAt(y))
    .datum([chord.times(0.03), ZERO], [chord.times(0.97), ZERO])
    .place(plane.spanwise(y, { x: leadingEdgeAt(y), z: wingHeightAt(y) }))
})

const holes = lightening({ count: 4, web: bench.mm(1), from: 0.05, to: 0.8, least: bench.mm(1.5) })

const frontSparThickness = full.mm(54)

/** The nose is skinned in flats from rib to rib, which cut across the curve between its corners by so much. */
const flatsOfNose = bench.mm(0.2)

/** Nose ribs stand half way between the ribs, clear of the flats over them, and stop at the front spar. */
const noseRibs = family('NR', stations.even(15, full.m(1.17), full.m(11.53)), (y) => {
  const chord = chordAt(y)
  const back = chord.times(wing.frontSpar).minus(frontSparThickness.times(0.5))
  const inside = sectionAt(y).inset(bench.plies('folder').plus(flatsOfNose))
  const shape = inside.intersect(rectangleFrom(chord.negative(), chord.negative(), back, chord))
  return piece({ stock: 'divider', grain: 'along' })
    .outline(shape)
    .place(plane.spanwise(y, { x: leadingEdgeAt(y), z: wingHeightAt(y) }))
})

/** A spar follows the section's depth from rib to rib at a share of the chord. */
const spar = (code: string, share: number) =>
  single(code, () => {
    const root = leadingEdgeAt(ZERO).plus(chordAt(ZERO).times(share))
    const tip = leadingEdgeAt(semiSpan).plus(chordAt(semiSpan).times(share))
    const sweep = tip.minus(root).over(semiSpan)
    const ends = [ribStations[0]!.at.minus(full.m(0.3)), ribStations.at(-1)!.at.plus(full.m(0.1))]
    const heights = [ends[0]!, ...ribStations.map(({ at }) => at), ends[1]!].map((y) => {
      const { from, to } = insideAt(y).spanAt(chordAt(y).times(share))
      const z = wingHeightAt(y)
      return { along: y.times(Math.hypot(1, sweep)), lower: z.plus(from), upper: z.plus(to) }
    })
    return piece({ stock: 'divider', grain: 'along' })
      .outline(
        polygon(
          ...heights.map(({ along, lower }) => [along, lower] as const),
          ...heights.toReversed().map(({ along, upper }) => [along, upper] as const),
        ),
      )
      .place(plane.at([root, ZERO, ZERO], [sweep, 1, 0], [0, 0, 1]))
  })

/** The front spar carries the wing: laminated from whatever card comes to its thickness. */
const frontSpar = () =>
  laminated(mirrored(spar('FS', wing.frontSpar)), {
    thickness: frontSparThickness,
    from: ['divider', 'folder'],
    grain: 'same',
  })

const rearSpar = () => mirrored(spar('RS', wing.rearSpar))

/** How a strut rises outwards from the hull's side, and where from: to the wing's underside at either spar. */
const strutRise: Vector = [0, 0.8885, 0.4589]
const strutFoot = full.m(0.75)

const strutStations = stations.at(wing.quarterChordAt.plus(full.m(0.1)), wing.quarterChordAt.plus(full.m(1.1)))

/** Bracing struts to the hull, two a side, streamlined by three plies. */
const struts = family('ST', strutStations, (x) => {
  // A strip goes round its ends as well, and they are square where hull and wing are not: the wing slopes more.
  const [foot, end] = [bench.mm(0.35), bench.mm(0.55)]
  const length = full.m(5.1).minus(foot).minus(end)
  const width = full.m(0.24)
  return piece({ stock: 'divider', grain: 'along', plies: 3, copies: 1 })
    .outline(rectangle(length, width).chamfered(width.times(0.3)))
    .place(plane.moved(plane.at([x, hullSection(x).spanAcross(strutFoot).to.plus(bench.mm(0.2)), strutFoot], strutRise, [1, 0, 0]), { x: length.times(0.5).plus(foot) }))
    .note('Glue the edge strip round it once the plies are dry.')
})

/** Corner plates between the root ribs and both spars, above and below. */
const gussets = single('WG', () =>
  gusset({ stock: 'folder', copies: 16, legs: [bench.mm(4), bench.mm(4)] }).place(...gussetPlaces()),
)

/** In the corners that a root rib makes with both spars, before and behind, inboard and outboard faces of the rib turn about. */
const gussetPlaces = (): Pose[] => {
  const root = ribStations[0]!.at
  const rib = bench.plies('divider', 0.5)
  const [front, rear] = [wing.frontSpar, wing.rearSpar]
  return [1, -1].flatMap((side) =>
    [front, rear].flatMap((share) =>
      [0.8, 0.2].flatMap((height) =>
        [1, -1].map((way) => {
          // The rear spar is swept: a square corner stands a little off it.
          const spar = share === front ? frontSparThickness.times(0.5) : rib.plus(bench.mm(0.12))
          const { from, to } = insideAt(root).spanAt(chordAt(root).times(share))
          const x = leadingEdgeAt(root).plus(chordAt(root).times(share)).plus(spar.times(way))
          const z = wingHeightAt(root).plus(from).plus(to.minus(from).times(height))
          return plane.at([x, root.plus(rib).times(side), z], [way, 0, 0], [0, side, 0])
        }),
      ),
    ),
  )
}

/** Stringers of doubled folder card lie flat on both surfaces between the spars. */
const wingStringers = () =>
  stringers('WS', {
    stock: 'folder',
    plies: 2,
    breadth: bench.mm(1.6),
    handed: true,
    lines: [
      ribStations.map(({ at }) => onSurface(at, 0.43, 'to')),
      ribStations.map(({ at }) => onSurface(at, 0.43, 'from')),
    ],
  })

const onSurface = (y: Length, share: number, side: 'from' | 'to'): Place => {
  const x = chordAt(y).times(share)
  return [leadingEdgeAt(y).plus(x), y, wingHeightAt(y).plus(insideAt(y).spanAt(x)[side])]
}

/** Degrees a line falls or rises by from the centre line to the tip. */
const slopeOf = (line: (y: Length) => Length): number =>
  (Math.atan(line(semiSpan).minus(line(ZERO)).over(semiSpan)) * 180) / Math.PI

/** The board that the wing is built on lies so far under its front spar on the centre line. */
const templateHeight = bench.mm(5)
const templateBoard = () => onSurface(ZERO, wing.frontSpar, 'from')[2].minus(templateHeight)

/** Templates for the wing: one stands under the front spar, one lies along the bare leading edge. */
const templates = () => [
  angleTemplate('JD', {
    stock: 'divider',
    dihedral: slopeOf((y) => onSurface(y, wing.frontSpar, 'from')[2]),
    from: full.m(2),
    to: full.m(11),
    height: templateHeight,
    at: wing.quarterChordAt,
    board: templateBoard(),
  }),
  angleTemplate('JL', {
    stock: 'divider',
    sweep: slopeOf(leadingEdgeAt),
    from: full.m(2),
    to: full.m(11),
    width: bench.mm(5),
    at: leadingEdgeAt(ZERO),
    board: templateBoard(),
  }),
]

export const wingAssembly = () => {
  const [slotted, spars] = interlock(mirrored(wingRibs), [frontSpar(), rearSpar()], { upper: 'second' })
  const strutPlies = laminated(mirrored(struts))
  const [ribs, strips] = notched(slotted, [wingStringers()])
  const noses = mirrored(noseRibs)
  glued(gussets, ribs)
  glued(gussets, spars)
  glued(noses, spars)
  return assembly(
    'wing',
    assembly('templates', ...templates()),
    assembly('spars', spars, gussets),
    assembly('ribs', lightened(ribs, holes), noses),
    assembly('stringers', strips),
    assembly('struts', strutPlies, edgeStrips(strutPlies, { stock: 'folder' })),
  )
}
