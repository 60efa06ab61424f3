import {
  type Length,
  PieceSet,
  ZERO,
  assembly,
  bench,
  circle,
  clearance,
  family,
  folded,
  full,
  glued,
  lid,
  mirrored,
  panel,
  partsOf,
  piece,
  piecesOf,
  placed,
  plane,
  polygon,
  rectangle,
  rectangleFrom,
  repeated,
  single,
  sleeve,
  stations,
  taperedTube,
  tray,
  tube,
} from 'cardwright'
import { floor } from './body'
import { bay, bays, crown, floorHeight, survey, width } from './subject'

const { seatWidth, seatDepth: depth, seatHeight: height, seatBack: backHeight } = survey

/** Between the hoops: of the saloon's bays all but the last has a row. */
const rows = stations.pitch(11, bay.times(1.225), bay)

const floorTop = floorHeight.plus(bench.plies('folder', 2)).plus(bench.mm(0.03))
const card = bench.plies('folder')
const seatAt = width.times(0.5).minus(seatWidth).minus(full.m(0.06))
const panTop = floorTop.plus(height).plus(card)


/**
 * Reversible seats: the back swings over on two links to face the other way at the terminus. Each seat is a folded
 * pan, a back of two leaves folded on its top edge, two links, and two legs.
 */
const seats = family('RS', rows, (x, { number, count }) => {
  const turn = full.m(0.08)
  const backAt = x.plus(number % 2 === 0 ? depth.minus(full.m(0.12)) : full.m(0.12))
  const ends = [seatAt.minus(linkOut), seatAt.plus(seatWidth).plus(linkOut)]
  return {
    PAN: folded(
      { stock: 'folder', grain: 'along', measured: 'outside' },
      panel(
        'pan',
        rectangleFrom(ZERO, ZERO, depth, seatWidth),
        {
          edge: 'left',
          mountain: 90,
          onto: 'right',
          panel: panel('front lip', rectangleFrom(ZERO, ZERO, turn, seatWidth)),
        },
        {
          edge: 'right',
          mountain: 90,
          onto: 'left',
          panel: panel('back lip', rectangleFrom(ZERO, ZERO, turn, seatWidth)),
        },
        { edge: 'bottom', mountain: 90, tab: bench.mm(1.8) },
        { edge: 'top', mountain: 90, tab: bench.mm(1.8) },
      ),
    ).place(plane.level(panTop.minus(card.times(0.5)), { x, y: seatAt })),
    BACK: piece({ stock: 'folder', grain: 'along' })
      .outline(rectangleFrom(ZERO, ZERO, backHeight.times(2), seatWidth).filleted(full.m(0.05)))
      .mountain([backHeight, ZERO], [backHeight, seatWidth], 174)
      .base([backHeight.times(0.5), seatWidth.times(0.5)])
      .place(
        number % 2 === 0
          ? plane.at([backAt, seatAt, panTop], [0, 0, 1], [0, 1, 0])
          : plane.at([backAt, seatAt.plus(seatWidth), panTop], [0, 0, 1], [0, -1, 0]),
      )
      .gluedTo('PAN')
      .note(number % 2 === 0 ? 'Glue with the back to the rear.' : 'Glue with the back to the front.'),
    LINK: piece({ stock: 'divider', copies: 2 })
      .outline(rectangle(full.m(0.4), bench.mm(1.8)).filleted(bench.mm(0.8)))
      .datum([full.m(-0.16), ZERO], [full.m(0.16), ZERO])
      .place(...ends.map((y) => plane.at([backAt, y, panTop.plus(full.m(0.1))], [0, 0, 1], [1, 0, 0])))
      .gluedTo('BACK')
      .note('Prick the two pivots at the ends of the line.'),
    LEG: piece({ stock: 'divider', copies: 2 })
      .outline(leg())
      .place(
        ...(number === 1 || number === count ? lockerLegs : legs).map((in_) =>
          plane.spanwise(seatAt.plus(full.m(in_)), { x: x.plus(depth.times(0.5)), z: floorTop }),
        ),
      )
      .gluedTo('PAN', floor),
  }
})

/** From the aisle, m: both legs on the floor, which ends before the wall, and both beside the locker where there is one. */
const legs = [0.04, 0.7]
const lockerLegs = [0.026, 0.049]

/** From the end of a seat to the middle of its link. */
const linkOut = bench.plies('divider', 0.5).plus(bench.mm(0.02))

/** A cast leg, waisted between a broad foot and a broad head. */
function leg() {
  const half = depth.times(0.5)
  return polygon(
    [half.times(-0.9), ZERO],
    [half.times(0.9), ZERO],
    [half.times(0.9), bench.mm(1)],
    [bench.mm(1), bench.mm(2.2)],
    [bench.mm(1), height.minus(bench.mm(2.2))],
    [half.times(0.8), height.minus(bench.mm(0.9))],
    [half.times(0.8), height],
    [half.times(-0.8), height],
    [half.times(-0.8), height.minus(bench.mm(0.9))],
    [bench.mm(-1), height.minus(bench.mm(2.2))],
    [bench.mm(-1), bench.mm(2.2)],
    [half.times(-0.9), bench.mm(1)],
  )
}

/** From the middle of a hoop to that of two plies of folder beside it. */
const byHoop = bench.plies('divider', 0.5).plus(card).plus(bench.mm(0.03))

