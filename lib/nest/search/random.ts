/**
 * A seeded generator, the same on every machine: xoshiro128** by Blackman and Vigna (2018), its state filled by
 * the splitmix32 mixing step from one whole number.
 */
export class Random {
  private a: number
  private b: number
  private c: number
  private d: number

  constructor(seed: number) {
    let state = seed | 0
    const next = () => {
      state = (state + 0x9e3779b9) | 0
      let z = state
      z = Math.imul(z ^ (z >>> 16), 0x21f0aaad)
      z = Math.imul(z ^ (z >>> 15), 0x735a2d97)
      return z ^ (z >>> 15)
    }
    this.a = next()
    this.b = next()
    this.c = next()
    this.d = next() | 1
  }

  /** 32 random bits as a signed whole number. */
  bits(): number {
    const five = Math.imul(this.b, 5)
    const result = Math.imul((five << 7) | (five >>> 25), 9)
    const t = this.b << 9
    this.c ^= this.a
    this.d ^= this.b
    this.b ^= this.c
    this.a ^= this.d
    this.c ^= t
    this.d = (this.d << 11) | (this.d >>> 21)
    return result
  }

  /** At least 0 and less than 1. */
  unit(): number {
    return (this.bits() >>> 0) * 2 ** -32
  }

  between(least: number, most: number): number {
    return least + (most - least) * this.unit()
  }

  /** A whole number from 0 to below `count`. */
  index(count: number): number {
    return Math.floor(this.unit() * count)
  }

  /** Puts the first `count` entries into random order. */
  shuffle(list: Int32Array, count: number): void {
    for (let i = count - 1; i > 0; i--) {
      const j = this.index(i + 1)
      const kept = list[i]!
      list[i] = list[j]!
      list[j] = kept
    }
  }
}
