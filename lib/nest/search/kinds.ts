import { remembered } from '../../memo/remember'
import { signedArea } from '../turn'
import type { NestPiece } from '../nest'
import { prepareShape, type Shape } from './shape'

/** Pieces and the shape each has; pieces that are alike share one. */
export interface Kinds {
  readonly shapes: readonly Shape[]
  /** By piece, in the order given. */
  readonly shapeOf: readonly number[]
}

/** Makes the pieces ready for the search. Openings that not even the smallest of them could use are filled. */
export function kindsOf(pieces: readonly NestPiece[], gap: number): Kinds {
  const leastOpening = pieces.reduce((least, { outline }) => Math.min(least, Math.abs(signedArea(outline))), Infinity)
  const known = new Map<string, number>()
  const shapes: Shape[] = []
  const shapeOf = pieces.map(({ outline, openings, turns }) => {
    const key = JSON.stringify([outline, openings, turns])
    const found = known.get(key)
    if (found !== undefined) return found
    const options = { gap, slack: SLACK, growth: GROWTH, leastOpening }
    const input = () => `${JSON.stringify(options)} ${key}`
    const prepared = () => remembered('nesting shape', input, () => prepareShape(outline, openings, turns, options))
    known.set(key, shapes.length)
    return shapes.push(prepared()) - 1
  })
  return { shapes, shapeOf }
}

/** How far the search's outlines may stand off the true ones, mm: little against any gap that a knife needs. */
const SLACK = 0.1

/** Share of its area by which an outline may grow. */
const GROWTH = 0.01
