/** How a picture is drawn: the finest is what stays when nothing moves. */
export interface Quality {
  /** Share of the points of the screen, along each side. */
  readonly scale: number
  readonly edges: boolean
  /** With few triangles. */
  readonly coarse: boolean
}

export const FINEST: Quality = { scale: 1, edges: true, coarse: false }

/** Twice the points, which smooths edges where the browser cannot do it by itself. */
export const SMOOTH: Quality = { ...FINEST, scale: 2 }

/** What is given up for speed while the model moves, step by step. */
const LEVELS: readonly Quality[] = [
  FINEST,
  { scale: 0.7, edges: true, coarse: false },
  { scale: 0.5, edges: false, coarse: false },
  { scale: 0.5, edges: false, coarse: true },
  { scale: 0.34, edges: false, coarse: true },
]

/** Frames that take longer are too slow to follow, ms; those that take less leave room for a finer picture. */
const SLOW = 50
const QUICK = 20
/** So many quick ones in a row, or it would go to and fro. */
const STEADY = 30

/** Finds the finest quality that keeps a moving picture smooth, from the time that frames take. */
export interface Pace {
  /** For the next frame of a moving picture. */
  readonly quality: Quality
  /** @param time of a frame drawn at that quality, ms */
  took(time: number): void
}

/** @param slow whether the machine is known to draw slowly: then it begins rough */
export function createPace(slow: boolean): Pace {
  let level = slow ? 3 : 0
  let quick = 0
  return {
    get quality() {
      return LEVELS[level]!
    },
    took(time) {
      quick = time < QUICK ? quick + 1 : 0
      if (time > SLOW) level = Math.min(LEVELS.length - 1, level + (time > 4 * SLOW ? 2 : 1))
      if (quick < STEADY || level === 0) return
      level--
      quick = 0
    },
  }
}
