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

/** Starts a writer, kills it so many ms after its first build, and looks at what it has left. */
async function killAfter(delay: number): Promise<void> {
  const out = emptyFolder()
  const folder = join(out, 'tug')
  const writer = spawn(process.execPath, ['-e', WRITER, join(__dirname, '../../dist/cli/write.js'), folder])
  await new Promise((resolve) => writer.stdout.once('data', resolve))
  const ended = new Promise((resolve) => writer.once('exit', resolve))
  setTimeout(() => writer.kill('SIGKILL'), delay)
  await ended
  finishBuilds(out)
  const { n, sheets } = JSON.parse(readFileSync(join(folder, 'manifest.json'), 'utf8')) as { n: number; sheets: number }
  const wanted = Array.from({ length: sheets }, (_, i) => [`folder-${i + 1}.svg`, `${n}.${i}`])
  expect(contents(join(folder, 'sheets'))).toEqual(Object.fromEntries(wanted))
}

const KILLS = 200
const AT_ONCE = 4

test('killed at any of 200 moments, the folder holds one whole build once the next command has looked at it', async () => {
  for (let kill = 0; kill < KILLS; kill += AT_ONCE) {
    await Promise.all(Array.from({ length: AT_ONCE }, (_, i) => killAfter(((kill + i) * 7) % 23)))
  }
}, 400_000)
