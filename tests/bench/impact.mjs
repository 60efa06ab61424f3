// What another value of one dimension does to the flying boat, against a cold build of it. By processor time as well: an
// impact is two evaluations and a comparison, a build also lays out and draws.
import { spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { checksum, paired } from './measure.mjs'

/** @param root folder of the project @param bin the built command */
export function impact(root, bin) {
  const folder = mkdtempSync(join(tmpdir(), 'cardwright-bench-'))
  const out = join(folder, 'out')
  const run = (...words) => {
    const { status, stdout, stderr } = spawnSync(process.execPath, [bin, ...words, '--out', out], { cwd: root, encoding: 'utf8' })
    if (status !== 0) throw new Error(stderr)
    return stdout
  }
  const build = () => run('build', 'sandpiper', '--no-types', '--no-cache')
  const ask = () => run('impact', 'span=24.9m', 'sandpiper', '--json')
  build()
  const told = ask()
  const { a, b, ratio } = paired(ask, build)
  rmSync(folder, { recursive: true })
  return {
    name: 'impact',
    wanted: 'at most 1.2 times a cold build of the flying boat from its last layout',
    ratio,
    impact: a,
    build: b,
    unit: 'ms',
    pieces: JSON.parse(told).models[0].pieces.length,
    checksum: checksum(told),
  }
}
