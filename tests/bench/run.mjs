// npm run bench: the figures this project holds itself to, one JSON line each. Ratios within one run, seeded input, a
// checksum of what was made. Needs a build (`npm run bench` makes one).
import { execFileSync, spawn, spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { view } from './view.mjs'
import { checksum, machine, paired, report, spread, timed } from './measure.mjs'
import { diffed, manifests } from './diff.mjs'
import { hullSections, interlocked, plates, skinned } from './craft.mjs'
import { builtModel, fit as fitted, prepareFit, slabs } from './fit.mjs'
import { impact } from './impact.mjs'
import { jscadArea, jscadRibs, ourArea, ourRibs } from './ribs.mjs'

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..', '..')
const BIN = join(ROOT, 'dist', 'cli', 'bin.js')
const only = process.argv.slice(2)

const benches = { ribs, craft, cold, watch, many, diff, pdf, view: () => view(ROOT), impact: () => report(impact(ROOT, BIN)), book, fit }

report({ name: 'machine', ...machine() })
for (const [name, bench] of Object.entries(benches)) {
  if (only.length === 0 || only.includes(name)) await bench()
}

/** 200 wing ribs evaluated and written as SVG, against the same ribs by jscad's booleans and a string by hand. */
function ribs() {
  const count = 200
  const ours = ourRibs(count)
  const theirs = jscadRibs(count)
  const { a, b, ratio, cpu } = paired(
    () => jscadRibs(count),
    () => ourRibs(count),
    { repeatB: 30 },
  )
  const [area, wanted] = [ourArea(ours), jscadArea(theirs)]
  report({
    name: 'ribs',
    wanted: 'at least 50 times faster than jscad',
    ratio,
    ours: b,
    jscad: a,
    cpu: { ratio: cpu.ratio, ours: cpu.b, jscad: cpu.a },
    unit: 'ms',
    areaDifference: Number((Math.abs(area - wanted) / wanted).toExponential(2)),
    checksum: checksum(ours.svg),
  })
}

/** All that is said of the fit of the flying boat, and of slabs that cross each other. */
async function fit() {
  const kernel = await prepareFit()
  const boat = builtModel(join(ROOT, 'out', 'sandpiper', 'manifest.json'))
  const told = ({ median, least, most }) => ({ median, least, most })
  if (boat) {
    const time = timed(() => fitted(boat, kernel), { runs: 3, warmUp: 1 })
    report({ name: 'fit', wanted: 'the flying boat in under 3 s', time: told(time), unit: 'ms', pieces: boat.pieces.length })
  }
  const [few, many] = [slabs(500), slabs(1000)]
  const half = timed(() => fitted(few, kernel), { runs: 3, warmUp: 1 })
  const whole = timed(() => fitted(many, kernel), { runs: 3, warmUp: 1 })
  report({
    name: 'fit-slabs',
    wanted: '1,000 slabs with 5,000 near pairs in under 2 s, near linear',
    time: told(whole),
    unit: 'ms',
    clashes: fitted(many, kernel).length,
    ratioToHalf: Number((whole.median / half.median).toFixed(2)),
  })
}

/** Interlocking and developing, as times and as ratios to the 200 ribs. */
function craft() {
  const plain = plates()
  const sections = hullSections()
  const ribsTime = timed(() => ourRibs(200), { runs: 5, warmUp: 3 })
  const lock = timed(() => interlocked(plain), { runs: 15, warmUp: 5 })
  const skin = timed(() => skinned(sections), { runs: 15, warmUp: 5 })
  const told = ({ median, least, most }) => ({ median, least, most })
  report({
    name: 'interlock',
    wanted: '40 ribs by 3 spars in under 50 ms',
    time: told(lock),
    unit: 'ms',
    ratioToRibs: Number((lock.median / ribsTime.median).toFixed(3)),
    crossings: lock.result.crossings.length,
    checksum: checksum(JSON.stringify(lock.result.first.map(({ outline }) => outline))),
  })
  report({
    name: 'skin',
    wanted: 'a hull skin over 24 frames in under 100 ms',
    time: told(skin),
    unit: 'ms',
    ratioToRibs: Number((skin.median / ribsTime.median).toFixed(3)),
    panels: skin.result.length,
    checksum: checksum(JSON.stringify(skin.result.map(({ flat }) => flat.outline))),
  })
}

/** Two manifests of 2,000 pieces compared, every overlay drawn: one piece in ten another shape, and all of them. */
function diff() {
  for (const every of [10, 1]) {
    const texts = manifests(2000, every)
    const { median, least, most, result } = timed(() => diffed(texts), { runs: 3, warmUp: 1 })
    report({
      name: every === 1 ? 'diff-all' : 'diff',
      wanted: 'under 1 s with all overlays',
      time: { median, least, most },
      unit: 'ms',
      overlays: result.files.length,
      checksum: checksum(result.files.map(({ content }) => content).join('')),
    })
  }
}

/** Builds of both demos, without a cache and with nothing changed, against `ts-node` (transpile only, swc) on an empty file. */
function cold() {
  const folder = mkdtempSync(join(tmpdir(), 'cardwright-bench-'))
  const empty = join(folder, 'empty.ts')
  writeFileSync(empty, '')
  symlinkSync(join(ROOT, 'node_modules'), join(folder, 'node_modules'))
  const tsNode = join(ROOT, 'node_modules', 'ts-node', 'dist', 'bin.js')
  const out = join(folder, 'out')
  const run = (args, cwd = ROOT) => {
    const { status, stderr } = spawnSync(process.execPath, args, { cwd, encoding: 'utf8' })
    if (status !== 0) throw new Error(stderr)
  }
  // A build starts from the last layout, as on any day but the first; the first is measured apart.
  const start = process.hrtime.bigint()
  run([BIN, 'build', '--no-cache', '--out', out])
  const first = Number(process.hrtime.bigint() - start) / 1e6
  const { a, b, ratio } = paired(
    () => run([BIN, 'build', '--no-cache', '--out', out]),
    () => run([tsNode, '--transpileOnly', '--swc', empty], folder),
  )
  // The first of these leaves the cache behind, so that the ones measured find that nothing has changed.
  const unchanged = paired(
    () => run([BIN, 'build', '--out', out]),
    () => run([tsNode, '--transpileOnly', '--swc', empty], folder),
  )
  report({
    name: 'cold',
    wanted: 'at most 4 times ts-node on an empty file',
    ratio,
    build: a,
    tsNode: b,
    firstBuild: Math.round(first),
    unit: 'ms',
    checksum: checksum(readFileSync(join(out, 'sandpiper', 'manifest.json'))),
  })
  report({
    name: 'unchanged',
    wanted: 'a build with nothing changed at most 1.5 times ts-node on an empty file',
    ratio: unchanged.ratio,
    build: unchanged.a,
    tsNode: unchanged.b,
    unit: 'ms',
  })
  rmSync(folder, { recursive: true })
}

/** A rebuild under --watch after an edit to one family, against a cold build of the same. */
async function watch() {
  const folder = mkdtempSync(join(tmpdir(), 'cardwright-bench-'))
  cpSync(join(ROOT, 'parts'), join(folder, 'parts'), { recursive: true })
  cpSync(join(ROOT, 'package.json'), join(folder, 'package.json'))
  const page = join(folder, 'parts', 'sandpiper', 'tail.ts')
  const source = readFileSync(page, 'utf8')
  const build = () => execFileSync(process.execPath, [BIN, 'build', '--no-types', '--no-cache'], { cwd: folder, stdio: 'pipe' })
  build()
  const colds = Array.from({ length: 3 }, () => {
    const start = process.hrtime.bigint()
    build()
    return Number(process.hrtime.bigint() - start) / 1e6
  })
  const child = spawn(process.execPath, [BIN, 'build', '--watch', '--no-types'], { cwd: folder })
  let wake = () => {}
  let seen = ''
  child.stdout.on('data', (data) => {
    seen += data
    if (seen.includes('waiting for changes')) wake()
  })
  const built = () =>
    new Promise((resolve) => {
      if (seen.includes('waiting for changes')) return resolve()
      wake = resolve
    })
  await built()
  const times = []
  for (let i = 0; i < 7; i++) {
    await new Promise((resolve) => setTimeout(resolve, 300))
    seen = ''
    const start = process.hrtime.bigint()
    writeFileSync(page, source.replace('full.m(3.45)', `full.m(${3.4 - i / 100})`))
    await built()
    times.push(Number(process.hrtime.bigint() - start) / 1e6)
  }
  child.kill()
  const rebuild = spread(times.slice(1))
  const coldBuild = spread(colds)
  report({
    name: 'watch',
    wanted: 'at most a fifth of the cold build',
    ratio: spread(times.slice(1).map((time) => time / coldBuild.median)),
    rebuild,
    coldBuild,
    unit: 'ms',
    checksum: checksum(readFileSync(join(folder, 'out', 'sandpiper', 'manifest.json'))),
  })
  rmSync(folder, { recursive: true })
}

/** 2,000 and 20,000 pieces from functions to sheets, each in a process of its own for its peak memory. */
function many() {
  const run = (count) => {
    const { stdout, stderr, status } = spawnSync(process.execPath, [join(ROOT, 'tests', 'bench', 'many.mjs'), String(count)], {
      encoding: 'utf8',
      maxBuffer: 1 << 26,
    })
    if (status !== 0) throw new Error(stderr)
    return JSON.parse(stdout)
  }
  const rows = Array.from({ length: 3 }, () => ({ small: run(2000), large: run(20000) }))
  const times = rows.map(({ small, large }) => large.ms / small.ms)
  report({
    name: 'many',
    wanted: 'at most 12 times the time for 10 times the pieces, under 1000 MB',
    ratio: spread(times),
    small: spread(rows.map(({ small }) => small.ms)),
    large: spread(rows.map(({ large }) => large.ms)),
    unit: 'ms',
    peakMB: spread(rows.map(({ large }) => large.peakMB)),
    sheets: rows[0].large.sheets,
    checksum: rows[0].large.checksum,
  })
}

/** Both demos with their PDFs, against the same build without, each cold and from the last layout. */
function pdf() {
  const folder = mkdtempSync(join(tmpdir(), 'cardwright-bench-'))
  const build = (name, ...words) => {
    const args = [BIN, 'build', '--no-types', '--no-cache', '--out', join(folder, name), ...words]
    const { status, stderr } = spawnSync(process.execPath, args, { cwd: ROOT, encoding: 'utf8' })
    if (status !== 0) throw new Error(stderr)
  }
  build('plain')
  build('pdf', '--pdf')
  const { a, b, ratio } = paired(
    () => build('pdf', '--pdf'),
    () => build('plain'),
    { runs: 3 },
  )
  report({
    name: 'pdf',
    wanted: 'at most twice the build of the SVG alone',
    ratio,
    pdf: a,
    svg: b,
    unit: 'ms',
    checksum: checksum(readFileSync(join(folder, 'pdf', 'sandpiper', 'pdf', 'folder.pdf'))),
  })
  rmSync(folder, { recursive: true })
}

/** The build book of a model of 5,400 pieces, as PDF and HTML, in a process of its own for its peak memory. */
function book() {
  const script = join(ROOT, 'tests', 'bench', 'book.mjs')
  const { pages, seconds, megabytes, htmlBytes, checksum: sum } = JSON.parse(execFileSync(process.execPath, [script], { encoding: 'utf8' }))
  report({
    name: 'book',
    wanted: '300 pages in under 60 s and 500 MB',
    pages,
    time: seconds,
    unit: 's',
    megabytes,
    htmlBytes,
    checksum: sum,
  })
}
