import { spawn } from 'node:child_process'
import { existsSync, mkdtempSync, readFileSync, rmSync, utimesSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { holdLock } from '../../lib/cli/lock'

let folder: string

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'lock-'))
})
afterEach(() => rmSync(folder, { recursive: true, force: true }))

test('a lock names its process and goes when it is released', () => {
  const release = holdLock(folder)
  expect(readFileSync(join(folder, 'lock'), 'utf8')).toBe(String(process.pid))
  release()
  expect(existsSync(join(folder, 'lock'))).toBe(false)
})

test("a living process's lock is respected, a dead one's is taken over", async () => {
  const other = spawn(process.execPath, ['-e', 'setTimeout(() => {}, 60000)'])
  const ended = new Promise((resolve) => other.on('exit', resolve))
  writeFileSync(join(folder, 'lock'), String(other.pid))
  expect(() => holdLock(folder, 50)).toThrow(expect.objectContaining({ code: 'ELOCKED' }))
  expect(readFileSync(join(folder, 'lock'), 'utf8')).toBe(String(other.pid))
  other.kill()
  await ended
  holdLock(folder, 50)
  expect(readFileSync(join(folder, 'lock'), 'utf8')).toBe(String(process.pid))
})

test('an unsigned lock is given time to be signed', () => {
  writeFileSync(join(folder, 'lock'), '')
  expect(() => holdLock(folder, 50)).toThrow(expect.objectContaining({ code: 'ELOCKED' }))
  const past = new Date('2001-01-01T00:00:00Z')
  utimesSync(join(folder, 'lock'), past, past)
  holdLock(folder, 50)
  expect(readFileSync(join(folder, 'lock'), 'utf8')).toBe(String(process.pid))
})
