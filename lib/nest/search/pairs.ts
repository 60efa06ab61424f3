import { Pair } from './pair'
import type { Shape } from './shape'

/** The pairs of shapes that have met so far, each made when first asked for. Only the difference of turns counts. */
export class Pairs {
  private readonly shapes: readonly Shape[]
  private readonly resolution: number
  private made = new Map<string, Pair>()

  /** @param resolution of the tables: fine where few pairs are asked often, coarse where many are asked little */
  constructor(shapes: readonly Shape[], resolution: number) {
    this.shapes = shapes
    this.resolution = resolution
  }

  between(first: number, second: number, turn: number): Pair {
    const key = `${first} ${second} ${Math.round((((turn % 360) + 360) % 360) * 1e6)}`
    const known = this.made.get(key)
    if (known) return known
    if (this.made.size >= MOST_PAIRS) this.made = new Map()
    const pair = new Pair(this.shapes[first]!.parts(), this.shapes[second]!.parts(), turn, this.resolution)
    this.made.set(key, pair)
    return pair
  }
}

/** Bounds the memory: a pair takes some 10 to 20 kB. */
const MOST_PAIRS = 12_000
