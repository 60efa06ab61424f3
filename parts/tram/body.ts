import {
  type Length,
  type Shape,
  ZERO,
  alternating,
  assembly,
  bench,
  clearance,
  family,
  full,
  glued,
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
import { bogieSides, bogieWheels, bolsters } from './trucks'

const skin = bench.plies('folder')
const post = bench.mm(2.6)

/** Of the corners inside a hoop. */
const rounding = bench.mm(1.2)

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
    .filleted(rounding)
  return piece({ stock: 'divider', grain: 'across', plies: 1 })
    .outline(outer)
    .cut(inside)
    .datum([ZERO, crown.minus(bench.mm(3))], [ZERO, crown.minus(bench.mm(1.2))])
    .place(plane.frame(x))
})
  .except([1, bays + 1], (frame) => frame.plies(2))

/** Where the sole bars run between the wheels, as a share of half the width. */
const barShare = 0.5

/** Sole bars run under the hoops in two lengths that meet half way between two of them. */
const soleBars = family('SB', stations.at(full.m(-0.1), bay.times(bays / 2 + 0.5)), (from, { number }) => {
  const to = number === 1 ? bay.times(bays / 2 + 0.5) : bay.times(bays).plus(full.m(0.1))
  return piece({ stock: 'divider', grain: 'along', plies: 2 })
    .outline(rectangleFrom(ZERO, ZERO, to.minus(from), full.m(0.2)))
    .place(plane.spanwise(halfWidth.times(barShare), { x: from, z: floorHeight.minus(full.m(0.25)) }))
})

const soleBarHoles = lightening({ count: 8, web: bench.mm(1), form: 'slotted', least: bench.mm(1.2) })

/** The floor in panels of two bays, planked by ruled lines. */
export const floor = family('FL', stations.pitch(bays / 2, ZERO, bay.times(2)), (x) => {
  const run = bay.times(2)
  const half = halfWidth.minus(skin).minus(post).minus(rounding)
  const planks = Array.from({ length: 7 }, (_, i) => half.times(-1 + (i + 1) * 0.25))
  return planks.reduce(
    (panel, y) => panel.align([bench.mm(1), y], [run.minus(bench.mm(1)), y]),
    piece({ stock: 'folder', grain: 'along', plies: 2 })
      .outline(rectangleFrom(ZERO, half.negative(), run, half))
      .place(plane.level(floorHeight.plus(bench.plies('folder')).plus(bench.mm(0.01)), { x })),
  )
})

/** A side panel of two bays below the waist, and the window frame above it, from one card. */
const sides = family('SP', stations.pitch(bays / 2, ZERO, bay.times(2)), (x) => {
  const run = bay.times(2)
  const bottom = floorHeight.minus(full.m(0.2))
  const clear = besideHoop()
  return piece({ stock: 'folder', grain: 'along' })
    .outline(polygon([ZERO, bottom], [run, bottom], [run, eaves], [bay.plus(clear), eaves], [bay.minus(clear), eaves], [ZERO, eaves]))
    .openings(window(ZERO), window(bay))
    .datum([bench.mm(1), waist.minus(full.m(0.09))], [run.minus(bench.mm(1)), waist.minus(full.m(0.09))])
    .place(onSide(x.plus(run), halfWidth.minus(bench.plies('folder', 0.5))))
})

/** Upright on the starboard side, its printed face outwards: it runs forward from a place. */
const onSide = (x: Length, y: Length, z = ZERO) => plane.at([x, y, z], [-1, 0, 0], [0, 0, 1])

/** Faces forward before the first hoop, or aft behind the last, so far from it. */
const atEnds = (out: Length, z = ZERO) => [
  plane.at([out.negative(), ZERO, z], [0, -1, 0], [0, 0, 1]),
  plane.at([bay.times(bays).plus(out), ZERO, z], [0, 1, 0], [0, 0, 1]),
]

/** Half of the hoops at the ends, which have two plies. */
const endHoop = bench.plies('divider').plus(bench.mm(0.01))

const window = (from: Length): Shape =>
  rectangleFrom(from.plus(full.m(0.09)), waist, from.plus(bay).minus(full.m(0.09)), eaves.minus(full.m(0.12))).filleted(full.m(0.1))

/** Tabs of the sides end so far from the middle of a hoop, which stands behind the middle of each side as well. */
const besideHoop = () => bench.plies('divider', 0.5).plus(bench.mm(0.2))

