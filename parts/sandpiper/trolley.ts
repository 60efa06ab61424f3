import {
  ZERO,
  assembly,
  bench,
  channel,
  circle,
  family,
  full,
  mirrored,
  piece,
  polygon,
  single,
  stations,
  tube,
  tyre,
} from 'cardwright'

const wheel = full.m(0.9)
const hub = full.m(0.42)
const wheelWidth = full.m(0.3)
const axle = bench.mm(1.6)

/**
 * The beaching trolley that carries the boat up the slip: a pair of solid tyres to each side and one at the tail, wound
 * from strip with a rounded tread on hubs of divider card.
 */
const wheels = family('TW', stations.at(full.m(5.4), full.m(5.9)), () => ({
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
    .openings(circle(axle.times(0.5))),
}))

const tailWheel = single('TT', () => ({
  ...tyre({ stock: 'folder', core: full.m(0.3), outside: full.m(0.54), width: full.m(0.2) }),
  HUB: piece({ stock: 'divider', plies: 7 })
    .outline(circle(full.m(0.15)))
    .openings(circle(axle.times(0.5))),
}))

/** Axles are tubes of three turns, rolled round a needle and left a hair slack in the hubs. */
const axles = single('TA', () =>
  tube({ stock: 'folder', bore: bench.mm(0.9), length: full.m(1.1), turns: 1.4, copies: 3 }),
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
  }),
)
const legs = family('TL', stations.at(full.m(5.4), full.m(5.9)), () =>
  channel({
    stock: 'folder',
    form: 'channel',
    web: full.m(0.2),
    flange: full.m(0.14),
    length: full.m(1.3),
    measured: 'outside',
  }),
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
  ),
)

export const trolleyAssembly = () =>
  assembly(
    'trolley',
    assembly('wheels', mirrored(wheels), tailWheel, axles),
    assembly('frame', mirrored(beam), mirrored(legs), mirrored(corners)),
  )
