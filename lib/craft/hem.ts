import type { Finding } from '../finding/finding'
import { inMm } from './figure'
import { type Flat, type FlatScore, type Fold, plainFlat, rectangleLoop } from './flat'
import { type Bend, bendAllowance } from './fold'

/**
 * An edge turned back on itself by 180°: single, or double with the raw edge hidden inside. The card folds round the
 * inside radius of its score, so that a gap of 2R stays open in it.
 */
export interface Hem {
  readonly kind: 'single' | 'double'
  /** Size of the leg that is hemmed, from its far edge to the outermost line of the finished hem. */
  readonly leg: number
  /** Width of the turned-back part, from the outermost line to its edge. */
  readonly hem: number
  readonly width: number
  readonly bend: Bend
  /** The side the edge is turned to: a valley turns it over the printed side. */
  readonly fold: Fold
}

/**
 * Flat blank of a hemmed strip, along x from the far edge. The outermost line stands R + t beyond where the bend
 * begins, so a single hem needs leg + hem − 2(R + t) + π(R + K·t). The second turn of a double hem lies round the first
 * leaf, which opens its radius to R + t/2; its hidden leaf stops short of that turn.
 */
export function hemmedStrip(spec: Hem): { flat: Flat; length: number; findings: Finding[] } {
  const { bend, hem, leg, width, fold } = spec
  const outer = spec.kind === 'double' ? { ...bend, radius: bend.radius + bend.thickness / 2 } : bend
  const turns = spec.kind === 'double' ? [outer, bend] : [outer]
  const taken = turns.reduce((sum, turn) => sum + reach(turn), 0)
  const scores: FlatScore[] = []
  let x = leg - reach(outer)
  for (const turn of turns) {
    const allowance = bendAllowance(180, turn)
    const at = x + allowance / 2
    const line = [[at, 0] as const, [at, width] as const]
    scores.push({ fold, line, angle: 180 })
    x += allowance + hem - taken
  }
  const findings = hem > taken && leg > reach(outer) ? [] : [narrowHem(Math.min(hem, leg), taken)]
  return { flat: plainFlat(rectangleLoop(x, width), { scores, grain: 90 }), length: x, findings }
}

/** How far the outermost line of a turn stands beyond the beginning of its bend. */
function reach(bend: Bend): number {
  return bend.radius + bend.thickness
}

function narrowHem(hem: number, taken: number): Finding {
  return {
    id: 'narrow-hem',
    severity: 'error',
    text: `a hem of ${inMm(hem)}, its folds alone take up ${inMm(taken)}`,
    remedy: 'make the hem wider or take a thinner stock',
    found: hem,
    wanted: taken,
  }
}