/** The roof is glued to tabs along the tops of the sides, between the hoops. */
const tabbedSides = () => {
  const [run, clear] = [bay.times(2), besideHoop()]
  const tab = { depth: bench.mm(4), angle: 48 } as const
  const before = tabbed(mirrored(sides), { ...tab, from: [run, eaves], to: [bay.plus(clear), eaves] })
  return tabbed(before, { ...tab, from: [bay.minus(clear), eaves], to: [ZERO, eaves] })
}

/** The roof comes down at either end on the teeth of a sheet between the eaves. */
const roofEnds = () => {
  const above = rectangleFrom(width.negative(), eaves, width, crown.plus(full.m(1)))
  const shape = bodySection().intersect(above).inset(skin)
  const low = eaves.plus(skin)
  const { from, to } = shape.spanAcross(low.plus(bench.mm(0.01)))
  const sheet = single('RE', () => 
    piece({ stock: 'folder', grain: 'across', copies: 2 })
      .outline(shape)
      .place(...atEnds(endHoop.plus(bench.mm(2.3)))),
  )
  return tabbed(sheet, { from: [to, low], to: [from, low], depth: bench.mm(2.6), widest: bench.mm(4) })
}

/** The middle of card laid against the inside of a side. */
const behind = halfWidth.minus(bench.plies('folder', 1.5)).minus(bench.mm(0.02))

/** A strip of glazing bars laid inside each window. */
const glazing = family('GB', stations.pitch(bays, ZERO, bay), (x) => {
  const w = bay.minus(full.m(0.1))
  const h = eaves.minus(waist)
  const bar = bench.mm(1)
  const upper = rectangleFrom(bar, h.times(0.68), w.minus(bar), h.minus(bar))
  const lower = rectangleFrom(bar, bar, w.minus(bar), h.times(0.68).minus(bar))
  return piece({ stock: 'folder', grain: 'along' })
    .outline(rectangleFrom(ZERO, ZERO, w, h))
    .openings(upper, lower)
    .place(onSide(x.plus(bay).minus(full.m(0.05)), behind, waist))
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
  // The sole bars run on a little beyond the hoops.
  const barEnds = [-barShare, barShare].map((share) => {
    const [y, half] = [halfWidth.times(share), bench.plies('divider').plus(bench.mm(0.15))]
    return rectangleFrom(y.minus(half), ZERO, y.plus(half), floorHeight.minus(full.m(0.04)))
  })
  return piece({ stock: 'folder', grain: 'across', copies: 2 })
    .outline(rectangleFrom(halfWidth.negative().minus(wrap), bottom, halfWidth.plus(wrap), waist.minus(full.m(0.1))).union(rectangleFrom(halfWidth.negative(), bottom, halfWidth, eaves)))
    .openings(...windows)
    .cut(...barEnds)
    .place(...atEnds(endHoop.plus(bench.plies('folder', 0.5)).plus(bench.mm(0.01))))
    .mountain([halfWidth, bottom], [halfWidth, waist.minus(full.m(0.1))], 70)
    .mountain([halfWidth.negative(), bottom], [halfWidth.negative(), waist.minus(full.m(0.1))], 70)
})

/** The clerestory's own little formers stand on the hoops. */
const clerestory = family('CF', stations.pitch(bays - 1, bay, bay), (x) =>
  piece({ stock: 'divider' })
    .outline(rectangle(width.times(0.42), full.m(0.34)).filleted(full.m(0.1)))
    .openings(rectangle(width.times(0.42).minus(bench.mm(4)), full.m(0.34).minus(bench.mm(3.4))))
    .place(plane.frame(x, { z: crown.minus(skin).plus(full.m(0.17)) })),
)

/** Doors slide behind the windows of the end bays. */
const doorAt = behind.minus(bench.plies('folder', 1.5)).minus(bench.mm(0.05))
/** From one leaf of a door to the one it slides behind. */
const besideLeaf = bench.plies('folder', 2).plus(bench.mm(0.06))
const doorFoot = floorHeight.plus(bench.plies('folder', 2)).plus(bench.mm(0.03))

