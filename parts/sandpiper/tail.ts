import {
  type Length,
  ZERO,
  assembly,
  bench,
  between,
  family,
  full,
  lightening,
  mirrored,
  naca,
  piece,
  plane,
  polygon,
  rectangleFrom,
  single,
  stations,
} from 'cardwright'

const tailAt = full.m(14.6)
const tailHeight = full.m(3.1)
const tailSpan = full.m(3.6)
const tailChord = (y: Length): Length => between(full.m(2), full.m(1.2), y.over(tailSpan))
const finFoot = full.m(2.4)
const finHeight = full.m(2.2)
const finChord = (z: Length): Length => between(full.m(2.3), full.m(1.3), z.over(finHeight))

const slotWidth = bench.plies('divider').plus(bench.mm(0.06))

/** A symmetrical section with a half-depth slot for the one spar, at two fifths of the chord. */
const tailRib = (chord: Length) => {
  const shape = naca('0010', chord).inset(bench.plies('folder'))
  const at = chord.times(0.4)
  const half = slotWidth.times(0.5)
  return piece({ stock: 'divider', grain: 'along' })
    .outline(shape)
    .slots(rectangleFrom(at.minus(half), chord.negative(), at.plus(half), ZERO))
    .datum([chord.times(0.05), ZERO], [chord.times(0.95), ZERO])
}

const tailRibs = family('TR', stations.even(7, full.m(0.25), full.m(3.45)), (y) =>
  tailRib(tailChord(y)).place(plane.spanwise(y, { x: tailAt.minus(tailChord(y).times(0.4)), z: tailHeight })),
)

const finRibs = family('FR', stations.even(6, full.m(0.15), full.m(2.1)), (z) =>
  tailRib(finChord(z)).place(plane.level(finFoot.plus(z), { x: tailAt.plus(full.m(0.5)).minus(finChord(z).times(0.4)) })),
)

/** A spar that tapers from root to tip with the section, slotted from above at every rib. */
const tailSpar = (code: string, length: Length, ribs: readonly Length[], depthAt: (s: Length) => Length) =>
  single(code, () => {
    const half = slotWidth.times(0.5)
    const slots = ribs.map((s) => rectangleFrom(s.minus(half), ZERO, s.plus(half), depthAt(s)))
    return piece({ stock: 'divider', grain: 'along' })
      .outline(
        polygon(
          [ZERO, depthAt(ZERO).times(-0.5)],
          [length, depthAt(length).times(-0.5)],
          [length, depthAt(length).times(0.5)],
          [ZERO, depthAt(ZERO).times(0.5)],
        ),
      )
      .slots(...slots)
  })

const depth = (chordAt: (s: Length) => Length) => (s: Length) => {
  const { from, to } = naca('0010', chordAt(s)).inset(bench.plies('folder')).spanAt(chordAt(s).times(0.4))
  return to.minus(from)
}

const tailStations = stations.even(7, full.m(0.25), full.m(3.45)).map(({ at }) => at)
const finStations = stations.even(6, full.m(0.15), full.m(2.1)).map(({ at }) => at)

/** The rudder post carries the hinges: three lugs below a plain strip. */
const rudder = single('RU', () =>
  piece({ stock: 'folder', grain: 'across', plies: 2 })
    .outline(
      polygon([ZERO, ZERO], [full.m(1), full.m(0.1)], [full.m(0.7), finHeight], [ZERO, finHeight]).filleted(full.m(0.2)),
    )
    .openings(lightening({ count: 3, web: bench.mm(2), from: 0.1, to: 0.9, least: bench.mm(2) }))
    .datum([full.m(0.08), full.m(0.2)], [full.m(0.08), finHeight.minus(full.m(0.2))]),
)

export const tailAssembly = () =>
  assembly(
    'tail',
    assembly('tailplane', mirrored(tailRibs), mirrored(tailSpar('TS', tailSpan, tailStations, depth(tailChord)))),
    assembly('fin', finRibs, tailSpar('FP', finHeight, finStations, depth(finChord)), rudder),
  )
