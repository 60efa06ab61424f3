import { callSite } from '../finding/site'
import type { Flat } from '../craft/flat'
import { dihedralTemplate, sweepTemplate } from '../craft/jig'
import { recording } from '../length/bench'
import { type Length, mm } from '../length/length'
import { PieceSet } from '../model/assembly'
import type { Pose, Vector } from '../shape/pose'
import { flatPiece } from './flatPiece'
import { located } from './located'
import { thicknessOf } from './standing'

export interface TemplateOptions {
  readonly stock: string
  readonly plies?: number
  readonly copies?: number
  /** Stretch of the span it stands under or lies along, outwards from the centre line. */
  readonly from: Length
  readonly to: Length
  /** Height of the board it stands or lies on, in the model's own axes. */
  readonly board: Length
  /** Aft, on the centre line: of the line that the wing rises along, or of its leading edge. */
  readonly at: Length
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
 * along its leading edge. `angleTemplate('JD', { dihedral: 2, from, to, height, at, board, stock: 'divider' })`. The first
 * stands to starboard, a second copy to port.
 *
 * @throws FindingError for an angle of 90° or more, an end before the start, and a template that comes to nothing
 */
export function angleTemplate(code: string, options: DihedralOptions | SweepOptions): PieceSet {
  const site = callSite()
  const { stock, plies = 1, copies = 1 } = options
  const { result, read } = recording(() => located(site, code, () => templateOf(options)))
  const notes = [`Jig: ${result.what}. Turned over it serves the other side.`]
  const [pose, ...also] = result.poses
  return new PieceSet([
    flatPiece(result.flat, { mark: code, family: code, stock, plies, copies, notes, reads: read, site, pose: pose!, ...(also.length > 0 && { also }) }),
  ])
}

interface Template {
  readonly flat: Flat
  readonly what: string
  /** Of each copy: to starboard and, turned over, to port by turns. */
  readonly poses: readonly Pose[]
}

function templateOf(options: DihedralOptions | SweepOptions): Template {
  const [from, to] = [mm(options.from), mm(options.to)]
  const { stock, plies = 1, copies = 1 } = options
  const [aft, board] = [mm(options.at), mm(options.board)]
  const places = (height: number, up: Vector): Pose[] =>
    Array.from({ length: copies }, (_, i) => {
      const side = i % 2 === 0 ? 1 : -1
      return { origin: [aft, side * from, height], right: [0, side, 0], up }
    })
  const stretch = `${from.toFixed(1)} to ${to.toFixed(1)} mm from the centre line`
  if ('sweep' in options) {
    const { sweep, width } = options
    const flat = sweepTemplate({ angle: sweep, from, to, width: mm(width) })
    const poses = places(board + thicknessOf({ stock, plies }) / 2, [-1, 0, 0])
    return { flat, poses, what: `sweep of ${degrees(sweep)}, ${stretch}` }
  }
  const { dihedral, height } = options
  const flat = dihedralTemplate({ angle: dihedral, from, to, height: mm(height) })
  return { flat, poses: places(board, [0, 0, 1]), what: `dihedral of ${degrees(dihedral)}, ${stretch}` }
}

function degrees(angle: number): string {
  return `${Number(angle.toFixed(2))}°`
}
