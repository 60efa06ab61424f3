// What looking at the fit costs: the flying boat, from the manifest that the last build left, and slabs in a grid that
// cross each other.
import { existsSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'

const require = createRequire(import.meta.url)
const { fitFindings, prepareFit } = require('../../dist/fit/index.js')
const { catalogue } = require('../../dist/index.js')

/** The model of a committed build, as far as fit asks; undefined where there is none. */
export function builtModel(file) {
  if (!existsSync(file)) return undefined
  const { pieces, stocks, relations = [] } = JSON.parse(readFileSync(file, 'utf8'))
  return { pieces, relations, stocks: new Map(stocks.map((stock) => [stock.id, stock])) }
}

/** Upright slabs in rows, each crossed by five others that lie slotted or not across it: so many slabs, five pairs each. */
export function slabs(count) {
  const half = count / 2
  const slab = (mark, origin, right) => ({
    mark,
    family: 'A',
    side: '',
    station: 1,
    assembly: '',
    stock: 'divider',
    plies: 1,
    copies: 1,
    outline: [
      [0, 0],
      [59, 0],
      [59, 20],
      [0, 20],
    ],
    openings: [],
    scores: [],
    lines: [],
    texts: [],
    reads: [],
    notes: [],
    pose: { origin, right, up: [0, 0, 1] },
  })
  const pieces = Array.from({ length: half }, (_, i) => {
    const [block, k] = [Math.floor(i / 10), i % 10]
    const [x, y] = [(block % 20) * 70, Math.floor(block / 20) * 70]
    return [
      slab(`X-${i}`, [x, y + 3 + k * 5.5, 0], [1, 0, 0]),
      slab(`Y-${i}`, [x + 3 + k * 5.5, y, 19], [0, 1, 0]),
    ]
  }).flat()
  return { pieces, relations: [], stocks: new Map([['divider', catalogue.divider]]) }
}

export { prepareFit }

export function fit(model, kernel) {
  return fitFindings(model, kernel)
}
