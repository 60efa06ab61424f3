import type { Piece } from '../model/piece'
import type { Pose, Vector } from '../shape/pose'
import type { Stock } from '../stock/card'
import { type Body, MODEL, thickened } from './body'
import { triangulate } from './flatMesh'
import { foldedUp } from './foldedUp'
import { revolved } from './revolved'
import { rolledBack } from './rolledBack'

/** A piece as it stands in the model: a closed body of triangles, counter-clockwise seen from outside; mm. */
export interface Solid {
  readonly mark: string
  /** Which of several alike, from 1. */
  readonly copy: number
  /** x, y, z of each corner. */
  readonly vertices: Float64Array
  /** Three corners each. */
  readonly triangles: Uint32Array
  /** How many flat triangles it is thickened of, as {@link Body} tells. */
  readonly cells?: number
  /** x, y on the flat of each corner of the printed face. */
  readonly flat?: Float64Array
  readonly bounds: Bounds3
}

export interface Bounds3 {
  readonly min: Vector
  readonly max: Vector
}

/** What of a piece, of a model or of a manifest, its solids are made of. */
export type SolidPiece = Pick<
  Piece,
  'mark' | 'plies' | 'copies' | 'outline' | 'openings' | 'scores' | 'pose' | 'also' | 'form'
>

export type SolidStock = Pick<Stock, 'thickness' | 'glueLine' | 'fold'>

/**
 * The piece at its full thickness, plies and glue lines included, one solid for each copy that has a place.
 *
 * Simplified: folds are mitred sharp, where card bends round a radius (sizes come out as the bend allowance says; folds
 * beyond 120° are two flats); curled card is straight between its lines; round things have as many flats as keep within
 * 0.02 mm; all plies of one piece have its flat outline.
 */
export function solidsOf(piece: SolidPiece, stock: SolidStock): Solid[] {
  const poses = posesOf(piece)
  if (poses.length === 0) return []
  const body = bodyOf(piece, stock)
  return poses.map((pose, i) => ({ mark: piece.mark, copy: i + 1, ...placed(body, pose) }))
}

/** Where the copies stand, in their order. Card that is curled may have its place in its form alone. */
export function posesOf({ pose, also = [], form }: Pick<Piece, 'pose' | 'also' | 'form'>): readonly Pose[] {
  if (pose) return [pose, ...also]
  return form?.kind === 'curved' ? [MODEL] : []
}

/** Card of all plies and the glue between them, mm. */
export function thicknessOf({ plies }: Pick<Piece, 'plies'>, { thickness, glueLine }: SolidStock): number {
  return plies * thickness.value + (plies - 1) * glueLine.value
}

export function bodyOf(piece: SolidPiece, stock: SolidStock): Body {
  const thickness = thicknessOf(piece, stock)
  switch (piece.form?.kind) {
    case 'folded':
      return foldedUp(piece, piece.form, { ...stock.fold, thickness }).body
    case 'curved':
      return rolledBack(piece, piece.form, thickness)
    case 'turned':
      return revolved(piece.form)
    case undefined:
      return slab(piece, thickness)
  }
}

function slab({ outline, openings }: SolidPiece, thickness: number): Body {
  const mesh = triangulate(outline, openings.map(({ loop }) => loop))
  return thickened(mesh, ([x, y]) => ({ at: [x, y, 0], out: [0, 0, thickness / 2] }))
}

function placed({ vertices, triangles, cells, flat }: Body, pose: Pose): Omit<Solid, 'mark' | 'copy'> {
  const { origin: o, right: r, up: u } = pose
  const n = [r[1] * u[2] - r[2] * u[1], r[2] * u[0] - r[0] * u[2], r[0] * u[1] - r[1] * u[0]] as const
  const stands = new Float64Array(vertices.length)
  const min: [number, number, number] = [Infinity, Infinity, Infinity]
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity]
  for (let i = 0; i < vertices.length; i += 3) {
    const [x, y, z] = [vertices[i]!, vertices[i + 1]!, vertices[i + 2]!]
    for (let k = 0; k < 3; k++) {
      const value = o[k]! + x * r[k]! + y * u[k]! + z * n[k]!
      stands[i + k] = value
      if (value < min[k]!) min[k] = value
      if (value > max[k]!) max[k] = value
    }
  }
  return { vertices: stands, triangles, ...(cells !== undefined && { cells }), ...(flat && { flat }), bounds: { min, max } }
}
