import { callSite } from '../finding/site'
import type { Flat } from '../craft/flat'
import { dihedralTemplate, sweepTemplate } from '../craft/jig'
import { recording } from '../length/bench'
import { type Length, mm } from '../length/length'
import { PieceSet } from '../model/assembly'
import { flatPiece } from './flatPiece'
import { located } from './located'

export interface TemplateOptions {
  readonly stock: string
  readonly plies?: number
  readonly copies?: number
  /** Stretch of the span it stands under or lies along, outwards from the centre line. */
  readonly from: Length
  readonly to: Length
}

export interface DihedralOptions extends TemplateOptions {
  /** Degrees the wing rises by. */
  readonly dihedral: number
  /** Height of the wing's underside over the board at the centre line. */
  readonly height: Length
}

export interface SweepOptions extends TemplateOptions {
  /** Degrees the leading edge falls back by. */
  readonly sweep: number
  /** Card in front of the edge where it stands foremost. */
  readonly width: Length
}

/**
 * A template to set a wing by: for dihedral one that stands on the board under it, for sweep one that lies on the board
 * along its leading edge. `angleTemplate('JD', { dihedral: 2, from, to, height, stock: 'divider' })`.
 *
 * @throws FindingError for an angle of 90° or more, an end before the start, and a template that comes to nothing
 */
export function angleTemplate(code: string, options: DihedralOptions | SweepOptions): PieceSet {
  const site = callSite()
  const { stock, plies = 1, copies = 1 } = options
  const { result, read } = recording(() => located(site, code, () => templateOf(options)))
  const notes = [`Jig: ${result.what}. Turned over it serves the other side.`]
  return new PieceSet([
    flatPiece(result.flat, { mark: code, family: code, stock, plies, copies, notes, reads: read, site }),
  ])
}

function templateOf(options: DihedralOptions | SweepOptions): { flat: Flat; what: string } {
  const [from, to] = [mm(options.from), mm(options.to)]
  const stretch = `${from.toFixed(1)} to ${to.toFixed(1)} mm from the centre line`
  if ('sweep' in options) {
    const { sweep, width } = options
    const flat = sweepTemplate({ angle: sweep, from, to, width: mm(width) })
    return { flat, what: `sweep of ${degrees(sweep)}, ${stretch}` }
  }
  const { dihedral, height } = options
  const flat = dihedralTemplate({ angle: dihedral, from, to, height: mm(height) })
  return { flat, what: `dihedral of ${degrees(dihedral)}, ${stretch}` }
}

function degrees(angle: number): string {
  return `${Number(angle.toFixed(2))}°`
}
