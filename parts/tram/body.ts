import {
  type Length,
  type Shape,
  ZERO,
  alternating,
  assembly,
  bench,
  family,
  full,
  interlock,
  lightened,
  lightening,
  mirrored,
  path,
  piece,
  plane,
  polygon,
  rectangle,
  rectangleFrom,
  single,
  stations,
  tabbed,
} from 'cardwright'
import { bay, bays, crown, eaves, floorHeight, halfWidth, waist, width } from './subject'

const skin = bench.plies('folder')
const post = bench.mm(2.6)

/** The body's section: upright sides, and a roof that curves from eaves to eaves. */
const bodySection = (): Shape =>
  path()
    .from(halfWidth.negative(), floorHeight.minus(full.m(0.2)))
    .line(halfWidth, floorHeight.minus(full.m(0.2)))
    .line(halfWidth, eaves)
    .spline([halfWidth.times(0.62), crown.minus(full.m(0.1))], [ZERO, crown], [halfWidth.times(-0.62), crown.minus(full.m(0.1))], [halfWidth.negative(), eaves])
    .close()

const frameStations = stations.pitch(bays + 1, ZERO, bay)

/** Hoops at every pillar, of two plies at the ends, come down over the two sole bars below the floor. */
const hoops = family('BF', frameStations, (x) => {
  const outer = bodySection().inset(skin)
  const inside = outer
    .inset(post)
    .minus(rectangleFrom(width.negative(), ZERO, width, floorHeight))
    .filleted(bench.mm(1.2))
  return piece({ stock: 'divider', grain: 'across', plies: 1 })
    .outline(outer)
    .cut(inside)
    .datum([ZERO, crown.minus(bench.mm(3))], [ZERO, crown.minus(bench.mm(1.2))])
    .place(plane.frame(x))
})
  .except([1, bays + 1], (frame) => frame.plies(2))

/** Sole bars run under the hoops in two lengths that meet half way between two of them. */
const soleBars = family('SB', stations.at(full.m(-0.1), bay.times(bays / 2 + 0.5)), (from, { number }) => {
  const to = number === 1 ? bay.times(bays / 2 + 0.5) : bay.times(bays).plus(full.m(0.1))
  return piece({ stock: 'divider', grain: 'along', plies: 2 })
    .outline(rectangleFrom(ZERO, ZERO, to.minus(from), full.m(0.2)))
    .place(plane.spanwise(halfWidth.times(0.6), { x: from, z: floorHeight.minus(full.m(0.25)) }))
})

const soleBarHoles = lightening({ count: 8, web: bench.mm(1), form: 'slotted', least: bench.mm(1.2) })

/** The floor in panels of two bays, planked by ruled lines. */
const floor = family('FL', stations.pitch(bays / 2, ZERO, bay.times(2)), (x) => {
  const run = bay.times(2)
  const half = halfWidth.minus(bench.plies('folder', 2)).minus(post.times(0.4))
  const planks = Array.from({ length: 7 }, (_, i) => half.times(-1 + (i + 1) * 0.25))
  return planks.reduce(
    (panel, y) => panel.align([bench.mm(1), y], [run.minus(bench.mm(1)), y]),
    piece({ stock: 'folder', grain: 'along', plies: 2 })
      .outline(rectangleFrom(ZERO, half.negative(), run, half))
      .place(plane.level(floorHeight, { x })),
  )
})

/** A side panel of two bays below the waist, and the window frame above it, from one card. */
const sides = family('SP', stations.pitch(bays / 2, ZERO, bay.times(2)), (x) => {
  const run = bay.times(2)
  const bottom = floorHeight.minus(full.m(0.2))
  return piece({ stock: 'folder', grain: 'along' })
    .outline(rectangleFrom(ZERO, bottom, run, eaves))
    .openings(window(ZERO), window(bay))
    .datum([bench.mm(1), waist.minus(full.m(0.09))], [run.minus(bench.mm(1)), waist.minus(full.m(0.09))])
    .place(plane.spanwise(halfWidth, { x }))
})

const window = (from: Length): Shape =>
  rectangleFrom(from.plus(full.m(0.09)), waist, from.plus(bay).minus(full.m(0.09)), eaves.minus(full.m(0.12))).filleted(full.m(0.1))

/** The roof is glued to tabs along the tops of the sides. */
const tabbedSides = () => {
  const run = bay.times(2)
  return tabbed(mirrored(sides), { from: [run, eaves], to: [ZERO, eaves], depth: bench.mm(4), angle: 75 })
}

/** The roof comes down at either end on the teeth of a sheet between the eaves. */
const roofEnds = () => {
  const above = rectangleFrom(width.negative(), eaves, width, crown.plus(full.m(1)))
  const shape = bodySection().intersect(above).inset(skin)
  const low = eaves.plus(skin)
  const { from, to } = shape.spanAcross(low.plus(bench.mm(0.01)))
  const sheet = single('RE', () => piece({ stock: 'folder', grain: 'across', copies: 2 }).outline(shape))
  return tabbed(sheet, { from: [to, low], to: [from, low], depth: bench.mm(2.6), widest: bench.mm(4) })
}

