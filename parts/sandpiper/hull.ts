import {
  type Length,
  type Place,
  type Shape,
  ZERO,
  assembly,
  bench,
  between,
  cradle,
  doublers,
  family,
  full,
  glued,
  interlock,
  joiner,
  laminated,
  mm,
  notched,
  path,
  piece,
  plane,
  polygon,
  rectangle,
  rectangleFrom,
  single,
  stations,
  stringers,
} from 'cardwright'
import { floorHeight, hullLength, lines } from './subject'

/** The hull's section at a station: V bottom to the chine, flared sides, rounded deck. */
export const hullSection = (x: Length): Shape => {
  const chine = [lines.chineBreadth(x), lines.chineHeight(x)] as const
  const deck = lines.deck(x)
  const side = [lines.sideBreadth(x), chine[1].plus(deck).times(0.5)] as const
  const shoulder = [side[0].times(0.8), chine[1].plus(deck.minus(chine[1]).times(0.86))] as const
  return path()
    .from(ZERO, lines.keel(x))
    .line(...chine)
    .spline(side, shoulder, [ZERO, deck], [shoulder[0].negative(), shoulder[1]], [side[0].negative(), side[1]], [chine[0].negative(), chine[1]])
    .close()
}

const frameStations = stations.even(26, full.m(0.6), full.m(16.6))

const skin = bench.plies('folder')

/** Where the floor lies on the frames: it is of two plies, its middle at its height. */
const floorBed = floorHeight.minus(bench.plies('folder')).minus(bench.mm(0.01))

/** Width of the ring that a frame leaves. */
const ring = bench.mm(3.6)

const hullFrames = family('HF', frameStations, (x) => {
  const outer = hullSection(x).inset(skin)
  const inner = outer.inset(ring)
  const below = (height: Length) => rectangleFrom(full.m(-3), full.m(-1), full.m(3), height)
  const bilge = inner.intersect(below(floorBed.minus(bench.mm(1))))
  const cabin = inner.minus(below(floorBed))
  return piece({ stock: 'divider', grain: 'across' })
    .outline(outer)
    .cut(...rounded(cabin, bench.mm(0.6)), ...(bilge.area > 60 ? bilgeHoles(bilge) : []))
    .datum([ZERO, lines.deck(x).minus(bench.mm(2.5))], [ZERO, lines.deck(x).minus(bench.mm(1))])
    .place(plane.frame(x))
})

/** Every corner rounded as a disc of the radius would roll round inside; a sliver too thin for the disc is left out. */
const rounded = (shape: Shape, radius: Length): Shape[] =>
  shape.empty || shape.inscribedCircle().radius < 1.2 * mm(radius) ? [] : [shape.inset(radius).offset(radius, 'round')]

/** Either side of the keel a hole for air and wires under the floor. */
const bilgeHoles = (bilge: Shape): Shape[] => {
  const keel = rectangle(bench.mm(5), full.m(10))
  return rounded(bilge.minus(keel), bench.mm(0.4))
}

/**
 * The keel runs through the frames in two lengths, each of two plies, that meet half way between two frames. The frames
 * come down over it.
 */
const keelJoint = between(frameStations[12]!.at, frameStations[13]!.at, 0.5)

const keels = family('KE', stations.at(full.m(0.4), keelJoint), (from, { number }) => {
  const to = number === 1 ? keelJoint : hullLength.minus(full.m(0.4))
  const xs = Array.from({ length: 25 }, (_, i) => between(from, to, i / 24))
  const lower = xs.map((x) => [x, lines.keel(x).plus(skin)] as const)
  const upper = xs.toReversed().map((x) => [x, lines.keel(x).plus(bench.mm(6))] as const)
  return piece({ stock: 'divider', grain: 'along', plies: 2 })
    .outline(polygon(...lower, ...upper))
    .place(plane.spanwise(ZERO))
})

/** From the middle of the keel to that of card glued to its face. */
const besideKeel = bench.plies('divider').plus(bench.plies('folder', 0.5)).plus(bench.mm(0.03))