/** Bulkheads between saloon and platforms, each with a doorway. */
const bulkheads = single('BH', () =>
  piece({ stock: 'folder', plies: 2, copies: 2, grain: 'across' })
    .outline(
      rectangleFrom(width.times(-0.44), ZERO, width.times(0.44), full.m(2.0)).minus(
        rectangleFrom(full.m(-0.36), full.m(-0.1), full.m(0.36), full.m(1.86)).filleted(full.m(0.16)),
      ),
    )
    .openings(
      rectangleFrom(full.m(0.48), full.m(0.9), width.times(0.44).minus(full.m(0.12)), full.m(1.8)).filleted(
        full.m(0.08),
      ),
      rectangleFrom(width.times(-0.44).plus(full.m(0.12)), full.m(0.9), full.m(-0.48), full.m(1.8)).filleted(
        full.m(0.08),
      ),
    )
    .place(
      plane.at([bay.plus(byHoop), ZERO, floorTop], [0, -1, 0], [0, 0, 1]),
      plane.at([bay.times(bays - 1).minus(byHoop), ZERO, floorTop], [0, 1, 0], [0, 0, 1]),
    ),
)

/** The driver's controller stands on each platform: a folded case and a lid. */
const controller = single('CT', () => {
  const w = full.m(0.3)
  // From the edge of the blank to the middle of the front.
  const toFront = w.times(1.5).plus(bench.mm(1.1))
  return {
    CASE: sleeve({
      stock: 'folder',
      width: w,
      height: w,
      length: full.m(0.92),
      flap: bench.mm(2.4),
      measured: 'outside',
      copies: 2,
    }).place(
      plane.at([full.m(0.2), toFront, floorTop], [0, -1, 0], [0, 0, 1]),
      plane.at([bay.times(bays).minus(full.m(0.2)), toFront.negative(), floorTop], [0, 1, 0], [0, 0, 1]),
    )
      .gluedTo(floor),
    LID: piece({ stock: 'divider', copies: 2 })
      .outline(circle(w.times(0.62)))
      .place(
        ...[full.m(0.35), bay.times(bays).minus(full.m(0.35))].map((x) =>
          plane.level(floorTop.plus(full.m(0.92)).plus(bench.plies('divider', 0.5)), { x }),
        ),
      )
      .gluedTo('CASE'),
  }
})

/** Three on each platform. */
const stanchionPlaces = () =>
  [full.m(0.62), bay.times(bays).minus(full.m(0.62))].flatMap((x) =>
    [-0.6, 0, 0.6].map((y) => plane.level(floorTop, { x, y: full.m(y) })),
  )

/** Stanchions on the platforms, and the two trolley poles on the roof, thin at the top. */
const stanchions = single('SC', () =>
  placed(
    tube({ stock: 'folder', bore: bench.mm(0.6), length: full.m(1.98), turns: 1, copies: 6 }),
    ...stanchionPlaces(),
  ),
)
/** On the clerestory, leaning aft or forward by 70°. */
const poleAt = (x: Length, y: Length, way: 1 | -1) => {
  const [run, rise] = [0.94 * way, 0.342]
  const roof = crown.minus(card).plus(full.m(0.34))
  return plane.at([x, y, roof.plus(bench.mm(1.4))], [0, 1, 0], [-rise, 0, run])
}

const poles = single('PO', () =>
  placed(
    taperedTube({ stock: 'folder', bottom: full.m(0.09), top: full.m(0.04), length: full.m(4.6), plies: 2, copies: 2 }),
    poleAt(bay.times(5), full.m(0.16), 1),
    poleAt(bay.times(9), full.m(-0.16), -1),
  ),
)

/** A locker of sand under the end seats, with its lid. */
const lockers = single('LO', () => {
  const box = {
    stock: 'folder',
    length: full.m(0.7),
    width: full.m(0.36),
    height: full.m(0.3),
    measured: 'outside',
    tab: bench.mm(2.2),
  } as const
  const foot = floorTop.plus(card.times(0.5))
  const head = floorTop.plus(full.m(0.3)).plus(card.times(0.5)).plus(bench.mm(0.02))
  const from = seatAt.plus(full.m(0.08))
  // The tabs at its corners are inside.
  const play = card.plus(bench.mm(0.04))
  return {
    BOX: tray(box).place(plane.at([full.m(0.04), from, foot], [0, 1, 0], [1, 0, 0])),
    LID: lid(box, { depth: bench.mm(3), clearance: play, tab: bench.mm(1) })
      .place(plane.at([full.m(0.4).plus(play), from.minus(play), head], [0, 1, 0], [-1, 0, 0]))
      .gluedTo('BOX'),
  }
})

/** Under the first and the last row: to starboard as it is, to port turned about. */
const lockerPlaces = () =>
  [rows[0]!.at, rows.at(-1)!.at].flatMap((x) => [
    plane.level(ZERO, { x }),
    plane.at([x.plus(full.m(0.44)), ZERO, ZERO], [-1, 0, 0], [0, -1, 0]),
  ])

export const saloonAssembly = () => {
  const pairs = mirrored(seats)
  const [port, starboard] = ['P', 'S'].map((side) => new PieceSet(piecesOf(pairs).filter((piece) => piece.side === side)))
  clearance('aisle', port!, starboard!, { least: full.mm(300) })
  const boxes = repeated(lockers, ...lockerPlaces())
  glued(partsOf(boxes, 'BOX'), floor)
  glued(bulkheads, floor)
  glued(stanchions, floor)
  return assembly(
    'saloon',
    assembly('seats', pairs),
    assembly('fittings', bulkheads, controller, boxes),
    assembly('poles', stanchions, poles),
  )
}
