import type { Finding } from '../finding/finding'
import { callSite } from '../finding/site'
import { laminate } from '../craft/laminate'
import { along, faceNormal } from '../craft/space'
import { recording } from '../length/bench'
import { type Length, lengthError, mm } from '../length/length'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import { session } from '../model/session'
import type { Pose } from '../shape/pose'
import { stockOf } from './craftDraft'
import { say } from './flatPiece'
import { join } from './relate'
import { type Pieces, allPieces, bondPly, remembering, thicknessOf } from './standing'

export interface LaminatedOptions {
  /** Thickness to reach, glue and all; the plies said of each piece where not given. */
  readonly thickness?: Length
  /** Stocks at hand for the plies, the preferred one first; each piece's own where not given. */
  readonly from?: readonly string[]
  /** How far off the thickness may be; 0.1 mm where not given. */
  readonly within?: Length
  /**
   * Grain of the plies: turned by 90° from ply to ply, which keeps a panel flat, or the same in all, which a long spar
   * gets its stiffness from. `alternate` where not given.
   */
  readonly grain?: 'alternate' | 'same'
}

/**
 * Pieces taken apart into their plies, each of them a piece of its own: `FS-S` becomes `FS-S-L1`, `FS-S-L2` and so on,
 * from the unprinted face to the printed one, their grain alternating alike from either face.
 * An interlock that follows treats the plies of one piece as the whole they make.
 *
 * Where a thickness is asked for, a note says what comes out; where the stock at hand cannot come near enough it is an
 * error.
 */
export function laminated(given: Pieces, options: LaminatedOptions = {}): PieceSet {
  const site = callSite()
  if (options.from?.length === 0) throw lengthError('laminated was given no stocks', "name one: from: ['divider']")
  const findings = new Map<string, Finding>()
  const plies = allPieces(given, 'laminated', site).flatMap((piece) => {
    const { result, read } = recording(() => layUp(piece, options))
    // One word for a family whose pieces are all laid up alike.
    for (const finding of result.findings) findings.set(`${piece.family} ${finding.text}`, finding)
    return pliesOf(piece, result, read)
  })
  say([...findings.values()], site)
  return new PieceSet(plies)
}

interface LayUp {
  /** Stocks from the unprinted face to the printed one. */
  readonly plies: readonly string[]
  readonly grains: readonly number[]
  readonly thickness: number
  readonly wanted: number
  readonly findings: readonly Finding[]
}

const WITHIN = 0.1

function layUp(piece: Piece, { thickness, from = [piece.stock], within, grain }: LaminatedOptions): LayUp {
  const wanted = thickness ? mm(thickness) : thicknessOf(piece)
  const stocks = from.map((id) => {
    const card = stockOf(id)
    return { id, thickness: card.measured, glueLine: card.glueLine.value }
  })
  // The plies that were said are reached to the hair.
  const made = laminate(wanted, stocks, within ? mm(within) : thickness ? WITHIN : 1e-6)
  const said = made.findings.length > 0 || !thickness ? made.findings : [report(made.plies, made.thickness, wanted)]
  const grains = grain === 'same' ? made.grains.map(() => 0) : made.grains
  const { mark, family } = piece
  return { ...made, grains, wanted, findings: said.map((finding) => ({ ...finding, mark, family })) }
}

function report(plies: readonly string[], thickness: number, wanted: number): Finding {
  const stocks = [...new Set(plies)].join(' and ')
  const sizes = `${thickness.toFixed(2)} mm of ${wanted.toFixed(2)} mm wanted`
  return {
    id: 'lamination',
    severity: 'note',
    text: `${plies.length} plies of ${stocks} make ${sizes} (${signed(thickness - wanted)} mm)`,
    remedy: 'nothing to do, it is near enough',
    found: thickness,
    wanted,
  }
}

function pliesOf(piece: Piece, { plies, grains, thickness, wanted }: LayUp, read: readonly string[]): Piece[] {
  const { mark, pose, also } = piece
  const bond = { mark, thickness, ...(pose && { pose }), ...(also && { also }) }
  const note = `of ${plies.length}: ${thickness.toFixed(2)} mm, ${signed(thickness - wanted)} mm`
  let from = -thickness / 2
  const made = plies.map((stock, i) => {
    const card = stockOf(stock)
    const before = i === 0 ? 0 : Math.max(card.glueLine.value, stockOf(plies[i - 1]!).glueLine.value)
    const middle = from + before + card.thickness.value / 2
    from += before + card.thickness.value
    const ply: Piece = {
      ...piece,
      mark: `${piece.mark}-L${i + 1}`,
      stock,
      plies: 1,
      ...(piece.grain !== undefined && { grain: (piece.grain + grains[i]!) % 180 }),
      ...(pose && { pose: shifted(pose, middle) }),
      ...(also && { also: also.map((one) => shifted(one, middle)) }),
      notes: [...piece.notes, `Ply ${i + 1} ${note}`],
      reads: [...new Set([...piece.reads, ...read])].toSorted(),
    }
    return bondPly(remembering(ply, piece), bond)
  })
  session().parted.set(mark, { into: 'plies', marks: made.map((ply) => ply.mark) })
  for (const [i, ply] of made.slice(1).entries()) join('glue', [made[i]!], [ply])
  return made
}

function shifted(pose: Pose, out: number): Pose {
  return { ...pose, origin: along(pose.origin, faceNormal(pose), out) }
}

function signed(error: number): string {
  const text = error.toFixed(2)
  return error > 0 && text !== '0.00' ? `+${text}` : text
}
