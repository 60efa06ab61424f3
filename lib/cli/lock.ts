import { mkdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

/**
 * Waits until no other process works in the folder, then keeps others out until the function returned is called. The
 * lock is a file with the process's number; that of a process which is gone is taken over.
 *
 * @throws Error with code ELOCKED when another process holds it for longer than `patience`, ms
 */
export function holdLock(folder: string, patience = PATIENCE): () => void {
  const lock = join(folder, 'lock')
  const giveUp = Date.now() + patience
  while (!taken(folder, lock)) {
    if (takenOver(lock)) continue
    if (Date.now() > giveUp) throw Object.assign(new Error(`${lock} is held`), { code: 'ELOCKED', path: lock })
    Atomics.wait(NEVER, 0, 0, PAUSE)
  }
  return () => rmSync(lock, { force: true })
}

const PATIENCE = 10_000
const PAUSE = 20
const NEVER = new Int32Array(new SharedArrayBuffer(4))

function taken(folder: string, lock: string): boolean {
  try {
    mkdirSync(folder, { recursive: true })
    writeFileSync(lock, String(process.pid), { flag: 'wx' })
    return true
  } catch (error) {
    // ENOENT: whoever had it has just removed the folder.
    const { code, syscall } = error as NodeJS.ErrnoException
    // Whoever had it may have let it go by now, so that there need not be a file any more.
    if ((code === 'EEXIST' && syscall === 'open' && !isFolder(lock)) || code === 'ENOENT') return false
    throw error
  }
}

/** Takes away a dead process's lock. Of several that try, the rename lets one do it. */
function takenOver(lock: string): boolean {
  const owner = ownerOf(lock)
  if (owner === undefined || (owner === UNSIGNED ? isYoung(lock) : isAlive(owner))) return false
  const aside = `${lock}-${process.pid}`
  try {
    renameSync(lock, aside)
  } catch {
    return false
  }
  if (ownerOf(aside) === owner) rmSync(aside, { force: true })
  else renameSync(aside, lock) // Another was quicker, and this is its own, new lock.
  return true
}

/** A lock is made and signed in two steps, and a process can be killed between them. */
const UNSIGNED = 0
const SIGNING_TIME = 1000

function ownerOf(lock: string): number | undefined {
  try {
    const owner = Number(readFileSync(lock, 'utf8'))
    return Number.isInteger(owner) && owner > 0 ? owner : UNSIGNED
  } catch {
    return undefined
  }
}

function isYoung(lock: string): boolean {
  try {
    return Date.now() - statSync(lock).mtimeMs < SIGNING_TIME
  } catch {
    return true
  }
}

function isAlive(owner: number): boolean {
  if (owner === process.pid) return false
  try {
    process.kill(owner, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
}

function isFolder(path: string): boolean {
  return statSync(path, { throwIfNoEntry: false })?.isDirectory() === true
}
