import { createHash } from 'node:crypto'

/**
 * What pure stages gave for the same input in the build before, so that a watch works out only what an edit touched.
 * It can change no result: the key is the whole input.
 */
export interface Recall {
  /** `make()`, or what it gave last time for an input that reads the same as JSON. */
  get<T>(stage: string, input: unknown, make: () => T): T
  /** Forgets what has not been asked for since the last call. */
  turnOver(): void
}

export function createRecall(): Recall {
  let before = new Map<string, unknown>()
  let now = new Map<string, unknown>()
  return {
    get<T>(stage: string, input: unknown, make: () => T): T {
      const key = `${stage} ${createHash('sha256').update(JSON.stringify(input)).digest('base64')}`
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

/** For a build that is done once: nothing is kept, and no key is worked out. */
export const NO_RECALL: Recall = { get: (_stage, _input, make) => make(), turnOver() {} }
