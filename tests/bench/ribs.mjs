// One wing rib described twice: in this project's words, and with @jscad/modeling and a string put together by hand.
// Aerofoil, two spar slots, four lightening holes, six stringer notches; the chord shrinks from rib to rib. Both sides
// give the cut lines of all ribs as SVG and nothing else: no nesting, no checks, no labels.
import { createRequire } from 'node:module'

const require = createRequire(import.meta.url)
const cardwright = require('../../dist/index.js')
const { evaluateModel } = require('../../dist/model/evaluate.js')
const { area, boundsOf } = require('../../dist/shape/measure.js')
const { svgOf } = require('../../dist/sheet/svg.js')

const RATIO = 60
const HOLES = [0.15, 0.36, 0.48, 0.58]
const NOTCHES = [0.12, 0.45, 0.75]
const chordOf = (i, count) => 3400 - (1700 * i) / count

export function ourRibs(count) {
  const { bench, circle, family, full, model, naca, piece, rectangle, rectangleFrom, stations } = cardwright
  const ribs = family('WR', stations.even(count, full.mm(0), full.mm(count - 1)), (_, { number }) => {
    const chord = full.mm(chordOf(number - 1, count))
    const shape = naca('2412', chord)
    const slot = (share) => {
      const { from, to } = shape.spanAt(chord.times(share))
      const x = chord.times(share)
      return rectangleFrom(x.minus(bench.mm(0.25)), from.minus(bench.mm(1)), x.plus(bench.mm(0.25)), from.plus(to).times(0.5))
    }
    const notches = NOTCHES.flatMap((share) => {
      const { from, to } = shape.spanAt(chord.times(share))
      const notch = rectangle(bench.mm(0.6), bench.mm(0.8))
      return [notch.moved(chord.times(share), to), notch.moved(chord.times(share), from)]
    })
    const holes = HOLES.map((share) => {
      const { from, to } = shape.spanAt(chord.times(share))
      return circle(to.minus(from).times(0.25)).moved(chord.times(share), from.plus(to).times(0.5))
    })
    return piece({ stock: 'divider' })
      .outline(shape)
      .slots(slot(0.25), slot(0.65))
      .cut(...notches)
      .openings(...holes)
  })
  const { pieces } = evaluateModel(model('Ribs', { scale: RATIO }, () => ribs), { name: 'ribs' })
  return { pieces, svg: sheetsOf(pieces).join('') }
}

/** Area of the card in all the pieces, mm². */
export function ourArea({ pieces }) {
  return pieces.reduce((sum, { outline, openings }) => sum + area([outline, ...openings.map(({ loop }) => loop)]), 0)
}

/** Texts of the sheets: the pieces row by row on A4, drawn and written a sheet at a time, as a build does. */
function sheetsOf(pieces) {
  const boxes = pieces.map(({ outline }) => boundsOf([outline]))
  const pitchX = GAP + Math.max(...boxes.map(({ minX, maxX }) => maxX - minX))
  const pitchY = GAP + Math.max(...boxes.map(({ minY, maxY }) => maxY - minY))
  const columns = Math.floor((A4.width - GAP) / pitchX)
  const rows = Math.floor((A4.height - GAP) / pitchY)
  const groupOf = ({ mark, stock, plies, outline, openings }, i) => {
    const dx = GAP + (i % columns) * pitchX - boxes[i].minX
    const dy = GAP + (Math.floor(i / columns) % rows) * pitchY - boxes[i].minY
    const lineOf = (loop) => ({ points: loop.map((point) => [point[0] + dx, point[1] + dy]), closed: true })
    const lines = [lineOf(outline), ...openings.map(({ loop }) => lineOf(loop))]
    return { id: mark, mark, stock, plies, fingerprint: '', marks: [{ kind: 'stroke', role: 'cut', lines }] }
  }
  const texts = []
  for (let first = 0; first < pieces.length; first += rows * columns) {
    const groups = pieces.slice(first, first + rows * columns).map((piece, k) => groupOf(piece, first + k))
    texts.push(svgOf({ ...A4, title: 'Ribs', pieces: groups, furniture: [] }))
  }
  return texts
}

const A4 = { width: 210, height: 297 }
const GAP = 2

export function jscadRibs(count) {
  const { booleans, geometries, primitives, transforms } = require('@jscad/modeling')
  const { onBench } = require('../../dist/length/bench.js')
  const ribs = []
  const paths = []
  for (let i = 0; i < count; i++) {
    const chord = chordOf(i, count) / RATIO
    // The same points, so that both cut the same outline.
    const [outline] = onBench({ scale: { ratio: RATIO }, thickness: () => 0.45 }, () =>
      cardwright.naca('2412', cardwright.full.mm(chordOf(i, count))).region,
    )
    const shape = geometries.geom2.fromPoints(outline.map(([x, y]) => [x, y]))
    const heights = (x) => {
      const crossings = outline.flatMap(([ax, ay], k) => {
        const [bx, by] = outline[(k + 1) % outline.length]
        return ax <= x !== bx <= x ? [ay + ((by - ay) * (x - ax)) / (bx - ax)] : []
      })
      return [Math.min(...crossings), Math.max(...crossings)]
    }
    const box = (x0, y0, x1, y1) =>
      primitives.rectangle({ size: [x1 - x0, y1 - y0], center: [(x0 + x1) / 2, (y0 + y1) / 2] })
    const tools = [0.25, 0.65].map((share) => {
      const x = chord * share
      const [from, to] = heights(x)
      return box(x - 0.25, from - 1, x + 0.25, (from + to) / 2)
    })
    for (const share of NOTCHES) {
      const x = chord * share
      for (const y of heights(x)) tools.push(box(x - 0.3, y - 0.4, x + 0.3, y + 0.4))
    }
    for (const share of HOLES) {
      const [from, to] = heights(chord * share)
      const radius = (to - from) / 4
      const segments = Math.ceil((2 * Math.PI) / (2 * Math.acos(1 - 0.01 / radius)))
      tools.push(
        transforms.translate(
          [chord * share, (from + to) / 2],
          primitives.circle({ radius, segments }),
        ),
      )
    }
    const rib = booleans.subtract(shape, ...tools)
    ribs.push(rib)
    const d = geometries.geom2
      .toOutlines(rib)
      .map((loop) => `M${loop.map(([x, y]) => `${x.toFixed(3)} ${(-y).toFixed(3)}`).join('L')}Z`)
      .join('')
    paths.push(`<g class="piece" id="WR-${i + 1}"><path class="cut" d="${d}"/></g>`)
  }
  return { ribs, svg: `<svg xmlns="http://www.w3.org/2000/svg" width="216mm" height="279mm">${paths.join('')}</svg>` }
}

export function jscadArea({ ribs }) {
  const { measureArea } = require('@jscad/modeling').measurements
  return ribs.reduce((sum, rib) => sum + measureArea(rib), 0)
}