/** A strip of glazing bars laid inside each window. */
const glazing = family('GB', stations.pitch(bays, ZERO, bay), () => {
  const w = bay.minus(full.m(0.1))
  const h = eaves.minus(waist)
  const bar = bench.mm(1)
  const upper = rectangleFrom(bar, h.times(0.68), w.minus(bar), h.minus(bar))
  const lower = rectangleFrom(bar, bar, w.minus(bar), h.times(0.68).minus(bar))
  return piece({ stock: 'folder', grain: 'along' })
    .outline(rectangleFrom(ZERO, ZERO, w, h))
    .openings(upper, lower)
})

/** Ends: three windows between the corner pillars; the dash below folds round the corners. */
const ends = single('EN', () => {
  const bottom = floorHeight.minus(full.m(0.2))
  const third = width.minus(full.m(0.36)).times(1 / 3)
  const windows = [0, 1, 2].map((i) => {
    const from = halfWidth.negative().plus(full.m(0.12)).plus(third.plus(full.m(0.06)).times(i))
    return rectangleFrom(from, waist, from.plus(third), eaves.minus(full.m(0.16))).filleted(full.m(0.09))
  })
  const wrap = full.m(0.3)
  return piece({ stock: 'folder', grain: 'across', copies: 2 })
    .outline(rectangleFrom(halfWidth.negative().minus(wrap), bottom, halfWidth.plus(wrap), waist.minus(full.m(0.1))).union(rectangleFrom(halfWidth.negative(), bottom, halfWidth, eaves)))
    .openings(...windows)
    .mountain([halfWidth, bottom], [halfWidth, waist.minus(full.m(0.1))], 70)
    .mountain([halfWidth.negative(), bottom], [halfWidth.negative(), waist.minus(full.m(0.1))], 70)
})

/** Roof sticks between the hoops, and the clerestory's own little formers. */
const clerestory = family('CF', stations.pitch(bays - 1, bay.times(0.5), bay), (x) =>
  piece({ stock: 'divider' })
    .outline(rectangle(width.times(0.42), full.m(0.34)).filleted(full.m(0.1)))
    .openings(rectangle(width.times(0.42).minus(bench.mm(4)), full.m(0.34).minus(bench.mm(3.4))))
    .place(plane.frame(x, { z: crown.plus(full.m(0.1)) })),
)

/** Doors slide: two leaves at each end of either side. */
const doors = single('DO', () =>
  piece({ stock: 'folder', grain: 'across', plies: 2, copies: 4 })
    .outline(rectangleFrom(ZERO, ZERO, full.m(0.7), full.m(1.98)))
    .openings(rectangleFrom(full.m(0.1), full.m(0.9), full.m(0.6), full.m(1.86)).filleted(full.m(0.08)))
    .datum([full.m(0.1), full.m(0.8)], [full.m(0.6), full.m(0.8)]),
)

/** Two steps and their hangers at each door, folded from one blank. */
const steps = single('SX', () => {
  const tread = full.m(0.28)
  const run = full.m(0.66)
  return piece({ stock: 'folder', grain: 'along', copies: 8 })
    .outline(rectangleFrom(ZERO, ZERO, run, tread.times(3)))
    .valley([ZERO, tread], [run, tread])
    .mountain([ZERO, tread.times(2)], [run, tread.times(2)])
})

/** The destination boxes on the roof: a front with cheeks, and a lid that goes down behind, one tabbed to the other. */
const destinations = () => {
  const [half, height, depth] = [full.m(0.5), full.m(0.3), full.m(0.24)]
  const left = half.negative()
  const front = single('DF', () => {
    const cheek = height.minus(skin)
    const [near, far] = [half.plus(depth), left.minus(depth)]
    return piece({ stock: 'folder', grain: 'across', copies: 2 })
      .outline(
        polygon(
          [far, ZERO],
          [near, ZERO],
          [near, cheek],
          [half, cheek],
          [half, height],
          [left, height],
          [left, cheek],
          [far, cheek],
        ),
      )
      .openings(rectangle(full.m(0.84), full.m(0.16)).moved(ZERO, height.times(0.5)))
      .mountain([half, ZERO], [half, cheek])
      .mountain([left, ZERO], [left, cheek])
  })
  const lid = single('DL', () =>
    piece({ stock: 'folder', grain: 'along', copies: 2 })
      .outline(rectangleFrom(left, ZERO, half, depth.plus(height)))
      .mountain([left, depth], [half, depth]),
  )
  return alternating(
    { pieces: front, from: [half, height], to: [left, height] },
    { pieces: lid, from: [left, ZERO], to: [half, ZERO] },
    { depth: bench.mm(2), count: 5 },
  )
}

export const bodyAssembly = () => {
  const [frames, bars] = interlock(hoops, mirrored(soleBars), { upper: 'second' })
  return assembly(
    'body',
    assembly('underframe', lightened(bars, soleBarHoles)),
    assembly('frames', frames),
    assembly('floor', floor),
    assembly('sides', tabbedSides(), mirrored(glazing), ends, mirrored(doors), steps),
    assembly('roof', roofEnds(), clerestory, ...destinations()),
  )
}

