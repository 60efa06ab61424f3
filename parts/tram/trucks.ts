import {
  type Length,
  ZERO,
  assembly,
  bench,
  channel,
  circle,
  clearance,
  cylinder,
  family,
  full,
  glued,
  hem,
  mirrored,
  partsOf,
  path,
  piece,
  placed,
  plane,
  rectangle,
  single,
  standsOn,
  stations,
  tube,
  tyre,
  wrapped,
} from 'cardwright'
import { bay, bays, survey } from './subject'

const { wheelbase, wheelRadius: wheel } = survey
const fenderTurn = 75
/** Its beads end short of the hemmed strip along its lower edge. */
const beadTurn = fenderTurn - 5
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
const transoms = family('TX', trucksAt, (x) =>
  piece({ stock: 'divider', plies: 2, copies: 2, grain: 'along' }).outline(rectangle(full.m(1.66), full.m(0.14)))
    .place(...[-0.2, 0.2].map((aft) => plane.frame(x.plus(full.m(aft)), { z: full.m(0.4) }))),
)
export const bolsters = family('BO', trucksAt, (x) =>
  piece({ stock: 'divider', plies: 3, grain: 'along' })
    .outline(rectangle(full.m(1.66), full.m(0.26)).chamfered(full.m(0.08)))
    .openings(circle(bench.mm(1.5)))
    .place(plane.at([x, ZERO, full.m(0.44)], [0, 1, 0], [-1, 0, 0])),
)

/** The middle of a wheel, from the centre line. */
const wheelAt = full.m(0.69)

/** Wheels: a hub of divider discs, a solid tyre of folder strip wound on it, and a flange disc behind. */
const wheels = family('WH', stations.even(4, ZERO, full.m(3)), (_, { number }) => {
  const x = trucksAt[number > 2 ? 1 : 0]!.at.plus(wheelbase.times(number % 2 === 0 ? 0.5 : -0.5))
  const behind = wheelAt.minus(bench.plies('divider', 2.5)).minus(bench.mm(0.04))
  const hub = full.m(0.38)
  return {
    HUB: piece({ stock: 'divider', plies: 4 })
      .outline(circle(hub.times(0.5)))
      .openings(circle(bench.mm(0.8)))
      .place(plane.spanwise(wheelAt, { x, z: wheel }))
      .gluedTo('1'),
    ...placed(
      tyre({ stock: 'folder', core: hub, outside: wheel.times(2), width: bench.plies('divider', 4) }),
      plane.spanwise(wheelAt, { x, z: wheel }),
    ),
    RIM: piece({ stock: 'divider' })
      .outline(circle(wheel.plus(full.m(0.028))))
      .openings(circle(bench.mm(0.8)))
      .place(plane.spanwise(behind, { x, z: wheel }))
      .gluedTo('HUB'),
  }
})

/** Axles are bushes of card on a steel wire. */
const axles = family('AL', trucksAt, (x) =>
  placed(
    tube({ stock: 'folder', bore: bench.mm(1), length: full.m(1.3), turns: 1.2, copies: 2 }),
    ...[-0.5, 0.5].map((share) => plane.spanwise(full.m(0.65), { x: x.plus(wheelbase.times(share)), z: wheel })),
  ),
)

/** Over the ends of the axles, on the outer faces of the side frames. */
const boxPlaces = () => {
  const out = full.m(0.86).plus(bench.plies('divider', 1.5)).plus(bench.plies('folder', -0.5)).plus(bench.mm(1.84))
  // From the edge of the blank to the middle of the web.
  const toWeb = bench.mm(1.8 - 0.4).plus(full.m(0.1))
  return trucksAt.flatMap(({ at }) =>
    [-0.5, 0.5].flatMap((share) => {
      const x = at.plus(wheelbase.times(share))
      return [
        plane.at([x.minus(toWeb), out, full.m(0.24)], [1, 0, 0], [0, 0, 1]),
        plane.at([x.plus(toWeb), out.negative(), full.m(0.24)], [-1, 0, 0], [0, 0, 1]),
      ]
    }),
  )
}

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
  }).place(...boxPlaces()),
)

