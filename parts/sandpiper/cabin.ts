import {
  PieceSet,
  type Vector,
  ZERO,
  assembly,
  bench,
  clearance,
  family,
  folded,
  full,
  mirrored,
  panel,
  partsOf,
  piece,
  piecesOf,
  plane,
  polygon,
  rectangleFrom,
  stations,
  tray,
} from 'cardwright'
import { floor } from './hull'
import { floorHeight } from './subject'

const width = full.m(0.48)
const pan = full.m(0.46)
const back = full.m(0.66)
const lip = full.m(0.14)
const seatHeight = full.m(0.42)
const fromCentre = full.m(0.38)

/** The floor is of two plies, its middle at its height. */
const floorTop = floorHeight.plus(bench.plies('folder')).plus(bench.mm(0.01))
const seatTop = floorTop.plus(seatHeight)

/** How far a back leans aft, degrees from the pan's plane. */
const lean = 78
const along: Vector = [Math.cos((lean * Math.PI) / 180), 0, Math.sin((lean * Math.PI) / 180)]

/**
 * Ten rows of one seat to either side of the gangway. Each seat is four folded or flat parts: lip, pan and back from
 * one blank, a box below it, a pair of arm rests and a head rest.
 */
const seats = family('SE', stations.pitch(10, full.m(5.16), full.m(0.52)), (x) => ({
  PAN: folded(
    { stock: 'folder', grain: 'across', measured: 'printed' },
    panel(
      'pan',
      rectangleFrom(ZERO, ZERO, pan, width),
      { edge: 'left', mountain: 80, onto: 'right', panel: panel('lip', rectangleFrom(ZERO, ZERO, lip, width)) },
      { edge: 'right', valley: lean, onto: 'left', panel: panel('back', seatBack()) },
    ),
  ).place(plane.level(seatTop.minus(bench.plies('folder', 0.5)), { x, y: fromCentre })),
  BOX: tray({
    stock: 'folder',
    length: pan.times(0.85),
    width: width.times(0.8),
    height: seatHeight.minus(bench.plies('folder')),
    measured: 'outside',
    tab: bench.mm(1.6),
  })
    .place(
      plane.level(seatTop.minus(bench.plies('folder', 1.5)), {
        x: x.plus(pan.times(0.08)),
        y: fromCentre.plus(width.times(0.1)),
      }),
    )
    .gluedTo('PAN', floor)
    .note('Glue the tabs behind the ends; the bottom comes up, under the pan.'),
  ARM: piece({ stock: 'divider', copies: 2, grain: 'along' })
    .outline(armRest())
    .place(...[fromCentre.plus(halfArm), fromCentre.plus(width).minus(halfArm)].map((y) => plane.spanwise(y, { x: x.plus(clearOfBack), z: seatTop })))
    .gluedTo('PAN'),
  HEAD: piece({ stock: 'folder', plies: 2 }).outline(
    rectangleFrom(ZERO, ZERO, full.m(0.3), full.m(0.22)).filleted(full.m(0.08)),
  ).place(
    plane.moved(plane.at([x.plus(pan), fromCentre, seatTop], [0, 1, 0], along), {
      x: full.m(0.09),
      y: full.m(0.4),
      out: bench.plies('folder').plus(bench.mm(0.01)).negative(),
    }),
  ).gluedTo('PAN'),
}))

/** The back of the seat before leans over the front of the pan. */
const clearOfBack = bench.mm(0.4)

/** Half the card of an arm rest. */
const halfArm = bench.plies('divider', 0.5)

/** The back lies to the right of its fold, its upper corners rounded. */
function seatBack() {
  const round = full.m(0.09)
  return rectangleFrom(ZERO, ZERO, back.minus(round), width).union(
    rectangleFrom(back.times(0.5), ZERO, back, width).filleted(round),
  )
}

/** An arm rest in profile: a post, a curved top, and a foot that glues to the pan. */
function armRest() {
  const height = full.m(0.3)
  const length = full.m(0.42)
  const post = full.m(0.09)
  return polygon(
    [ZERO, ZERO],
    [post, ZERO],
    [post, height.minus(post)],
    [length, height.minus(post)],
    [length, height],
    [ZERO, height],
  ).filleted(bench.mm(0.5))
}

export const cabinAssembly = () => {
  const rows = mirrored(seats)
  const [port, starboard] = ['P', 'S'].map((side) => new PieceSet(piecesOf(partsOf(rows, 'PAN')).filter((pan) => pan.side === side)))
  clearance('gangway', port!, starboard!, { least: full.m(0.7) })
  return assembly('cabin', assembly('seats', rows))
}
