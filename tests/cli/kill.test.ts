import { spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { beforeAll, expect, test } from 'vitest'
import { finishBuilds } from '../../lib/cli/write'
import { buildCommand, contents, emptyFolder } from '../helpers/command'

beforeAll(buildCommand)

/** Writes one build after the other, as fast as it can, each of its own number of sheets. */
const WRITER = `
const { writeBuild } = require(process.argv[1])
for (let n = 0; ; n++) {
  const files = [{ path: 'manifest.json', content: JSON.stringify({ n, sheets: 1 + n % 7 }) }]
  for (let i = 0; i <= n % 7; i++) files.push({ path: 'sheets/folder-' + (i + 1) + '.svg', content: n + '.' + i })
  writeBuild(process.argv[2], files)
  if (n === 0) process.stdout.write('begun')
}`

test('killed at any moment, the folder holds one whole build once the next command has looked at it', async () => {
  const out = emptyFolder()
  const folder = join(out, 'tug')
  for (let kill = 0; kill < 200; kill++) {
    const writer = spawn(process.execPath, ['-e', WRITER, join(__dirname, '../../dist/cli/write.js'), folder])
    await new Promise((resolve) => writer.stdout.once('data', resolve))
    const ended = new Promise((resolve) => writer.once('exit', resolve))
    setTimeout(() => writer.kill('SIGKILL'), (kill * 7) % 23)
    await ended
    finishBuilds(out)
    const { n, sheets } = JSON.parse(readFileSync(join(folder, 'manifest.json'), 'utf8')) as {
      n: number
      sheets: number
    }
    const wanted = Array.from({ length: sheets }, (_, i) => [`folder-${i + 1}.svg`, `${n}.${i}`])
    expect(contents(join(folder, 'sheets'))).toEqual(Object.fromEntries(wanted))
  }
})
