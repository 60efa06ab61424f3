import { deserialize, serialize } from 'node:v8'
import type { Remembering } from '../memo/remember'
import { ownDigest } from './cache/own'
import { digest, NO_STORE, type Store } from './cache/store'
import type { OptionValues } from './options'
import type { ModelFile } from './project'

/**
 * What pure work gave for the same input, in this build or the one before, so that a build after an edit works out only
 * what the edit touched. It can change no result: the key is the whole input.
 *
 * A family as such is always evaluated again: its function may look at anything in reach (a table that another module
 * fills, a count kept from station to station), so that neither its source nor what it asked for says that nothing has
 * changed for it. What costs time in it is work of this kind, and that is kept.
 */
export interface Recall extends Remembering {
  /** Begins a build: forgets what has not been asked for since the last call. */
  turnOver(): void
  /** Keeps what the build asked for on disk, for the next command. */
  save(): void
}

/** Tells the results of one program for one model; at another scale or of other card next to none are the same. */
export function recallKey({ name, file }: ModelFile, { scale, stock }: OptionValues): string {
  return `recall ${ownDigest()} ${JSON.stringify([name, file, scale, stock])}`
}

/**
 * @param store where an earlier command left the results of its last good build
 * @param entry its key there
 */
export function createRecall(store: Store = NO_STORE, entry = ''): Recall {
  let before = new Map<string, unknown>()
  let now = new Map<string, unknown>()
  let kept: Bytes | undefined
  let grown = false
  const known = (): Bytes => (kept ??= readBytes(store, entry))
  return {
    get<T>(work: string, input: string, make: () => T): T {
      const key = `${work} ${digest(input)}`
      const found = now.has(key) ? now : before.has(key) ? before : undefined
      if (found) return found === now ? (now.get(key) as T) : take(key, before.get(key) as T)
      const bytes = known().get(key)
      if (bytes) return take(key, deserialize(bytes) as T)
      grown ||= !IN_MEMORY.has(work)
      return take(key, make())
    },
    turnOver() {
      before = now
      now = new Map()
    },
    save() {
      if (!grown) return
      const bytes = new Map<string, Uint8Array>()
      for (const [key, result] of now) {
        if (!IN_MEMORY.has(key.slice(0, key.lastIndexOf(' ')))) bytes.set(key, known().get(key) ?? serialize(result))
      }
      store.putBytes(entry, serialize(bytes))
      kept = bytes
      grown = false
    },
  }

  function take<T>(key: string, result: T): T {
    now.set(key, result)
    return result
  }
}

type Bytes = ReadonlyMap<string, Uint8Array>

function readBytes(store: Store, key: string): Bytes {
  const bytes = store.getBytes(key)
  return bytes ? (deserialize(bytes) as Bytes) : new Map()
}

/** Work whose results hold functions. */
const IN_MEMORY: ReadonlySet<string> = new Set(['nesting shape'])
