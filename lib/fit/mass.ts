import { compareText } from '../finding/finding'
import { isWithin } from '../model/assemblyPath'
import { nominal } from '../stock/behaviour'
import type { Figure } from '../stock/card'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import { area } from '../shape/measure'
import type { Vector } from '../shape/pose'
import { isJig } from './jig'
import { isRigid } from './place'
import { type Solid, posesOf, solidsOf } from './solid'

/** Glue that is left between two faces, g/m². */
export const GLUE: Figure = nominal(60, 'common practice: white glue spread at 120 g/m², half of it water; no source')

/** What something weighs, g, and where its weight acts; `at` is undefined where nothing of it has a place. */
export interface Mass {
  readonly mass: number
  readonly at?: Vector
  /** The part of the mass that has no place, and so no say in `at`, g. */
  readonly unplaced: number
}

export interface PieceMass extends Mass {
  readonly mark: string
  readonly assembly: string
  /** Of one of several alike, g: card, and glue between its plies or turns. */
  readonly each: number
}

export interface ModelMass extends Mass {
  /** By mark; jigs are left out. */
  readonly pieces: readonly PieceMass[]
  /** Every assembly with all below it, in build order. */
  readonly assemblies: readonly (Mass & { readonly assembly: string })[]
}

/**
 * Mass from area, grammage and plies, with {@link GLUE} between plies, between the turns of what is wound and between
 * the layers of laminations; other joints weigh nothing. Centres of gravity are those of the standing solids. Jigs are no
 * part of the model.
 *
 * @param solids of a piece, where they are made already
 */
export function massOf(
  model: Pick<Model, 'pieces' | 'stocks' | 'relations' | 'assemblies'>,
  solids = (piece: Piece) => standing(piece, model),
): ModelMass {
  const glued = layersGlued(model)
  const pieces = model.pieces
    .filter((piece) => !isJig(piece))
    .map((piece) => pieceMass(piece, weightOf(piece, model.stocks.get(piece.stock)!, glued.get(piece.mark) ?? 0), solids(piece)))
  const assemblies = model.assemblies.flatMap((path) => {
    const own = pieces.filter(({ assembly }) => isWithin(assembly, path))
    return own.length > 0 ? [{ assembly: path, ...together(own) }] : []
  })
  return { ...together(pieces), pieces: pieces.toSorted((a, b) => compareText(a.mark, b.mark)), assemblies }
}

/** Mass of one of each piece, g, by mark, wherever it stands. */
export function weights(model: Pick<Model, 'pieces' | 'stocks' | 'relations'>): Map<string, number> {
  const glued = layersGlued(model)
  return new Map(
    model.pieces.map((piece) => [piece.mark, weightOf(piece, model.stocks.get(piece.stock)!, glued.get(piece.mark) ?? 0)]),
  )
}

/** Several masses as one: their sum at their common centre of gravity. */
export function together(masses: readonly Mass[]): Mass {
  let [mass, unplaced, x, y, z] = [0, 0, 0, 0, 0]
  for (const one of masses) {
    mass += one.mass
    unplaced += one.unplaced
    const placed = one.mass - one.unplaced
    if (!one.at) continue
    x += placed * one.at[0]
    y += placed * one.at[1]
    z += placed * one.at[2]
  }
  const placed = mass - unplaced
  return { mass, unplaced, ...(placed > 1e-12 && { at: [x / placed, y / placed, z / placed] as const }) }
}

function standing(piece: Piece, { stocks }: Pick<Model, 'stocks'>): readonly Solid[] {
  return posesOf(piece).every(isRigid) ? solidsOf(piece, stocks.get(piece.stock)!) : []
}

function pieceMass({ mark, assembly, copies }: Piece, each: number, solids: readonly Solid[]): PieceMass {
  const centres = solids.map(centreOf)
  const [x, y, z] = [0, 1, 2].map((k) => centres.reduce((sum, centre) => sum + centre[k]!, 0) / centres.length) as [number, number, number]
  const unplaced = each * Math.max(0, copies - centres.length)
  return { mark, assembly, each, mass: each * copies, unplaced, ...(centres.length > 0 && { at: [x, y, z] as const }) }
}

function weightOf(piece: Piece, { grammage }: { grammage: Figure }, extraGlue: number): number {
  const { plies, form } = piece
  const lines = plies - 1 + (form?.kind === 'turned' ? 1 : 0)
  return (cardArea(piece) * (plies * grammage.value + lines * GLUE.value) + extraGlue) / 1e6
}

function cardArea({ outline, openings }: Piece): number {
  return area([outline, ...openings.map(({ loop }) => loop)])
}

/** Glue between pieces of one family that are glued face to face, as the plies of a lamination are: g·mm²/m² a mark. */
function layersGlued({ pieces, relations }: Pick<Model, 'pieces' | 'relations'>): Map<string, number> {
  const byMark = new Map(pieces.map((piece) => [piece.mark, piece]))
  const glue = new Map<string, number>()
  for (const relation of relations) {
    if (relation.kind !== 'join' || relation.how !== 'glue') continue
    const [a, b] = [byMark.get(relation.a), byMark.get(relation.b)]
    if (!a || !b || a.form || b.form || a.family !== b.family) continue
    const shared = Math.min(cardArea(a), cardArea(b)) * GLUE.value
    glue.set(a.mark, (glue.get(a.mark) ?? 0) + shared)
  }
  return glue
}

/** Volume of a solid, mm³, by the divergence theorem over its triangles. */
export function volumeOf(solid: Pick<Solid, 'vertices' | 'triangles'>): number {
  let six = 0
  eachTetrahedron(solid, (volume) => (six += volume))
  return six / 6
}

/** Centre of a solid: tetrahedra from a point of it, each with its centre a quarter of the way up. */
export function centreOf(solid: Pick<Solid, 'vertices' | 'triangles'>): Vector {
  const { vertices } = solid
  const from = [vertices[0]!, vertices[1]!, vertices[2]!] as const
  const sum = [0, 0, 0]
  let six = 0
  eachTetrahedron(solid, (volume, corners) => {
    six += volume
    for (let k = 0; k < 3; k++) sum[k]! += (volume * corners.reduce((total, corner) => total + vertices[3 * corner + k]! - from[k]!, 0)) / 4
  })
  return [from[0] + sum[0]! / six, from[1] + sum[1]! / six, from[2] + sum[2]! / six]
}

function eachTetrahedron(
  { vertices, triangles }: Pick<Solid, 'vertices' | 'triangles'>,
  visit: (sixVolumes: number, corners: readonly [number, number, number]) => void,
): void {
  const [x, y, z] = [vertices[0]!, vertices[1]!, vertices[2]!]
  for (let i = 0; i < triangles.length; i += 3) {
    const [a, b, c] = [triangles[i]!, triangles[i + 1]!, triangles[i + 2]!]
    const [ax, ay, az] = [vertices[3 * a]! - x, vertices[3 * a + 1]! - y, vertices[3 * a + 2]! - z]
    const [bx, by, bz] = [vertices[3 * b]! - x, vertices[3 * b + 1]! - y, vertices[3 * b + 2]! - z]
    const [cx, cy, cz] = [vertices[3 * c]! - x, vertices[3 * c + 1]! - y, vertices[3 * c + 2]! - z]
    visit(ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx), [a, b, c])
  }
}