/** Joins the two lengths of the keel, on either face, between the frames beside the joint. */
const keelJoiners = single('KJ', () => {
  // The planks rise at once from the keel, on whose faces the joiners lie.
  const low = lines.keel(keelJoint).plus(skin).plus(bench.mm(0.4))
  const high = lines.keel(keelJoint).plus(bench.mm(6))
  return joiner({
    stock: 'folder',
    copies: 2,
    joint: [
      [keelJoint, low],
      [keelJoint, high],
    ],
    width: bench.mm(8),
  })
    .place(...[1, -1].map((side) => plane.spanwise(besideKeel.times(side))))
    .gluedTo(keels)
})

/**
 * Stringers lie flat on the sides, at shares of the height between chine and deck. The middle one ends where the hull
 * draws in too far for three.
 */
const sideStringers = () =>
  stringers('SG', {
    stock: 'divider',
    breadth: bench.mm(2.2),
    handed: true,
    lines: [
      frameStations.slice(0, -1).map(({ at }) => onSide(at, 0.18)),
      frameStations.slice(1, -2).map(({ at }) => onSide(at, 0.42)),
      frameStations.slice(0, -1).map(({ at }) => onSide(at, 0.66)),
    ],
  })

const onSide = (x: Length, share: number): Place => {
  const z = between(lines.chineHeight(x), lines.deck(x), share)
  return [x, hullSection(x).inset(skin).spanAcross(z).to, z]
}

/** Bulkheads with doorways stand behind frames at the ends of the cabin. */
const bulkheads = family('BH', stations.at(full.m(3.16), full.m(5.08), full.m(10.84)), (x) => {
  const shape = hullSection(x)
    .inset(bench.plies('folder', 2))
    .minus(rectangleFrom(full.m(-3), full.m(-1), full.m(3), floorHeight.plus(bench.plies('folder'))))
  const door = rectangleFrom(full.m(-0.32), floorHeight.minus(full.m(0.4)), full.m(0.32), floorHeight.plus(full.m(1.66)))
  return piece({ stock: 'folder', grain: 'across', plies: 2 })
    .outline(shape.minus(door.filleted(full.m(0.12))))
    .place(plane.frame(x.plus(bench.plies('divider'))))
})

/** A hatch in the gangway of each floor panel gives on to the bilge between two frames. */
const hatch = () => rectangle(full.m(0.34), full.m(0.44))

/** The cabin floor in panels of four bays, each resting on five frames, between their sides. */
export const floor = family('FL', stations.pitch(3, frameStations[4]!.at, full.m(0.64).times(4)), (x) => {
  const length = full.m(0.64).times(4)
  const xs = [0, 0.25, 0.5, 0.75, 1].map((t) => x.plus(length.times(t)))
  const half = (at: Length) => hullSection(at).inset(skin.plus(ring)).spanAcross(floorBed).to.minus(bench.mm(0.2))
  const edge = [
    ...xs.map((at) => [at.minus(x), half(at).negative()] as const),
    ...xs.toReversed().map((at) => [at.minus(x), half(at)] as const),
  ]
  return piece({ stock: 'folder', grain: 'across', plies: 2 })
    .outline(polygon(...edge))
    .openings(hatch().moved(length.times(0.375), ZERO))
    .datum([ZERO, ZERO], [length, ZERO])
    .place(plane.level(floorHeight, { x }))
})

/** Coamings stiffen the floor round its hatches, from below. */
const hatchCoamings = () => doublers(floor, { stock: 'divider', width: bench.mm(2) })

/** Holds every fourth frame at its station while the skin goes on, on a board under the keel. */
const buildingCradle = () =>
  cradle('JC', hullFrames, {
    stock: 'divider',
    stations: [4, 8, 12, 16, 20],
    board: full.m(-0.7),
    clearance: bench.plies('folder', 2),
    rise: bench.mm(13),
    gauge: full.m(1.3),
    railHeight: bench.mm(7),
  })

export const hullAssembly = () => {
  const [slotted, keel] = interlock(hullFrames, keels, { upper: 'second' })
  const [frames, strips] = notched(slotted, [sideStringers()])
  glued(floor, frames)
  glued(bulkheads, frames)
  return assembly(
    'hull',
    assembly('cradle', buildingCradle()),
    assembly('keel', laminated(keel), keelJoiners),
    assembly('frames', frames),
    assembly('stringers', strips),
    assembly('floor', floor, hatchCoamings()),
    assembly('bulkheads', bulkheads),
  )
}
