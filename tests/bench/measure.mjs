// What every benchmark shares: seeded input, repeated runs with a warm-up, the spread, and a checksum of what came
// out, taken outside the clock, so that a change that only looks faster shows.
import { createHash } from 'node:crypto'
import os from 'node:os'

/** Runs `work` once unmeasured and then `runs` times; milliseconds as median, least and most, and the last result. */
export function timed(work, { runs = 5, warmUp = 1 } = {}) {
  let result
  for (let i = 0; i < warmUp; i++) result = work()
  const times = []
  for (let i = 0; i < runs; i++) {
    const start = process.hrtime.bigint()
    result = work()
    times.push(Number(process.hrtime.bigint() - start) / 1e6)
  }
  return { ...spread(times), result }
}

/**
 * The two in turn, A B A B, so that a machine that slows down slows both; the ratio is the median of the pairs'. Of a
 * quick one so many runs make one reading (`repeatB`), so that both take about as long, warming up too. Beside the
 * time on the clock there is the processor time of this process, which other programs disturb less.
 */
export function paired(a, b, { runs = 5, warmUp = 1, repeatB = 1 } = {}) {
  const readings = Array.from({ length: warmUp + runs }, () => ({ a: clock(a, 1), b: clock(b, repeatB) })).slice(warmUp)
  const measured = (kind) => ({
    a: spread(readings.map(({ a }) => a[kind])),
    b: spread(readings.map(({ b }) => b[kind])),
    ratio: spread(readings.map(({ a, b }) => a[kind] / b[kind])),
  })
  return { ...measured('wall'), cpu: measured('cpu') }
}

/** Milliseconds of one run, on the clock and of processor time. */
function clock(work, repeat) {
  const cpu = process.cpuUsage()
  const start = process.hrtime.bigint()
  for (let i = 0; i < repeat; i++) work()
  const wall = Number(process.hrtime.bigint() - start) / 1e6
  const { user, system } = process.cpuUsage(cpu)
  return { wall: wall / repeat, cpu: (user + system) / 1000 / repeat }
}

export function spread(values) {
  const sorted = values.toSorted((x, y) => x - y)
  const round = (x) => Number(x.toPrecision(4))
  return { median: round(sorted[Math.floor(sorted.length / 2)]), least: round(sorted[0]), most: round(sorted.at(-1)) }
}

export function checksum(...texts) {
  const hash = createHash('sha256')
  for (const text of texts) hash.update(text)
  return hash.digest('hex').slice(0, 16)
}

/** Machine facts, once a run. */
export function machine() {
  const [cpu] = os.cpus()
  return { node: process.version, cores: os.cpus().length, cpu: cpu?.model ?? 'unknown', platform: process.platform }
}

export function report(line) {
  console.log(JSON.stringify(line))
}
