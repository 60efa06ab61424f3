import {
  ZERO,
  assembly,
  bench,
  circle,
  family,
  full,
  mirrored,
  piece,
  plane,
  rectangle,
  single,
  stations,
  superellipse,
  table,
} from 'cardwright'

const outboard = full.m(2.6)
const height = full.m(3.6)
const foremost = full.m(3.9)

const breadth = table([
  [full.m(0), full.m(0.52)],
  [full.m(0.6), full.m(0.6)],
  [full.m(1.8), full.m(0.5)],
  [full.m(3.0), full.m(0.22)],
])

const wallSlot = bench.plies('divider').plus(bench.mm(0.06))

/** Formers of the engine nacelles, from the fire wall aft. */
const formers = family('EN', stations.even(6, full.m(0), full.m(2.6)), (x) => {
  const half = breadth(x)
  const shape = superellipse(half.times(2), half.times(2.1), 2.4)
  return piece({ stock: 'divider' })
    .outline(shape)
    .slots(rectangle(wallSlot, half).moved(ZERO, half.times(-0.75)))
    .openings(circle(half.times(0.42)).moved(ZERO, half.times(0.35)))
    .place(plane.frame(foremost.plus(x), { y: outboard, z: height }))
})

/** The cowling ring is wound from a strip; this is the template for its face, with a spoke for each cylinder. */
const cowl = single('CW', () =>
  piece({ stock: 'divider', plies: 2 })
    .outline(circle(full.m(0.62)))
    .openings(circle(full.m(0.44)))
    .place(plane.frame(foremost.minus(full.m(0.5)), { y: outboard, z: height })),
)

/** One blade of a three-bladed airscrew. */
const blade = single('AB', () =>
  piece({ stock: 'folder', grain: 'along', copies: 3, plies: 2 })
    .outline(rectangle(full.m(1.5), full.m(0.2)).filleted(full.m(0.09)))
    .datum([full.m(-0.7), ZERO], [full.m(0.7), ZERO])
    .note('Twist over a finger while the glue is wet.'),
)

export const engineAssembly = () => assembly('engines', mirrored(formers), mirrored(cowl), mirrored(blade))
