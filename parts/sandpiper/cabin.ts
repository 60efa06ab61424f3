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
  polygon,
  rectangleFrom,
  stations,
} from 'cardwright'
import { floorHeight } from './subject'

const width = full.m(0.48)
const pan = full.m(0.46)
const back = full.m(0.66)
const lip = full.m(0.14)
const seatHeight = full.m(0.42)
const fromCentre = full.m(0.38)

/**
 * Ten rows of one seat to either side of the gangway. Each seat is four folded or flat parts: pan and back from one
 * blank, a box below it, a pair of arm rests and a head rest.
 */
const seats = family('SE', stations.pitch(10, full.m(5.3), full.m(0.6)), (x) => ({
  PAN: piece({ stock: 'folder', grain: 'across' })
    .outline(rectangleFrom(lip.negative(), ZERO, pan.plus(back), width).filleted(full.m(0.07)))
    .mountain([ZERO, ZERO], [ZERO, width], 80)
    .valley([pan, ZERO], [pan, width], 78)
    .place(plane.level(floorHeight.plus(seatHeight), { x, y: fromCentre })),
  BOX: piece({ stock: 'folder', grain: 'along' })
    .outline(boxBlank())
    .mountain([ZERO, bench.mm(2)], [pan.times(0.9), bench.mm(2)])
    .mountain([ZERO, width.times(0.8).plus(bench.mm(2))], [pan.times(0.9), width.times(0.8).plus(bench.mm(2))])
    .place(plane.level(floorHeight, { x: x.plus(pan.times(0.05)), y: fromCentre.plus(width.times(0.1)) })),
  ARM: piece({ stock: 'divider', copies: 2, grain: 'along' }).outline(armRest()),
  HEAD: piece({ stock: 'folder', plies: 2 }).outline(
    rectangleFrom(ZERO, ZERO, full.m(0.3), full.m(0.22)).filleted(full.m(0.08)),
  ),
}))

function boxBlank() {
  const flange = bench.mm(2)
  return rectangleFrom(ZERO, ZERO, pan.times(0.9), width.times(0.8).plus(flange.times(2)))
}

/** An arm rest in profile: a post, a curved top, and a foot that glues to the pan. */
function armRest() {
  const height = full.m(0.3)
  const length = full.m(0.42)
  const post = full.m(0.09)
  return polygon([ZERO, ZERO], [post, ZERO], [post, height.minus(post)], [length, height.minus(post)], [length, height], [ZERO, height])
    .filleted(bench.mm(0.5))
}

/** Round cabin windows are drawn on a template card, to be pricked through on to the side skins. */
const windowTemplate = family('WT', stations.at(full.m(5.4)), () => {
  const pitch = full.m(0.6)
  const plate = rectangleFrom(ZERO, ZERO, pitch.times(10), full.m(0.7)).filleted(bench.mm(1))
  const windows = Array.from({ length: 10 }, (_, i) => circle(full.m(0.19)).moved(pitch.times(i + 0.5), full.m(0.36)))
  return piece({ stock: 'folder', grain: 'along', copies: 2 })
    .outline(plate)
    .openings(...windows)
    .datum([bench.mm(1), full.m(0.36)], [pitch.times(10).minus(bench.mm(1)), full.m(0.36)])
    .note('A template: lay its line on the side datum and prick through.')
})

export const cabinAssembly = () => assembly('cabin', assembly('seats', mirrored(seats)), windowTemplate)
