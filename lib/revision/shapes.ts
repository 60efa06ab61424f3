import * as v from 'valibot'
import type { Finding } from '../finding/finding'
import type { Opening, Piece, Score } from '../model/piece'
import { loopLength } from '../shape/area'
import type { Loop, Polyline } from '../shape/point'

/**
 * What a logged piece was cut to: all that its fingerprint stands for, so that it can be compared with the model years
 * later, whether or not the build it came from is still to be had.
 */
export interface LoggedShape {
  readonly fingerprint: string
  readonly stock: string
  readonly plies: number
  readonly grain?: number
  readonly outline: Loop
  readonly openings: readonly Opening[]
  readonly scores: readonly Score[]
}

/** By fingerprint. */
export type LoggedShapes = ReadonlyMap<string, LoggedShape>

export function shapeOf(piece: Omit<Piece, 'site'> & { readonly fingerprint: string }): LoggedShape {
  const { fingerprint, stock, plies, grain, outline, openings, scores } = piece
  return { fingerprint, stock, plies, ...(grain !== undefined && { grain }), outline, openings, scores }
}

/** Millimetres of knife cut round one layer: its outline and its openings. */
export function cutLength({ outline, openings }: Pick<LoggedShape, 'outline' | 'openings'>): number {
  return openings.reduce((sum, { loop }) => sum + loopLength(loop), loopLength(outline))
}

/** A shape as a line of the file, with its line end. */
export function writeShape(shape: LoggedShape): string {
  return `${JSON.stringify(shape)}\n`
}

/**
 * Reads the shapes kept beside a logbook, one JSON object a line. A line that cannot be read costs its shape and no
 * more: it is a finding, for the pieces cut to it can then only be compared by fingerprint.
 *
 * @param file what the text was read from, for messages
 */
export function readShapes(text: string, file = 'logbook.shapes.jsonl'): { shapes: LoggedShapes; findings: Finding[] } {
  const shapes = new Map<string, LoggedShape>()
  const findings: Finding[] = []
  for (const [i, line] of text.split('\n').entries()) {
    if (line.trim() === '') continue
    try {
      const shape = v.parse(SHAPE, JSON.parse(line)) as LoggedShape
      shapes.set(shape.fingerprint, shape)
    } catch (error) {
      if (!(error instanceof SyntaxError || error instanceof v.ValiError)) throw error
      findings.push({
        id: 'torn-shape',
        severity: 'warning',
        text: `line ${i + 1} of ${file} is not the shape of a piece, ${line.length} characters long`,
        remedy: 'take it from git if it is whole there; the next entry of the piece writes its shape again',
      })
    }
  }
  return { shapes, findings }
}

const LINE = v.custom<Polyline>(
  (value) =>
    Array.isArray(value) &&
    value.every((point) => Array.isArray(point) && point.length === 2 && point.every((n) => Number.isFinite(n))),
  'a list of points',
)

const SHAPE = v.object({
  fingerprint: v.string(),
  stock: v.string(),
  plies: v.number(),
  grain: v.exactOptional(v.number()),
  outline: LINE,
  openings: v.array(v.object({ kind: v.picklist(['opening', 'slot']), loop: LINE })),
  scores: v.array(v.object({ fold: v.picklist(['valley', 'mountain']), line: LINE, angle: v.number() })),
})
