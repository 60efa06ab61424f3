import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import type { Scale } from './scale'

/**
 * The bench a model is being built for: its scale and what its stocks measure. It is set around the evaluation of a
 * model ({@link onBench}) so that an author's function can write `full.m(0.9)` without being handed a scale, and it
 * notes every figure that is read, so that a revision can say which pieces a changed figure touches.
 */
export interface Bench {
  readonly scale: Scale
  /** Millimetres of one ply. @throws FindingError for a name that is not among the model's stocks */
  thickness(stock: string): number
  /** By how many mm, on the subject, some of the survey's dimensions stand off what the survey says; by name. */
  readonly moved?: ReadonlyMap<string, number>
}

let current: Bench | undefined
let readings: Set<string> | undefined

/** Runs `work` with the bench set; benches nest, and the one before comes back whatever happens. */
export function onBench<T>(bench: Bench, work: () => T): T {
  const before = current
  current = bench
  try {
    return work()
  } finally {
    current = before
  }
}

/**
 * Remembers what is set now; the function returned puts it back. For work that V8 itself cuts off, which skips every
 * `finally` on its way out.
 */
export function keepBench(): () => void {
  const [bench, read] = [current, readings]
  return () => {
    current = bench
    readings = read
  }
}

/**
 * Runs `work` and returns with its result the names of the figures it read, sorted. Inner readings count outside too.
 */
export function recording<T>(work: () => T): { result: T; read: string[] } {
  const before = readings
  const mine = new Set<string>()
  readings = mine
  try {
    const result = work()
    return { result, read: [...mine].toSorted() }
  } finally {
    readings = before
    if (before) for (const name of mine) before.add(name)
  }
}

/** Notes that a figure was read: `scale`, `stock:folder.thickness`, `dimension:span`. */
export function record(name: string): void {
  readings?.add(name)
}

/** By how much a dimension stands off what the survey says on this bench, mm on the subject. */
export function movedBy(dimension: string): number {
  return current?.moved?.get(dimension) ?? 0
}

export function requireBench(what: string): Bench {
  if (current) return current
  const site = resolveSite(callSite())
  throw new FindingError({
    id: 'no-bench',
    severity: 'error',
    text: `${what} was turned into millimetres outside the model, where no scale is known`,
    remedy: "move the shape or the calculation inside the family's or the model's function",
    ...(site && { site }),
  })
}