/** Doors slide: two leaves at each end of either side. */
const doors = single('DO', () =>
  piece({ stock: 'folder', grain: 'across', plies: 2, copies: 4 })
    .outline(rectangleFrom(ZERO, ZERO, full.m(0.7), full.m(1.98)))
    .openings(rectangleFrom(full.m(0.1), full.m(0.9), full.m(0.6), full.m(1.86)).filleted(full.m(0.08)))
    .datum([full.m(0.1), full.m(0.8)], [full.m(0.6), full.m(0.8)])
    .place(
      ...[ZERO, bay.times(bays - 1)].flatMap((x) =>
        [ZERO, besideLeaf].map((inwards) => onSide(x.plus(full.m(0.75)), doorAt.minus(inwards), doorFoot)),
      ),
    ),
)

/** Their first leaf is glued to the foot of the side, the others hang from it. */
const stepPlaces = () => {
  const out = halfWidth.plus(bench.plies('folder', 0.5)).plus(bench.mm(0.02))
  return [0, 1, bays - 2, bays - 1].flatMap((n) => {
    const x = bay.times(n).plus(full.m(0.07))
    return [
      plane.at([x, out, floorHeight], [1, 0, 0], [0, 0, -1]),
      plane.at([x.plus(full.m(0.66)), out.negative(), floorHeight], [-1, 0, 0], [0, 0, -1]),
    ]
  })
}

/** Two steps and their hangers at each door, folded from one blank. */
const steps = single('SX', () => {
  const tread = full.m(0.28)
  const run = full.m(0.66)
  return piece({ stock: 'folder', grain: 'along', copies: 8 })
    .outline(rectangleFrom(ZERO, ZERO, run, tread.times(3)))
    .valley([ZERO, tread], [run, tread])
    .mountain([ZERO, tread.times(2)], [run, tread.times(2)])
    .base([run.times(0.5), tread.times(0.5)])
    .place(...stepPlaces())
})

/** The destination boxes on the roof: a front with cheeks, and a lid that goes down behind, one tabbed to the other. */
const destinations = () => {
  const [half, height, depth] = [full.m(0.5), full.m(0.3), full.m(0.24)]
  const left = half.negative()
  const top = crown.minus(skin).plus(height)
  // The lid lies on the tabs of the front, and its own go down behind it.
  const lap = skin.plus(bench.mm(0.02))
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
      .base([ZERO, half.times(0.05)])
      .place(...atEnds(ZERO, crown.minus(skin)))
  })
  const lid = single('DL', () =>
    piece({ stock: 'folder', grain: 'along', copies: 2 })
      .outline(rectangleFrom(left, ZERO, half, depth.plus(height)))
      .mountain([left, depth], [half, depth])
      .base([ZERO, depth.times(0.5)])
      .place(
        plane.at([lap, ZERO, top.plus(lap)], [0, -1, 0], [1, 0, 0]),
        plane.at([bay.times(bays).minus(lap), ZERO, top.plus(lap)], [0, 1, 0], [-1, 0, 0]),
      ),
  )
  return alternating(
    { pieces: front, from: [half, height], to: [left, height] },
    { pieces: lid, from: [left, ZERO], to: [half, ZERO] },
    { depth: bench.mm(2), count: 5 },
  )
}

export const bodyAssembly = () => {
  const [frames, bars] = interlock(hoops, mirrored(soleBars), { upper: 'second' })
  const [panels, glass, leaves, sheets] = [tabbedSides(), mirrored(glazing), mirrored(doors), roofEnds()]
  for (const part of [floor, panels, ends, sheets, clerestory]) glued(part, frames)
  glued(glass, panels)
  glued(steps, panels)
  // Doors slide, trucks turn and wheels ride up on their springs.
  clearance('doors to posts', leaves, frames, { least: bench.mm(0.3), most: bench.mm(1) })
  clearance('doors to glazing', leaves, glass, { least: bench.mm(0.02), most: bench.mm(0.2) })
  clearance('bogie swing, frames to steps', bogieSides, steps, { least: full.mm(150) })
  clearance('bogie swing, wheels to sole bars', bogieWheels, bars, { least: full.mm(40) })
  clearance('bolsters to floor', bolsters, floor, { least: bench.mm(1), most: bench.mm(9) })
  clearance('wheels to floor', bogieWheels, floor, { least: full.mm(120) })
  return assembly(
    'body',
    assembly('underframe', lightened(bars, soleBarHoles)),
    assembly('frames', frames),
    assembly('floor', floor),
    assembly('sides', panels, glass, ends, leaves, steps),
    assembly('roof', sheets, clerestory, ...destinations()),
  )
}

