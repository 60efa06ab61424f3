import {
  ZERO,
  assembly,
  bench,
  channel,
  circle,
  cylinder,
  family,
  full,
  hem,
  mirrored,
  path,
  piece,
  plane,
  rectangle,
  single,
  stations,
  tube,
  tyre,
  wrapped,
} from 'cardwright'
import { bay, bays, survey } from './subject'

const { wheelbase, wheelRadius: wheel } = survey
const fenderTurn = 75
const trucksAt = stations.at(bay.times(2.5), bay.times(bays - 2.5))

/** Side frames: an equalised plate with a drop at the middle for the spring and an axle guard at either end. */
const sideFrames = family('SF', trucksAt, (x) => {
  const half = wheelbase.times(0.5)
  const top = full.m(0.5)
  const shape = path()
    .from(half.times(-1.45), top.minus(full.m(0.06)))
    .line(half.times(-1.45), full.m(0.26))
    .line(half.times(-0.72), full.m(0.2))
    .spline(
      [half.times(-0.4), full.m(0.16)],
      [ZERO, full.m(0.12)],
      [half.times(0.4), full.m(0.16)],
      [half.times(0.72), full.m(0.2)],
    )
    .line(half.times(1.45), full.m(0.26))
    .line(half.times(1.45), top.minus(full.m(0.06)))
    .line(half.times(0.6), top)
    .line(half.times(-0.6), top)
    .close()
  return piece({ stock: 'divider', grain: 'along', plies: 3 })
    .outline(shape)
    .openings(
      circle(full.m(0.055)).moved(half.times(-1), full.m(0.34)),
      circle(full.m(0.055)).moved(half, full.m(0.34)),
      rectangle(full.m(0.3), full.m(0.1)).filleted(full.m(0.03)).moved(ZERO, full.m(0.36)),
    )
    .place(plane.spanwise(full.m(0.86), { x }))
})

/** Transoms tie the side frames; the bolster carries the pivot. */
const transoms = family('TX', trucksAt, () =>
  piece({ stock: 'divider', plies: 2, copies: 2, grain: 'along' }).outline(rectangle(full.m(1.66), full.m(0.14))),
)
const bolsters = family('BO', trucksAt, () =>
  piece({ stock: 'divider', plies: 3, grain: 'along' })
    .outline(rectangle(full.m(1.66), full.m(0.26)).chamfered(full.m(0.08)))
    .openings(circle(bench.mm(1.5))),
)

/** Wheels: a hub of divider discs, a solid tyre of folder strip wound on it, and a flange disc behind. */
const wheels = family('WH', stations.even(4, ZERO, full.m(3)), () => {
  const hub = full.m(0.38)
  return {
    HUB: piece({ stock: 'divider', plies: 4 })
      .outline(circle(hub.times(0.5)))
      .openings(circle(bench.mm(0.8))),
    ...tyre({ stock: 'folder', core: hub, outside: wheel.times(2), width: bench.plies('divider', 4) }),
    RIM: piece({ stock: 'divider' })
      .outline(circle(wheel.plus(full.m(0.028))))
      .openings(circle(bench.mm(0.8))),
  }
})

/** Axles are bushes of card on a steel wire. */
const axles = family('AL', trucksAt, () =>
  tube({ stock: 'folder', bore: bench.mm(1), length: full.m(1.3), turns: 1.2, copies: 2 }),
)

/** Axle boxes: a folded cover on each guard. */
const axleBoxes = single('AX', () =>
  channel({
    stock: 'folder',
    form: 'channel',
    web: full.m(0.2),
    flange: bench.mm(1.8),
    length: full.m(0.2),
    measured: 'outside',
    copies: 8,
  }),
)

/**
 * Fenders curve down before and behind each truck, a bead of two plies round either side; their lower edge is a tube of
 * card with a hemmed strip over it.
 */
const fenders = family('FE', trucksAt, () => ({
  SHEET: cylinder({ stock: 'folder', diameter: full.m(0.9), top: { height: full.m(1.8) }, to: fenderTurn, copies: 2 }),
  ...wrapped({
    stock: 'folder',
    length: full.m(0.45).times((fenderTurn * Math.PI) / 180),
    width: bench.mm(1.6),
    plies: 2,
    turning: fenderTurn,
    copies: 4,
  }),
  EDGE: hem({ stock: 'folder', leg: full.m(0.14), hem: bench.mm(2), length: full.m(1.8), copies: 2 }),
}))

export const truckAssembly = () =>
  assembly('trucks', mirrored(sideFrames), transoms, bolsters, mirrored(wheels), axles, axleBoxes, fenders)