/** The axis of a fender's curve stands so far from the middle of its truck that the wheels run clear of it. */
const fenderOut = 0.97
/** As high as lets its crown touch the sole bars. */
const fenderUp = full.m(0.12).plus(bench.mm(0.4))

/** About the axis of a fender's curve, behind a truck and before it; `along` it by so much. */
const fenderPlaces = (x: Length, along: readonly Length[]) =>
  along.flatMap((run) => {
    const y = full.m(-0.9).plus(run)
    return [
      plane.at([x.plus(full.m(fenderOut)), y, fenderUp], [0, 0, 1], [1, 0, 0]),
      plane.at([x.minus(full.m(fenderOut)), y.negative(), fenderUp], [0, 0, 1], [-1, 0, 0]),
    ]
  })

/** Upright outside the lower edge of a fender. */
const edgePlaces = (x: Length) => {
  const out = full.m(fenderOut + 0.45 * Math.sin((fenderTurn * Math.PI) / 180)).plus(bench.mm(0.2))
  const z = fenderUp.plus(full.m(0.45 * Math.cos((fenderTurn * Math.PI) / 180) + 0.03))
  return [
    plane.at([x.plus(out), full.m(-0.9), z], [0, 0, -1], [0, 1, 0]),
    plane.at([x.minus(out), full.m(0.9), z], [0, 0, -1], [0, -1, 0]),
  ]
}

/**
 * Fenders curve down before and behind each truck, a bead of two plies round either side; their lower edge is a tube of
 * card with a hemmed strip over it.
 */
const fenders = family('FE', trucksAt, (x) => ({
  SHEET: cylinder({ stock: 'folder', diameter: full.m(0.9), top: { height: full.m(1.8) }, to: fenderTurn, copies: 2 }).place(
    ...fenderPlaces(x, [ZERO]),
  ),
  ...placed(
    wrapped({
      stock: 'folder',
      length: full.m(0.45).times((beadTurn * Math.PI) / 180),
      width: bench.mm(1.6),
      plies: 2,
      turning: beadTurn,
      copies: 4,
    }),
    ...fenderPlaces(x, [bench.mm(0.8), full.m(1.8).minus(bench.mm(0.8))]),
  ),
  EDGE: hem({ stock: 'folder', leg: full.m(0.14), hem: bench.mm(2), length: full.m(1.8), copies: 2 }).place(
    ...edgePlaces(x),
  ).gluedTo('SHEET'),
}))

/** Its eight wheels on the rail. */
const onTheRail = () => {
  for (const [n, { at }] of trucksAt.entries()) {
    for (const [axle, share] of [-0.5, 0.5].entries()) {
      for (const [side, way] of [['port', -1], ['starboard', 1]] as const) {
        standsOn(`axle ${2 * n + axle + 1} ${side}`, [at.plus(wheelbase.times(share)), wheelAt.times(way), ZERO])
      }
    }
  }
}

export const bogieSides = mirrored(sideFrames)
export const bogieWheels = mirrored(wheels)

export const truckAssembly = () => {
  onTheRail()
  for (const across of [transoms, bolsters, axleBoxes]) glued(across, bogieSides)
  glued(partsOf(fenders, 'W1'), partsOf(fenders, 'SHEET'))
  // On wires: the axles between the side frames, the trucks about their pivots.
  clearance('axles between side frames', axles, bogieSides, { least: bench.mm(1), most: bench.mm(6) })
  clearance('wheels to fenders', bogieWheels, partsOf(fenders, 'SHEET'), { least: bench.mm(0.5) })
  return assembly('trucks', bogieSides, transoms, bolsters, bogieWheels, axles, axleBoxes, fenders)
}
