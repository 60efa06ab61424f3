import type { SourceFiles } from '../nodeLoader'
import { ownDigest } from './own'
import { changedSince, type Stands, standsOn, stillStands } from './stands'
import { digest, type Store } from './store'

/**
 * What commands found out about models, kept by all that it depends on. The inputs that are known beforehand make the
 * key; the files that loading the model turned out to read are kept with the result and compared on the way back.
 */
export interface Memory {
  /** What was found for these inputs, if nothing it stands on has changed since. */
  recall(what: string, inputs: unknown): unknown
  /** Keeps a result, which has to survive JSON, unless something that it stands on cannot be told. */
  remember(what: string, inputs: unknown, source: SourceFiles, result: unknown): void
}

export const NO_MEMORY: Memory = { recall: () => undefined, remember() {} }

/** @param since a moment before the first of the author's files was read, ms since 1970 */
export function createMemory(store: Store, since: number): Memory {
  return {
    recall(what, inputs) {
      const entry = store.get(keyOf(what, inputs)) as Entry | undefined
      return entry && stillStands(entry.stands) ? entry.result : undefined
    },
    remember(what, inputs, { files, folders, fathomed }, result) {
      if (!fathomed) return
      const stands = standsOn(files, folders)
      if (!changedSince(stands, since)) store.put(keyOf(what, inputs), { stands, result } satisfies Entry)
    },
  }
}

interface Entry {
  readonly stands: Stands
  readonly result: unknown
}

function keyOf(what: string, inputs: unknown): string {
  return `${what} ${ownDigest()} ${digest(JSON.stringify(inputs))}`
}
