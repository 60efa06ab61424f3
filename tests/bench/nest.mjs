/**
 * Nests published instances on a strip for a given time and prints one JSON line each.
 *
 *   node tests/bench/nest.mjs --instances DIR --seconds N [--seed S] [--out DIR] [--only NAME] [--workers N]
 *
 * Needs a build (`npm run build`). Every worker searches with its own seed; the shortest layout counts.
 */
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { performance } from 'node:perf_hooks'
import { parseArgs } from 'node:util'
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads'

const require = createRequire(import.meta.url)
const dist = process.env.NEST_DIST ?? '../../dist'

/** Seconds kept back for starting workers and writing down: the time told is wall time. */
const MARGIN = 0.6

if (isMainThread) await main()
else parentPort.postMessage(search(workerData), [])

async function main() {
  const { values } = parseArgs({
    options: {
      instances: { type: 'string' },
      seconds: { type: 'string', default: '60' },
      seed: { type: 'string', default: '1' },
      out: { type: 'string' },
      only: { type: 'string' },
      workers: { type: 'string', default: '2' },
    },
  })
  if (!values.instances) throw new Error('--instances DIR is wanted: a folder of JSON instances')
  const seconds = positive('--seconds', values.seconds)
  const seed = whole('--seed', values.seed)
  const workers = positive('--workers', values.workers)
  if (values.out) mkdirSync(values.out, { recursive: true })
  for (const file of readdirSync(values.instances).filter((name) => name.endsWith('.json')).toSorted()) {
    const instance = JSON.parse(readFileSync(join(values.instances, file), 'utf8'))
    if (values.only && instance.name !== values.only) continue
    const start = performance.now()
    const results = await Promise.all(
      Array.from({ length: workers }, (_, i) => inWorker({ instance, seconds, seed: seed + i * 1000 })),
    )
    const best = results.reduce((a, b) => (b.length < a.length ? b : a))
    const line = {
      name: instance.name,
      density: round((100 * instance.totalArea) / (instance.stripWidth * best.length), 3),
      length: round(best.length, 6),
      seconds: round((performance.now() - start) / 1000, 2),
      valid: isValid(instance, best),
    }
    const { meanDensity, bestDensity } = instance.published ?? {}
    console.log(JSON.stringify(line))
    if (!line.valid) process.exitCode = 1
    const wanted = meanDensity ?? bestDensity
    if (wanted && process.stderr.isTTY) console.error(`  ${round(wanted - line.density, 2)} points short of ${wanted}`)
    if (values.out) {
      const layout = { name: instance.name, length: best.length, placements: best.placements }
      writeFileSync(join(values.out, `${instance.name}.json`), `${JSON.stringify(layout)}\n`)
    }
  }
}

function inWorker(data) {
  return new Promise((resolve, reject) => {
    const worker = new Worker(new URL(import.meta.url), { workerData: data })
    worker.once('message', resolve)
    worker.once('error', reject)
  })
}

function search({ instance, seconds, seed }) {
  const start = performance.now()
  const { nestStrip } = require(`${dist}/nest/strip.js`)
  return nestStrip({
    width: instance.stripWidth,
    pieces: instance.pieces.map(({ count, rotations, outline }) => ({ count, turns: rotations, outline })),
    seed,
    spent: () => (performance.now() - start) / (1000 * (seconds - MARGIN)),
  })
}

/** By the exact test that builds use, with a tolerance that fits the size of the instance. */
function isValid(instance, { length, placements }) {
  const { verifyLayout, faultText } = require(`${dist}/nest/verify.js`)
  const pieces = placements.map(({ piece }, i) => ({
    id: `${piece}#${i}`,
    outline: instance.pieces[piece].outline,
    openings: [],
    turns: instance.pieces[piece].rotations,
    group: '',
  }))
  const area = { minX: 0, minY: 0, maxX: length, maxY: instance.stripWidth }
  const request = { pieces, sheet: { width: length, height: instance.stripWidth, area }, gap: 0 }
  const placed = placements.map(({ rotation, x, y }, i) => ({ id: pieces[i].id, sheet: 0, x, y, turn: rotation }))
  const result = { placements: placed, unplaced: [], sheets: 1 }
  const faults = verifyLayout(request, result, 1e-7 * instance.stripWidth)
  for (const fault of faults.slice(0, 3)) console.error(`  ${instance.name}: ${faultText(fault)}`)
  const counts = new Map()
  for (const { piece } of placements) counts.set(piece, (counts.get(piece) ?? 0) + 1)
  return faults.length === 0 && instance.pieces.every(({ count }, piece) => counts.get(piece) === count)
}

function positive(option, text) {
  const value = Number(text)
  if (!(value > 0)) throw new Error(`${option} ${text}: a number above 0 is wanted`)
  return value
}

function whole(option, text) {
  const value = Number(text)
  if (!Number.isInteger(value)) throw new Error(`${option} ${text}: a whole number is wanted`)
  return value
}

function round(value, decimals) {
  return Number(value.toFixed(decimals))
}
