import {
  ZERO,
  assembly,
  bench,
  channel,
  circle,
  clearance,
  family,
  full,
  glued,
  mirrored,
  partsOf,
  piece,
  placed,
  plane,
  polygon,
  single,
  standsOn,
  stations,
  tube,
  tyre,
} from 'cardwright'

const wheel = full.m(0.9)
const hub = full.m(0.42)
const wheelWidth = full.m(0.3)
const axle = bench.mm(1.6)
const axleAt = full.m(5.65)
const axleHeight = full.m(-0.3)
const tailAt = full.m(9.3)
const tailHeight = axleHeight.minus(wheel.times(0.5)).plus(full.m(0.27))

/** The legs stand against the hull, the beams against the legs. */
const legAt = full.m(1.3)
const flange = full.m(0.14)
const beamAt = legAt.plus(flange)

/** From the edge of a channel's blank to the middle of its web. */
const toWeb = flange.plus(full.m(0.1)).minus(bench.mm(0.4))

/**
 * The beaching trolley that carries the boat up the slip: a pair of solid tyres to each side and one at the tail, wound
 * from strip with a rounded tread on hubs of divider card.
 */
const wheels = family('TW', stations.at(full.m(1.08), full.m(1.85)), (y) => placed({
  ...tyre({
    stock: 'folder',
    core: hub,
    outside: wheel,
    width: wheelWidth,
    tread: wheelWidth.times(0.55),
    shoulder: wheel.times(0.86),
  }),
  HUB: piece({ stock: 'divider', plies: 10 })
    .outline(circle(hub.times(0.5)))
    .openings(circle(axle.times(0.5)))
    .gluedTo('1'),
}, plane.spanwise(y, { x: axleAt, z: axleHeight })))

export const tailWheel = single('TT', () => placed({
  ...tyre({ stock: 'folder', core: full.m(0.3), outside: full.m(0.54), width: full.m(0.2) }),
  HUB: piece({ stock: 'divider', plies: 7 })
    .outline(circle(full.m(0.15)))
    .openings(circle(axle.times(0.5)))
    .gluedTo('1'),
}, plane.spanwise(ZERO, { x: tailAt, z: tailHeight })))

/** Axles are tubes of three turns, rolled round a needle and left a hair slack in the hubs. */
const axles = single('TA', () =>
  placed(
    tube({ stock: 'folder', bore: bench.mm(0.9), length: full.m(1.1), turns: 1.1, copies: 3 }),
    plane.spanwise(full.m(2.05), { x: axleAt, z: axleHeight }),
    plane.spanwise(full.m(-0.95), { x: axleAt, z: axleHeight }),
    plane.spanwise(full.m(0.55), { x: tailAt, z: tailHeight }),
  ),
)

/** Legs up to the hull and the long beams are folded channels; gussets of divider card stiffen their corners. */
const beam = single('TB', () =>
  channel({
    stock: 'folder',
    form: 'channel',
    web: full.m(0.2),
    flange: full.m(0.14),
    length: full.m(5.2),
    measured: 'outside',
  }).place(plane.moved(plane.at([full.m(4.3), beamAt.plus(bench.plies('folder', 0.5)), ZERO], [0, 0, 1], [1, 0, 0]), { x: toWeb.negative() })),
)
const legs = family('TL', stations.at(full.m(5.3), full.m(6)), (x) =>
  channel({
    stock: 'folder',
    form: 'channel',
    web: full.m(0.2),
    flange: full.m(0.14),
    length: full.m(1.3),
    measured: 'outside',
  }).place(plane.moved(plane.at([x, legAt, full.m(-0.2)], [-1, 0, 0], [0, 0, 1]), { x: toWeb.negative() })),
)
/** On the inner face of the beam, before the first leg and behind the second, above and below. */
const cornerPlaces = () =>
  [
    [5.2, -1],
    [6.1, 1],
  ].flatMap(([x, way]) =>
    [1, -1].map((up) =>
      plane.at([full.m(x!).plus(bench.mm(0.1 * way!)), beamAt.minus(bench.plies('divider', 0.5)), ZERO], [way!, 0, 0], [0, 0, up]),
    ),
  )

const corners = single('TG', () =>
  piece({ stock: 'divider', copies: 4 }).outline(
    polygon(
      [ZERO, ZERO],
      [full.m(0.4), ZERO],
      [full.m(0.3), full.m(0.1)],
      [full.m(0.1), full.m(0.3)],
      [ZERO, full.m(0.4)],
    ),
  ).place(...cornerPlaces()),
)

/** Where the wheels touch the slip: the two of a side as one. */
const onTheSlip = () => {
  const ground = axleHeight.minus(wheel.times(0.5))
  for (const [side, y] of [['port', -1.465], ['starboard', 1.465]] as const) standsOn(`${side} wheels`, [axleAt, full.m(y), ground])
  standsOn('tail wheel', [tailAt, ZERO, ground])
}

export const trolleyWheels = mirrored(wheels)
export const trolleyLegs = mirrored(legs)

export const trolleyAssembly = () => {
  const [beams, posts, plates] = [mirrored(beam), trolleyLegs, mirrored(corners)]
  onTheSlip()
  glued(posts, beams)
  glued(plates, beams)
  clearance('axles in their hubs', axles, partsOf([trolleyWheels, tailWheel], 'HUB'), { least: ZERO, most: bench.mm(0.1) })
  clearance('trolley wheels to legs', trolleyWheels, posts, { least: bench.mm(0.3), most: bench.mm(1.5) })
  return assembly('trolley', assembly('wheels', trolleyWheels, tailWheel, axles), assembly('frame', beams, posts, plates))
}
