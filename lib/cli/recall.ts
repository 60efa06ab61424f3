import type { Remembering } from '../memo/remember'
import { digest } from './cache/store'

/**
 * What pure work gave for the same input, in this build or the one before, so that a watch works out only what an edit
 * touched. It can change no result: the key is the whole input.
 */
export interface Recall extends Remembering {
  /** Forgets what has not been asked for since the last call. */
  turnOver(): void
}

export function createRecall(): Recall {
  let before = new Map<string, unknown>()
  let now = new Map<string, unknown>()
  return {
    get<T>(work: string, input: string, make: () => T): T {
      const key = `${work} ${digest(input)}`
      const known = now.has(key) ? now : before.has(key) ? before : undefined
      const result = known ? (known.get(key) as T) : make()
      now.set(key, result)
      return result
    },
    turnOver() {
      before = now
      now = new Map()
    },
  }
}
