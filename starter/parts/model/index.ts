import { assembly, bench, family, full, glued, type Length, mirrored, model, piece, plane, polygon } from 'cardwright'
import { rectangle, single, stations } from 'cardwright'

// An open boat. full.… lengths are those of the subject and shrink with the scale; bench.… lengths are those of card
// and knife and do not. x runs aft from the bow, y to starboard, z up.
const length = full.m(4.2)
const beam = full.m(1.6)
const depth = full.m(0.62)
const keelDepth = full.m(0.3)
const web = full.m(0.14)

// Frames and keel slide into each other half-way, so each slot is as wide as the other's card, and a hair more.
const slotWidth = bench.plies('divider').plus(bench.mm(0.05))

/** Half the breadth at the gunwale: full at 0.6 of the length, narrow at the bow. */
function halfBreadth(at: Length): Length {
  const t = at.over(length) - 0.6
  return beam.times(0.5 * (1 - 1.4 * t * t))
}

const frameStations = stations.even(7, full.m(0.5), full.m(3.8))

const frames = family('FR', frameStations, (at) => {
  const top = halfBreadth(at)
  const bottom = top.times(0.7)
  const section = polygon([bottom.negative(), full.m(0)], [bottom, full.m(0)], [top, depth], [top.negative(), depth])
  return piece({ stock: 'divider' })
    .outline(section)
    .openings(section.inset(web))
    .slots(rectangle(slotWidth, web))
    .datum([full.m(0), web.times(0.5)], [full.m(0), web])
    .place(plane.frame(at))
})

const keel = single('KE', () => {
  const side = polygon(
    [full.m(0), full.m(0.14)],
    [full.m(0.3), keelDepth.times(-0.5)],
    [length, keelDepth.times(-0.5)],
    [length, web],
    [full.m(0.2), web],
    [full.m(0), depth],
  )
  const slots = frameStations.map(({ at }) => rectangle(slotWidth, web).moved(at, web))
  return piece({ stock: 'divider', grain: 'along' })
    .outline(side)
    .slots(...slots)
    .place(plane.spanwise(full.m(0)))
})

// Seats across the boat: one flat piece each, its two edges folded down, the front one glued to the frame before it.
const seat = full.m(0.13)
const benches = [1, 3, 5].map((n) => frameStations[n]!.at.plus(bench.plies('divider', 0.5)).plus(seat).plus(bench.mm(0.1)))

const thwarts = family('TH', stations.at(...benches), (at) => {
  const reach = halfBreadth(at).minus(web)
  const edge = seat.plus(full.m(0.1))
  return piece({ stock: 'folder', grain: 'along' })
    .outline(rectangle(reach.times(2), edge.times(2)))
    .mountain([reach.negative(), seat], [reach, seat])
    .mountain([reach.negative(), seat.negative()], [reach, seat.negative()])
    .place(plane.at([at, full.m(0), depth.times(0.7)], [0, 1, 0], [-1, 0, 0]))
})

// Gunwales lie on the frames and follow the boat's side.
const gunwales = mirrored(
  single('GU', () => {
    const places = frameStations.map(({ at }) => at)
    const outer = places.map((at) => [at, halfBreadth(at)] as const)
    const inner = places.toReversed().map((at) => [at, halfBreadth(at).minus(full.m(0.1))] as const)
    return piece({ stock: 'folder', plies: 2, grain: 'along' })
      .outline(polygon(...inner, ...outer))
      .place(plane.level(depth.plus(bench.plies('folder')).plus(bench.mm(0.01))))
  }),
)

// What is said to be glued must touch: `npx cardwright fit` tells where it does not.
export default model('{{title}}', { scale: '1:24' }, () => {
  glued(thwarts, frames)
  glued(gunwales, frames)
  return assembly('boat', assembly('hull', frames, keel), thwarts, gunwales)
})
