import { FindingError, type Finding } from '../../lib/finding/finding'
import { onBench } from '../../lib/length/bench'
import { parseScale } from '../../lib/length/scale'
import type { Part } from '../../lib/model/assembly'
import { type ModelOptions, model } from '../../lib/model/define'
import { type EvaluateOptions, evaluateModel } from '../../lib/model/evaluate'
import type { Model } from '../../lib/model/model'
import type { Piece } from '../../lib/model/piece'

/** A model of the given parts, evaluated at 1:60 unless said otherwise. */
export function modelOf(
  body: () => Part | readonly Part[],
  options: Partial<ModelOptions & EvaluateOptions> & { at?: string } = {},
): Model {
  const { at, stocks, survey, gap, sharedCuts, ...rest } = options
  const given = { ...(stocks && { stocks }), ...(survey && { survey }), ...(gap && { gap }), ...(sharedCuts !== undefined && { sharedCuts }) }
  const definition = model('Test', { scale: at ?? '1:60', ...given }, body)
  const { scale: _, ...evaluate } = rest
  return evaluateModel(definition, { name: 'test', ...evaluate })
}

export function pieceOf(found: Model, mark: string): Piece {
  const piece = found.pieces.find((one) => one.mark === mark)
  if (!piece) throw new Error(`no piece ${mark} among ${found.pieces.map((one) => one.mark).join(', ')}`)
  return piece
}

/** What the work throws, as a finding. */
export function findingOf(work: () => unknown): Finding {
  try {
    work()
  } catch (error) {
    if (error instanceof FindingError) return error.finding
    throw error
  }
  throw new Error('nothing was thrown')
}

/** A bench of 1:60 with plies of 0.28 mm. */
export function atBench<T>(work: () => T, scale = '1:60', thickness = 0.28): T {
  return onBench({ scale: parseScale(scale), thickness: () => thickness }, work)
}
