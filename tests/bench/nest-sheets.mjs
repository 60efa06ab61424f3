/**
 * Nests invented pieces of some shapes on A4 and prints one JSON line for each number of pieces: sheets by boxes and by
 * shapes, use of the sheets in percent, seconds, memory, and how the time grows.
 *
 *   node tests/bench/nest-sheets.mjs [--counts 500,1000,2000] [--shapes 60] [--effort normal] [--seed S]
 *
 * Needs a build (`npm run build`).
 */
import { createRequire } from 'node:module'
import { performance } from 'node:perf_hooks'
import { parseArgs } from 'node:util'

const require = createRequire(import.meta.url)
const dist = process.env.NEST_DIST ?? '../../dist'
const { packBoxes } = require(`${dist}/nest/strategy/box.js`)
const { nestShapes } = require(`${dist}/nest/strategy/shape.js`)
const { verifyLayout } = require(`${dist}/nest/verify.js`)
const { Random } = require(`${dist}/nest/search/random.js`)

/** A4 with the margin of a home printer. */
const SHEET = { width: 210, height: 297, area: { minX: 5, minY: 5, maxX: 205, maxY: 292 } }

/** Lenses like ribs, rings' quarters like frames, brackets, and tapered strips like skins; sizes in mm. */
const MAKERS = [lens, arch, bracket, taper]

const { values } = parseArgs({
  options: {
    counts: { type: 'string', default: '500,1000,2000' },
    shapes: { type: 'string', default: '60' },
    effort: { type: 'string', default: 'normal' },
    seed: { type: 'string', default: '1' },
  },
})

let before
for (const count of values.counts.split(',').map(Number)) {
  const request = requestOf(count)
  const boxes = packBoxes(request)
  const start = performance.now()
  const cpu = process.cpuUsage()
  const result = nestShapes(request)
  const seconds = (performance.now() - start) / 1000
  const growth = before && Math.log(seconds / before.seconds) / Math.log(count / before.count)
  before = { count, seconds }
  console.log(
    JSON.stringify({
      pieces: count,
      boxSheets: boxes.sheets,
      sheets: result.sheets,
      boxUse: use(request, boxes),
      use: use(request, result),
      seconds: Number(seconds.toFixed(2)),
      cpuSeconds: Number((process.cpuUsage(cpu).user / 1e6).toFixed(2)),
      ...(growth === undefined ? {} : { exponent: Number(growth.toFixed(2)) }),
      megabytes: Math.round(process.resourceUsage().maxRSS / 1024),
      valid: verifyLayout(request, result).length === 0,
    }),
  )
}

function requestOf(count) {
  const random = new Random(Number(values.seed))
  const shapes = Number(values.shapes)
  const outlines = Array.from({ length: shapes }, (_, i) => MAKERS[i % MAKERS.length](random))
  const pieces = Array.from({ length: count }, (_, i) => ({
    id: `P${i}`,
    openings: [],
    turns: [[0, 180], [0, 90, 180, 270]][i % 2],
    group: `G${Math.floor(i / 40)}`,
    outline: outlines[i % shapes],
  }))
  return { pieces, sheet: SHEET, gap: 2, effort: values.effort, seed: Number(values.seed) }
}

/** Share of the printable area that is covered, in percent. */
function use({ pieces }, { sheets }) {
  const { minX, minY, maxX, maxY } = SHEET.area
  const area = pieces.reduce((sum, { outline }) => sum + Math.abs(signedArea(outline)), 0)
  return Number(((100 * area) / (sheets * (maxX - minX) * (maxY - minY))).toFixed(1))
}

function signedArea(loop) {
  return loop.reduce((sum, [x, y], i) => {
    const [u, v] = loop[(i + 1) % loop.length]
    return sum + (x * v - u * y) / 2
  }, 0)
}

function lens(random) {
  const length = random.between(40, 150)
  const height = length * random.between(0.1, 0.2)
  const upper = curve(24, (t) => [t * length, height * Math.sin(Math.PI * t ** 0.7)])
  const lower = curve(24, (t) => [(1 - t) * length, -0.3 * height * Math.sin(Math.PI * (1 - t))])
  return [...lower.slice(0, -1), ...upper.slice(0, -1)].toReversed()
}

function arch(random) {
  const radius = random.between(20, 80)
  const width = random.between(6, 15)
  const outer = curve(20, (t) => polar(radius, Math.PI * t))
  const inner = curve(20, (t) => polar(radius - width, Math.PI * (1 - t)))
  return [...outer, ...inner]
}

function bracket(random) {
  const [a, b, w] = [random.between(20, 70), random.between(20, 70), random.between(5, 12)]
  return [[0, 0], [a, 0], [a, w], [w, w], [w, b], [0, b]]
}

function taper(random) {
  const [length, root, tip] = [random.between(40, 160), random.between(15, 40), random.between(4, 12)]
  return [[0, 0], [length, (root - tip) / 3], [length, (root + 2 * tip) / 3], [0, root]]
}

function curve(steps, at) {
  return Array.from({ length: steps + 1 }, (_, i) => at(i / steps))
}

function polar(radius, angle) {
  return [radius * Math.cos(angle), radius * Math.sin(angle)]
}
