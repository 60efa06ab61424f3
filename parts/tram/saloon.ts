import {
  ZERO,
  assembly,
  bench,
  circle,
  family,
  folded,
  full,
  lid,
  mirrored,
  panel,
  piece,
  plane,
  polygon,
  rectangle,
  rectangleFrom,
  single,
  sleeve,
  stations,
  taperedTube,
  tray,
  tube,
} from 'cardwright'
import { bay, floorHeight, survey, width } from './subject'

const { seatWidth, seatDepth: depth, seatHeight: height, seatBack: backHeight } = survey
const rows = stations.pitch(11, bay.times(1.6), bay)

/**
 * Reversible seats: the back swings over on two links to face the other way at the terminus. Each seat is a folded
 * pan, a back of two leaves folded on its top edge, two links, and two legs.
 */
const seats = family('RS', rows, (x, { number }) => {
  const turn = full.m(0.08)
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
    ).place(plane.level(floorHeight.plus(height), { x, y: width.times(0.5).minus(seatWidth).minus(full.m(0.06)) })),
    BACK: piece({ stock: 'folder', grain: 'along' })
      .outline(rectangleFrom(ZERO, ZERO, backHeight.times(2), seatWidth).filleted(full.m(0.05)))
      .mountain([backHeight, ZERO], [backHeight, seatWidth], 174)
      .note(number % 2 === 0 ? 'Glue with the back to the rear.' : 'Glue with the back to the front.'),
    LINK: piece({ stock: 'divider', copies: 2 })
      .outline(rectangle(full.m(0.4), bench.mm(1.8)).filleted(bench.mm(0.8)))
      .datum([full.m(-0.16), ZERO], [full.m(0.16), ZERO])
      .note('Prick the two pivots at the ends of the line.'),
    LEG: piece({ stock: 'divider', copies: 2 }).outline(leg()),
  }
})

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
    ),
)

/** The driver's controller stands on each platform: a folded case and a lid. */
const controller = single('CT', () => {
  const w = full.m(0.3)
  return {
    CASE: sleeve({
      stock: 'folder',
      width: w,
      height: w,
      length: full.m(0.92),
      flap: bench.mm(2.4),
      measured: 'outside',
      copies: 2,
    }),
    LID: piece({ stock: 'divider', copies: 2 }).outline(circle(w.times(0.62))),
  }
})

/** Stanchions on the platforms, and the two trolley poles on the roof, thin at the top. */
const stanchions = single('SC', () =>
  tube({ stock: 'folder', bore: bench.mm(0.6), length: full.m(1.98), turns: 1, copies: 6 }),
)
const poles = single('PO', () =>
  taperedTube({ stock: 'folder', bottom: full.m(0.09), top: full.m(0.04), length: full.m(4.6), plies: 2, copies: 2 }),
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
    copies: 4,
  } as const
  return { BOX: tray(box), LID: lid(box, { depth: bench.mm(3), clearance: bench.mm(0.1), tab: bench.mm(1) }) }
})

export const saloonAssembly = () =>
  assembly(
    'saloon',
    assembly('seats', mirrored(seats)),
    assembly('fittings', bulkheads, controller, lockers),
    assembly('poles', stanchions, poles),
  )
