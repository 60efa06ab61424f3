import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { mm } from '../length/length'
import { parseBenchLength } from '../length/parse'
import type { Piece } from '../model/piece'
import type { Pose } from '../shape/pose'
import { UsageError } from './usage'

/**
 * The plane a section is taken at: where a piece stands (`HF-12`), where that of a family's station stands (`HF:12`), or
 * square to one of the model's axes (`x=123mm` on the model, `x=7.4m` on the subject; x aft, y to starboard, z up).
 *
 * @throws UsageError for a place that there is not
 */
export function placeOf(text: string, pieces: readonly Piece[], ratio: number): { plane: Pose; name: string } {
  const [, axis, length] = /^([xyz])\s*=\s*(.+)$/.exec(text.trim()) ?? []
  if (axis !== undefined) return { plane: square(axis as Axis, lengthOf(length!, ratio)), name: `${axis} = ${length}` }
  const piece = pieceAt(text.trim(), pieces)
  if (!piece.pose) {
    throw new UsageError(`--at: ${piece.mark} has no place of its own in the model`, 'take a piece that stands flat, or x=…')
  }
  return { plane: piece.pose, name: piece.mark }
}

type Axis = 'x' | 'y' | 'z'

/** Looking forward, to starboard and down. */
function square(axis: Axis, at: number): Pose {
  if (axis === 'x') return { origin: [at, 0, 0], right: [0, 1, 0], up: [0, 0, 1] }
  if (axis === 'y') return { origin: [0, at, 0], right: [1, 0, 0], up: [0, 0, 1] }
  return { origin: [0, 0, at], right: [1, 0, 0], up: [0, 1, 0] }
}

function lengthOf(text: string, ratio: number): number {
  const [, digits, unit] = /^(-?\d*\.?\d+)\s*(m|ft)$/.exec(text.trim()) ?? []
  if (digits !== undefined) return (Number(digits) * (unit === 'm' ? 1000 : 304.8)) / ratio
  try {
    return mm(parseBenchLength(text, '--at'))
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    throw new UsageError(error.finding.text, 'write it like x=123mm (on the model) or x=7.4m (on the subject)')
  }
}

function pieceAt(text: string, pieces: readonly Piece[]): Piece {
  const [family, station] = text.split(':')
  const found =
    station === undefined
      ? pieces.find(({ mark }) => mark === text)
      : pieces.find((piece) => piece.family === family && piece.station === Number(station) && piece.pose)
  if (found) return found
  const known = station === undefined ? pieces.map(({ mark }) => mark) : [...new Set(pieces.map((one) => `${one.family}:${one.station}`))]
  throw new UsageError(`--at: there is no "${text}" in the model`, suggest(text, known))
}
