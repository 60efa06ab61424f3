import {
  type Length,
  type Shape,
  ZERO,
  assembly,
  bench,
  family,
  full,
  lightening,
  mirrored,
  naca,
  piece,
  plane,
  polygon,
  rectangle,
  rectangleFrom,
  single,
  stations,
} from 'cardwright'
import { chordAt, leadingEdgeAt, semiSpan, wing, wingHeightAt } from './subject'

/** The section at a distance from the centre line, inside the skin: thicker inboard than outboard. */
const sectionAt = (y: Length): Shape =>
  naca(y.over(semiSpan) < 0.5 ? '23015' : '23012', chordAt(y)).inset(bench.plies('folder'))

const ribStations = stations.even(16, full.m(0.8), full.m(11.9))

/** A slot takes one divider card standing across, with room to slide. */
const slotWidth = bench.plies('divider').plus(bench.mm(0.06))

/** A slot from the lower edge up to half the depth of the section. */
const halfSlot = (shape: Shape, x: Length): Shape => {
  const { from, to } = shape.spanAt(x)
  const half = slotWidth.times(0.5)
  return rectangleFrom(x.minus(half), from.minus(bench.mm(1)), x.plus(half), from.plus(to).times(0.5))
}

/** Notches in both edges, where the rib is deep enough, for stringers of doubled folder card standing on edge. */
const stringerNotches = (shape: Shape, chord: Length): Shape[] =>
  [0.12, 0.45, 0.75].flatMap((share) => {
    const x = chord.times(share)
    const { from, to } = shape.spanAt(x)
    if (to.minus(from).over(bench.mm(1)) < 2.4) return []
    const notch = rectangle(bench.plies('folder', 2).plus(bench.mm(0.05)), bench.mm(1.2))
    return [notch.moved(x, to), notch.moved(x, from)]
  })

const ribs = family('WR', ribStations, (y) => {
  const chord = chordAt(y)
  const shape = sectionAt(y)
  return piece({ stock: 'divider', grain: 'along' })
    .outline(shape)
    .slots(halfSlot(shape, chord.times(wing.frontSpar)), halfSlot(shape, chord.times(wing.rearSpar)))
    .cut(...stringerNotches(shape, chord))
    .openings(lightening({ count: 4, web: bench.mm(1), from: 0.05, to: 0.8, least: bench.mm(1.5) }))
    .datum([chord.times(0.03), ZERO], [chord.times(0.97), ZERO])
    .place(plane.spanwise(y, { x: leadingEdgeAt(y), z: wingHeightAt(y) }))
})

/** Nose ribs stand half way between the ribs and stop at the front spar. */
const noseRibs = family('NR', stations.even(15, full.m(1.17), full.m(11.53)), (y) => {
  const chord = chordAt(y)
  const back = chord.times(wing.frontSpar).minus(slotWidth.times(0.5))
  const shape = sectionAt(y).intersect(rectangleFrom(chord.negative(), chord.negative(), back, chord))
  return piece({ stock: 'divider', grain: 'along' })
    .outline(shape)
    .place(plane.spanwise(y, { x: leadingEdgeAt(y), z: wingHeightAt(y) }))
})

/** A spar follows the section's depth from rib to rib, and takes the ribs in slots from above. */
const spar = (code: string, share: number) =>
  single(code, () => {
    const ends = [ribStations[0]!.at.minus(full.m(0.3)), ribStations.at(-1)!.at.plus(full.m(0.1))]
    const heights = [ends[0]!, ...ribStations.map(({ at }) => at), ends[1]!].map((y) => {
      const { from, to } = sectionAt(y).spanAt(chordAt(y).times(share))
      return { y, lower: wingHeightAt(y).plus(from), upper: wingHeightAt(y).plus(to) }
    })
    const edge = [
      ...heights.map(({ y, lower }) => [y, lower] as const),
      ...heights.toReversed().map(({ y, upper }) => [y, upper] as const),
    ]
    const half = slotWidth.times(0.5)
    const slots = heights
      .slice(1, -1)
      .map(({ y, lower, upper }) => rectangleFrom(y.minus(half), lower.plus(upper).times(0.5), y.plus(half), upper.plus(bench.mm(1))))
    const root = leadingEdgeAt(ZERO).plus(chordAt(ZERO).times(share))
    const tip = leadingEdgeAt(semiSpan).plus(chordAt(semiSpan).times(share))
    return piece({ stock: 'divider', grain: 'along', plies: 1 })
      .outline(polygon(...edge))
      .slots(...slots)
      .place(plane.at([root, ZERO, ZERO], [tip.minus(root).over(semiSpan), 1, 0], [0, 0, 1]))
  })

/** Bracing struts to the hull, two a side, streamlined by three plies. */
const struts = family('ST', stations.at(wing.quarterChordAt.plus(full.m(0.1)), wing.quarterChordAt.plus(full.m(1.1))), () => {
  const length = full.m(5.1)
  const width = full.m(0.24)
  return piece({ stock: 'divider', grain: 'along', plies: 3, copies: 1 })
    .outline(rectangle(length, width).chamfered(width.times(0.3)))
    .note('Laminate three plies, then round the edges with fine glass-paper.')
})

export const wingAssembly = () =>
  assembly(
    'wing',
    assembly('spars', mirrored(spar('FS', wing.frontSpar)), mirrored(spar('RS', wing.rearSpar))),
    assembly('ribs', mirrored(ribs), mirrored(noseRibs)),
    assembly('struts', mirrored(struts)),
  )
