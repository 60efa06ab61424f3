import {
  type Length,
  ZERO,
  assembly,
  bench,
  between,
  clearance,
  family,
  full,
  interlock,
  lightening,
  mirrored,
  naca,
  piece,
  plane,
  polygon,
  single,
  stations,
} from 'cardwright'

const tailAt = full.m(14.6)
const tailHeight = full.m(3.1)
const tailSpan = full.m(3.6)
const tailChord = (y: Length): Length => between(full.m(2), full.m(1.3), y.over(tailSpan))
const finFoot = full.m(2.43)
const finHeight = full.m(2.2)
const finChord = (z: Length): Length => between(full.m(2.3), full.m(1.3), z.over(finHeight))

/** The one spar stands at two fifths of the chord. */
const sparShare = 0.4

const section = (chord: Length) => naca('0013', chord).inset(bench.plies('folder'))

const tailRib = (chord: Length) =>
  piece({ stock: 'divider', grain: 'along' })
    .outline(section(chord))
    .datum([chord.times(0.05), ZERO], [chord.times(0.95), ZERO])

const tailRibs = family('TR', stations.even(7, full.m(0.25), full.m(3.45)), (y) =>
  tailRib(tailChord(y)).place(plane.spanwise(y, { x: tailAt.minus(tailChord(y).times(sparShare)), z: tailHeight })),
)

const finAt = tailAt.plus(full.m(0.5))

const finRibs = family('FR', stations.even(6, full.m(0.15), full.m(2.1)), (z) =>
  tailRib(finChord(z)).place(plane.level(finFoot.plus(z), { x: finAt.minus(finChord(z).times(sparShare)) })),
)

/** A spar that tapers from root to tip with the section: its length along x, its depth along y. */
const taperedSpar = (length: Length, chordAt: (s: Length) => Length) => {
  const half = (s: Length) => section(chordAt(s)).spanAt(chordAt(s).times(sparShare)).to
  return piece({ stock: 'divider', grain: 'along' }).outline(
    polygon(
      [ZERO, half(ZERO).negative()],
      [length, half(length).negative()],
      [length, half(length)],
      [ZERO, half(ZERO)],
    ),
  )
}

const tailSpar = single('TS', () =>
  taperedSpar(tailSpan, tailChord).place(plane.at([tailAt, ZERO, tailHeight], [0, 1, 0], [0, 0, 1])),
)

const finSpar = single('FP', () =>
  taperedSpar(finHeight, finChord).place(plane.at([finAt, ZERO, finFoot], [0, 0, 1], [0, 1, 0])),
)

/** The rudder swings so far behind the fin. */
const hingeGap = bench.mm(0.2)

/** The rudder stands behind the tails of the fin's ribs, as they run. */
const hinge = () => {
  const tailOf = (z: Length) => finAt.minus(finChord(z).times(sparShare)).plus(section(finChord(z)).spanAcross(ZERO).to)
  const [low, high] = [full.m(0.15), full.m(2.1)]
  const rake = tailOf(high).minus(tailOf(low)).over(high.minus(low))
  const foot = tailOf(low).minus(low.times(rake))
  return plane.at([foot.plus(hingeGap), ZERO, finFoot], [1, 0, -rake], [rake, 0, 1])
}

/** The rudder post carries the hinges: three lugs below a plain strip. */
const rudder = single('RU', () =>
  piece({ stock: 'folder', grain: 'across', plies: 2 })
    .outline(
      polygon([ZERO, ZERO], [full.m(1), full.m(0.1)], [full.m(0.7), finHeight], [ZERO, finHeight]).filleted(full.m(0.2)),
    )
    .openings(lightening({ count: 3, web: bench.mm(2), from: 0.1, to: 0.9, least: bench.mm(2) }))
    .datum([full.m(0.08), full.m(0.2)], [full.m(0.08), finHeight.minus(full.m(0.2))])
    .place(hinge()),
)

export const tailAssembly = () => {
  const [ribs, spar] = interlock(mirrored(tailRibs), mirrored(tailSpar), { upper: 'second' })
  // The fin's ribs lie level and cross its spar from side to side.
  const [leaves, post] = interlock(finRibs, finSpar, { upper: 'second', up: [0, 1, 0] })
  clearance('rudder to fin', rudder, leaves, { least: bench.mm(0.1), most: bench.mm(0.4) })
  return assembly('tail', assembly('tailplane', spar, ribs), assembly('fin', post, leaves, rudder))
}
