// node tests/bench/nest-demos.mjs: the demo models' sheets by true shapes at normal effort against boxes around piece
// and label. Use is card of pieces against the room on the sheets that were needed, of the last sheet only the part that
// a straight cut, upwards or sideways, parts from a whole remainder: that remainder goes back into the drawer. Counting
// the last sheet whole would let one crumb on it outweigh the packing of all others; whole sheets are told beside it.
// Seconds by stock are of processor time, for a busy machine is no slower nesting; by model they are what a build waits
// for, in which two stocks are nested at once. What boxes need is the yardstick; use of a model is that of all its stocks.
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { machine, report } from './measure.mjs'

const require = createRequire(import.meta.url)
const { createLoader } = require('../../dist/cli/load.js')
const { layOut, nestRequests } = require('../../dist/cli/layout.js')
const { evaluateModel } = require('../../dist/model/evaluate.js')
const { nest } = require('../../dist/nest/index.js')
const { packBoxes } = require('../../dist/nest/strategy/box.js')
const { area } = require('../../dist/shape/measure.js')
const { labelFootprint, labelPlaces, printableArea } = require('../../dist/sheet/index.js')

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..', '..')
const loader = createLoader({ root: ROOT, timeLimit: 60_000 })
const options = { area: printableArea, labels: (piece) => labelPlaces(piece).map(labelFootprint) }

report({ name: 'machine', ...machine() })
for (const name of ['sandpiper', 'tram']) {
  const model = evaluateModel(loader.load(join(ROOT, 'parts', name, 'index.ts')), { name })
  const start = process.hrtime.bigint()
  layOut(model, options)
  const waited = Number(process.hrtime.bigint() - start) / 1e9
  const all = { pieces: 0, card: 0, boxes: 0, shapes: 0 }
  for (const { stock, cuts, request } of nestRequests(model, options)) {
    const room = (request.sheet.area.maxX - request.sheet.area.minX) * (request.sheet.area.maxY - request.sheet.area.minY)
    const card = cuts.reduce(
      (sum, { piece }) => sum + area([piece.outline]) + piece.openings.reduce((all, { loop }) => all + area([loop]), 0),
      0,
    )
    const told = (strategy) => {
      const start = process.cpuUsage()
      const { sheets, placements } = strategy(request)
      const { user, system } = process.cpuUsage(start)
      const seconds = (user + system) / 1e6
      return { sheets, length: lengthUsed(request, placements, sheets), seconds: Number(seconds.toFixed(2)) }
    }
    const [boxes, shapes] = [told(packBoxes), told(nest)]
    const use = ({ length }) => Number(((100 * card) / (length * room)).toFixed(1))
    all.pieces += cuts.length
    all.card += card / room
    all.boxes += boxes.length
    all.shapes += shapes.length
    report({ name, stock: stock.id, pieces: cuts.length, boxes: { ...boxes, use: use(boxes) }, shapes: { ...shapes, use: use(shapes) } })
  }
  // In sheets of the one size that both demos print on.
  const share = (length) => (100 * all.card) / length
  const [boxes, shapes] = [share(all.boxes), share(all.shapes)]
  const told = { boxes: Number(boxes.toFixed(1)), shapes: Number(shapes.toFixed(1)), gain: Number((shapes - boxes).toFixed(2)) }
  report({ name, pieces: all.pieces, ...told, seconds: Number(waited.toFixed(2)) })
}

/** Sheets used, the last one only as far up or as far across as its pieces reach, whichever is less. */
function lengthUsed({ pieces, sheet: { area } }, placements, sheets) {
  const outlines = new Map(pieces.map(({ id, outline }) => [id, outline]))
  let [right, top] = [area.minX, area.minY]
  for (const { id, sheet: on, x, y, turn } of placements) {
    if (on !== sheets - 1) continue
    const [cos, sin] = [Math.cos((turn * Math.PI) / 180), Math.sin((turn * Math.PI) / 180)]
    for (const [px, py] of outlines.get(id)) {
      right = Math.max(right, x + px * cos - py * sin)
      top = Math.max(top, y + px * sin + py * cos)
    }
  }
  const share = Math.min((right - area.minX) / (area.maxX - area.minX), (top - area.minY) / (area.maxY - area.minY))
  return sheets - 1 + share
}
