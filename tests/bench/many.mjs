// node many.mjs COUNT: so many pieces of sixty shapes from their function to the text of their sheets; prints JSON.
import { createRequire } from 'node:module'
import { checksum } from './measure.mjs'

const require = createRequire(import.meta.url)
const { bench, circle, family, full, model, naca, piece, rectangle, stations } = require('../../dist/index.js')
const { compileTexts } = require('./compiled.cjs')

const count = Number(process.argv[2])
const start = process.hrtime.bigint()
const { texts, sheets } = compileTexts(
  model('Many', { scale: 60 }, () =>
    family('P', stations.even(count, full.mm(0), full.mm(count)), (_, { number }) => {
      const size = 1 + (number % 20) / 20
      const kinds = [
        () => naca('2412', bench.mm(40 * size)),
        () => rectangle(bench.mm(18 * size), bench.mm(9)).filleted(bench.mm(1)),
        () => circle(bench.mm(9 * size)).minus(rectangle(bench.mm(6), bench.mm(4))),
      ]
      return piece({ stock: 'folder' }).outline(kinds[number % 3]())
    }),
  ),
)
const ms = Number(process.hrtime.bigint() - start) / 1e6
const peakMB = Math.round(process.resourceUsage().maxRSS / 1024)
console.log(JSON.stringify({ ms: Math.round(ms), peakMB, sheets: sheets[0].sheets, checksum: checksum(...texts) }))
