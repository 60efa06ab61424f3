// Forty ribs through three spars, and a hull skin over twenty-four frames: plain input for the kernels of card craft.
import { createRequire } from 'node:module'

const require = createRequire(import.meta.url)
const { interlock } = require('../../dist/craft/interlock.js')
const { developSkin } = require('../../dist/craft/develop/skin.js')
const { onBench } = require('../../dist/length/bench.js')
const { bench, naca } = require('../../dist/index.js')

/** Ribs of a tapering aerofoil, the spars swept so that every crossing is oblique. */
export function plates() {
  const at = { scale: { ratio: 60 }, thickness: () => 0.45 }
  const plate = (name, outline, pose) => ({ name, outline, pose, openings: [], thickness: 0.45 })
  const ribs = Array.from({ length: 40 }, (_, i) => {
    const y = 10 + i * 5
    const [outline] = onBench(at, () => naca('23015', bench.mm(60 - i * 0.7)).region)
    return plate(`WR-${i + 1}`, outline, { origin: [0, y, 0], right: [1, 0, 0], up: [0, 0, 1] })
  })
  const spars = [12, 24, 30].map((x, i) => {
    const sweep = (-4 + i * 6) * (Math.PI / 180)
    const outline = [
      [0, -3],
      [225, -1.2],
      [225, 1.6],
      [0, 4],
    ]
    const pose = { origin: [x, 0, 0], right: [-Math.sin(sweep) * 0.4, Math.cos(sweep), 0], up: [0, 0, 1] }
    const length = Math.hypot(...pose.right)
    return plate(`SP-${i + 1}`, outline, { ...pose, right: pose.right.map((c) => c / length) })
  })
  return { ribs, spars }
}

export function interlocked({ ribs, spars }) {
  return interlock(ribs, spars, { fit: 0.05, web: 0.6 })
}

/** Half sections of a hull, from the keel round to the deck, at twenty-four frames. */
export function hullSections() {
  return Array.from({ length: 24 }, (_, i) => {
    const x = i * 11
    const full = Math.sin((Math.PI * (i + 4)) / 32)
    const points = Array.from({ length: 40 }, (_, k) => {
      const angle = (Math.PI * k) / 39 - Math.PI / 2
      return [x, 20 * full * Math.cos(angle), 24 * full * Math.sin(angle)]
    })
    return { name: `HF-${i + 1}`, points }
  })
}

export function skinned(sections) {
  return developSkin(sections, { out: 0.14, inside: [sections[12].points[0][0], 0, 0] })
}
