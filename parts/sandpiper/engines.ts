import {
  type Length,
  ZERO,
  assembly,
  bench,
  circle,
  clearance,
  cone,
  family,
  full,
  glued,
  gores,
  mirrored,
  partsOf,
  piece,
  placed,
  plane,
  rectangle,
  single,
  skin,
  stations,
  superellipse,
  table,
  transition,
  wrapped,
} from 'cardwright'

const outboard = full.m(2.6)
/** The axis of the engines: the nacelle lies on the wing. */
const height = full.m(3.9).minus(bench.mm(0.4))

/** A place on the axis of the engine, aft of the fire wall. */
const onAxis = (aft: Length, below: Length = ZERO) => plane.frame(foremost.plus(aft), { y: outboard, z: height.minus(below) })
const lip = full.m(-0.34)
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
  const shape = superellipse(half.times(2), half.times(2.1), 2.1)
  return piece({ stock: 'divider' })
    .outline(shape)
    .slots(rectangle(wallSlot, half).moved(ZERO, half.times(-0.75)))
    .openings(circle(half.times(0.42)).moved(ZERO, half.times(0.35)))
    .place(plane.frame(foremost.plus(x), { y: outboard, z: height }))
})

const engineFormers = mirrored(formers)

/** Folder card round the formers, closed below; behind the last but one, too narrow to curl, in scored flats. */
const nacelleSkins = () => {
  const common = { stock: 'folder', from: 'bottom', allowed: bench.mm(0.3) } as const
  const fore = skin('EK', mirrored(formers.without(6)), common)
  const aft = skin('EJ', mirrored(formers.without(1, 2, 3, 4)), { ...common, facets: 16 })
  glued(aft, fore)
  return [fore, aft] as const
}

/** A quarter of an ellipse from a tip, or from an opening, to the base. */
const quarter = (length: Length, from: Length, to: Length) =>
  Array.from({ length: 13 }, (_, i) => {
    const angle = (i * Math.PI) / 24
    return [length.times(1 - Math.cos(angle)), from.plus(to.minus(from).times(Math.sin(angle)))] as const
  })

/** The lip of the cowling, in petals on the ring that goes round the formers. */
const cowl = single('CW', () =>
  gores({
    stock: 'folder',
    profile: quarter(full.m(0.24), full.m(0.44), full.m(0.62)),
    gap: bench.mm(0.15),
    skirt: full.m(0.4),
  })
    .place(onAxis(lip))
    .note('Roll the ring, glue it, then draw the petals in over a ball.'),
)

/** The exhaust collector: three plies of strip round the ring of the cowling. */
const collector = single('XR', () =>
  placed(
    wrapped({ stock: 'folder', length: full.m(0.62).times(2 * Math.PI), width: bench.mm(2), plies: 3 }),
    onAxis(lip.plus(full.m(0.44))),
  ),
)

/** The tip of the spinner, which ends before the mouth of the cowling. */
const boss = lip.minus(full.m(0.55))

const spinner = single('SN', () =>
  gores({
    stock: 'folder',
    profile: quarter(full.m(0.36), ZERO, full.m(0.19)),
    gap: bench.mm(0.15),
    skirt: bench.mm(1.5),
  }).place(onAxis(boss)),
)

/** The tail of the nacelle, and the trunk that brings air to the engine from a square mouth. */
const tailCone = single('EC', () =>
  cone({ stock: 'folder', bottom: full.m(0.62), top: full.m(0.24), height: full.m(0.5), measured: 'outside' }).place(
    onAxis(full.m(2.6).plus(bench.plies('divider', 0.5))),
  ).gluedTo(engineFormers),
)
const trunk = single('ET', () =>
  transition({ stock: 'folder', width: full.m(0.46), depth: full.m(0.4), diameter: full.m(0.36), height: full.m(0.4) }).place(
    onAxis(full.m(0.18), full.m(0.82)),
  ),
)

/** A blade stands on the ring of the spinner, set at 25°. */
const bladeAt = (turned: number) => {
  const [cos, sin] = [Math.cos((turned * Math.PI) / 180), Math.sin((turned * Math.PI) / 180)]
  const [set, flat] = [Math.sin((25 * Math.PI) / 180), Math.cos((25 * Math.PI) / 180)]
  const out = full.m(0.19 + 0.75)
  const place = [foremost.plus(boss).plus(full.m(0.4)), outboard.plus(out.times(cos)), height.plus(out.times(sin))] as const
  return plane.at(place, [0, cos, sin], [set, -sin * flat, cos * flat])
}

/** One blade of a three-bladed airscrew. */
const blade = single('AB', () =>
  piece({ stock: 'folder', grain: 'along', copies: 3, plies: 2 })
    .outline(rectangle(full.m(1.5), full.m(0.2)).filleted(full.m(0.09)))
    .datum([full.m(-0.7), ZERO], [full.m(0.7), ZERO])
    .place(...[90, 210, 330].map(bladeAt))
    .note('Twist over a finger while the glue is wet.'),
)

export const airscrews = mirrored(blade)

export const engineAssembly = () => {
  const [covering, aft] = nacelleSkins()
  const [cowls, spinners, collectors] = [mirrored(cowl), mirrored(spinner), mirrored(collector)]
  glued(airscrews, spinners)
  glued(partsOf(collectors, 'W1'), cowls)
  glued(cowls, covering)
  clearance('airscrew to cowling', airscrews, cowls, { least: bench.mm(1) })
  clearance('spinner to cowling', spinners, cowls, { least: bench.mm(1), most: bench.mm(5) })
  return assembly(
    'engines',
    assembly('formers', engineFormers),
    assembly('covering', covering, aft, cowls, collectors, mirrored(tailCone), mirrored(trunk)),
    assembly('airscrews', airscrews, spinners),
  )
}
