import {
  type Length,
  type Shape,
  ZERO,
  assembly,
  bench,
  family,
  full,
  mm,
  path,
  piece,
  plane,
  polygon,
  rectangle,
  rectangleFrom,
  stations,
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

/** Width of the ring that a frame leaves. */
const ring = bench.mm(3.6)

const stringerShares = [0.2, 0.42, 0.62]

const stringerSlot = bench.plies('divider').plus(bench.mm(0.06))

/** Notches for stringers lying flat on the side, at shares of the height between chine and deck, both sides. */
const sideNotches = (shape: Shape, x: Length): Shape[] =>
  stringerShares.flatMap((share) => {
    const z = lines.chineHeight(x).plus(lines.deck(x).minus(lines.chineHeight(x)).times(share))
    const { from, to } = shape.spanAcross(z)
    const notch = rectangle(bench.mm(2.4), stringerSlot)
    return [notch.moved(from, z), notch.moved(to, z)]
  })

const keelSlot = (x: Length, from: Length): Shape => {
  const half = bench.plies('divider', 2).plus(bench.mm(0.08)).times(0.5)
  return rectangleFrom(half.negative(), from.minus(full.m(1)), half, lines.keel(x).plus(bench.mm(3)))
}

const frames = family('HF', frameStations, (x) => {
  const outer = hullSection(x).inset(bench.plies('folder'))
  const inner = outer.inset(ring)
  const below = rectangleFrom(full.m(-3), full.m(-1), full.m(3), floorHeight)
  const bilge = inner.intersect(below)
  const cabin = inner.minus(below.offset(bench.mm(1)))
  return piece({ stock: 'divider', grain: 'across' })
    .outline(outer)
    .slots(keelSlot(x, lines.keel(x)), ...sideNotches(outer, x))
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

/** The keel runs under the frames in two lengths, each of two plies, joined under a frame. */
const keel = family('KE', stations.at(full.m(0.4), full.m(8.5)), (from, { number }) => {
  const to = number === 1 ? full.m(8.5) : hullLength.minus(full.m(0.4))
  const xs = Array.from({ length: 25 }, (_, i) => from.plus(to.minus(from).times(i / 24)))
  const lower = xs.map((x) => [x, lines.keel(x).plus(bench.plies('folder'))] as const)
  const upper = xs.toReversed().map((x) => [x, lines.keel(x).plus(bench.mm(6))] as const)
  const slots = frameStations
    .filter(({ at }) => at.over(from) > 1.02 && to.over(at) > 1.02)
    .map(({ at }) => {
      const half = stringerSlot.times(0.5)
      return rectangleFrom(at.minus(half), lines.keel(at).plus(bench.mm(3)), at.plus(half), lines.keel(at).plus(bench.mm(8)))
    })
  return piece({ stock: 'divider', grain: 'along', plies: 2 })
    .outline(polygon(...lower, ...upper))
    .slots(...slots)
    .place(plane.spanwise(ZERO))
})

/** Bulkheads with doorways stand behind frames at the ends of the cabin. */
const bulkheads = family('BH', stations.at(full.m(3.16), full.m(5.08), full.m(10.84)), (x) => {
  const shape = hullSection(x)
    .inset(bench.plies('folder', 2))
    .minus(rectangleFrom(full.m(-3), full.m(-1), full.m(3), floorHeight.plus(bench.plies('folder'))))
  const door = rectangleFrom(full.m(-0.32), floorHeight, full.m(0.32), floorHeight.plus(full.m(1.66)))
  return piece({ stock: 'folder', grain: 'across', plies: 2 })
    .outline(shape.minus(door.filleted(full.m(0.12))))
    .place(plane.frame(x.plus(bench.plies('divider'))))
})

/** The cabin floor in panels of four bays, each resting on five frames. */
const floor = family('FL', stations.pitch(3, frameStations[4]!.at, full.m(0.64).times(4)), (x) => {
  const length = full.m(0.64).times(4)
  const xs = [0, 0.25, 0.5, 0.75, 1].map((t) => x.plus(length.times(t)))
  const half = (at: Length) => hullSection(at).inset(bench.plies('folder', 2)).spanAcross(floorHeight).to
  const edge = [
    ...xs.map((at) => [at.minus(x), half(at).negative()] as const),
    ...xs.toReversed().map((at) => [at.minus(x), half(at)] as const),
  ]
  return piece({ stock: 'folder', grain: 'across', plies: 2 })
    .outline(polygon(...edge))
    .datum([ZERO, ZERO], [length, ZERO])
    .place(plane.level(floorHeight, { x }))
})

/** Stringers are strips, cut a little long and trimmed in place. */
const stringers = family('SG', stations.at(...stringerShares.map((share) => full.m(share))), () =>
  piece({ stock: 'divider', grain: 'along', copies: 4 })
    .outline(rectangle(full.m(8.2), bench.mm(2.2)))
    .note('Two lengths a side, joined on a frame.'),
)

export const hullAssembly = () =>
  assembly(
    'hull',
    assembly('keel', keel),
    assembly('frames', frames),
    assembly('stringers', stringers),
    assembly('floor', floor),
    assembly('bulkheads', bulkheads),
  )

