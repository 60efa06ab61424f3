import {
  type Length,
  ZERO,
  assembly,
  bench,
  family,
  full,
  interlock,
  laminated,
  mirrored,
  path,
  piece,
  plane,
  polygon,
  rectangle,
  single,
  stations,
  table,
} from 'cardwright'
import { survey } from './subject'
import { undersideAt } from './wing'

export const { floatAt, floatOutboard: outboard, floatBottom: bottom } = survey
const { floatLength: length, floatHeight: height } = survey

const halfBreadth = table(survey.floatBreadth)
const keelLine = table(survey.floatKeel)

export const floatSection = (x: Length) => {
  const half = halfBreadth(x)
  const keel = keelLine(x)
  const chine = keel.plus(half.times(0.45))
  return path()
    .from(ZERO, keel)
    .line(half, chine)
    .spline([half.times(0.85), height.times(0.8)], [ZERO, height], [half.times(-0.85), height.times(0.8)], [half.negative(), chine])
    .close()
}

const floatFrames = family('OF', stations.even(7, full.m(0.3), full.m(2.5)), (x) => {
  return piece({ stock: 'divider', grain: 'across' })
    .outline(floatSection(x).inset(bench.plies('folder')))
    .place(plane.frame(floatAt.plus(x), { y: outboard, z: bottom }))
})

const keel = single('OK', () => {
  // The petals of the bow close before it.
  const stem = full.m(0.12)
  const xs = Array.from({ length: 21 }, (_, i) => stem.plus(length.minus(stem).times(i / 20)))
  const skin = bench.plies('folder')
  const lower = xs.map((x) => [x, keelLine(x).plus(skin)] as const)
  const upper = xs.toReversed().map((x) => [x, height.minus(skin)] as const)
  return piece({ stock: 'divider', grain: 'along' })
    .outline(polygon(...lower, ...upper))
    .place(plane.spanwise(outboard, { x: floatAt, z: bottom }))
})

/** Two struts a side from the keel to the wing, before and behind its front spar. */
const struts = single('OS', () => {
  const foot = bottom.plus(height).minus(bench.plies('folder'))
  const run = undersideAt(full.m(6.4), outboard).minus(foot)
  return piece({ stock: 'divider', grain: 'along', plies: 2, copies: 2 })
    .outline(rectangle(run, full.m(0.14)))
    .place(...[6.2, 6.6].map((x) => plane.at([full.m(x), outboard, foot.plus(run.times(0.5))], [0, 0, 1], [1, 0, 0])))
    .note('Round the edges after laminating.')
})

export const floatAssembly = () => {
  const [frames, keels] = interlock(mirrored(floatFrames), mirrored(keel), { upper: 'second', end: 'relief' })
  return assembly('floats', keels, frames, laminated(mirrored(struts)))
}
