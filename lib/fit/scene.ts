import type { Manifold } from 'manifold-3d' with { 'resolution-mode': 'import' }
import { type Finding, compareText } from '../finding/finding'
import { resolveSite } from '../finding/site'
import { dot, faceNormal } from '../craft/space'
import type { Model } from '../model/model'
import type { Piece } from '../model/piece'
import { Groups } from '../shape/groups'
import type { Pose } from '../shape/pose'
import { type CellTree, cellTree, roundTree } from './cellTree'
import { coarse } from './coarse'
import { type Kernel, bodyIn } from './kernel'
import { nearPairs } from './nearPairs'
import { isRigid } from './place'
import { roundSection } from './revolved'
import { type Solid, posesOf, solidsOf, thicknessOf } from './solid'

/** One copy of a piece where it stands. */
export interface Standing extends Solid {
  readonly piece: Piece
  readonly pose: Pose
  readonly thickness: number
}

/** A model stood up, with what its questions share. */
export interface Scene {
  readonly standing: readonly Standing[]
  readonly byMark: ReadonlyMap<string, readonly Standing[]>
  /** Those whose boxes come within {@link REACH} of each other. */
  readonly pairs: readonly (readonly [Standing, Standing])[]
  /** Those that were found to hold each other, so that nobody need look again. */
  readonly held: Groups<Standing>
  /** Its cells in a tree of boxes, made once; undefined where it is not closed. */
  readonly tree: (standing: Standing) => CellTree | undefined
  /** Body for the modeller, made once; undefined where it is not closed. */
  readonly body: (standing: Standing) => Manifold | undefined
  /** Frees the modeller's bodies. */
  readonly dispose: () => void
}

/** Parts whose boxes are further apart than this do not touch, mm. */
export const REACH = 0.3

export function sceneOf({ pieces, stocks }: Pick<Model, 'pieces' | 'stocks'>, kernel: Kernel): Scene {
  const standing = pieces.flatMap((piece): Standing[] => {
    const poses = posesOf(piece)
    const stock = stocks.get(piece.stock)!
    if (!poses.every(isRigid)) return []
    const thickness = thicknessOf(piece, stock)
    return solidsOf(coarse(piece), stock).map((solid, i) => ({ ...solid, piece, pose: poses[i]!, thickness }))
  })
  const byMark = new Map<string, Standing[]>()
  for (const one of standing) byMark.set(one.mark, [...(byMark.get(one.mark) ?? []), one])
  const trees = new Map<Standing, CellTree | undefined>()
  const bodies = new Map<Standing, Manifold | undefined>()
  const dispose = (): void => {
    for (const one of bodies.values()) one?.delete()
    bodies.clear()
  }
  const pairs = nearPairs(standing, REACH).map(([i, j]) => [standing[i]!, standing[j]!] as const)
  return {
    standing,
    byMark,
    pairs,
    held: new Groups(),
    tree: (one) => madeOnce(trees, one, treeOf),
    body: (one) => madeOnce(bodies, one, (given) => bodyIn(kernel, given)),
    dispose,
  }
}

function madeOnce<Made>(known: Map<Standing, Made>, one: Standing, make: (one: Standing) => Made): Made {
  if (!known.has(one)) known.set(one, make(one))
  return known.get(one)!
}

function treeOf(one: Standing): CellTree | undefined {
  const { form } = one.piece
  if (!one.vertices.every(Number.isFinite)) return undefined
  return form?.kind === 'turned' ? roundTree(roundSection(form), one.pose) : cellTree(one)
}

export function isSlab({ piece }: Standing): boolean {
  return piece.form === undefined
}

/**
 * Whether all of one lies on one side of the card of the other, but for `deep` mm: so that they cannot clash, however
 * their outlines run.
 */
export function besideFace(one: Standing, slab: Standing, deep: number): boolean {
  if (!isSlab(slab)) return false
  const normal = faceNormal(slab.pose)
  const limit = slab.thickness / 2 - deep
  const { vertices } = one
  const from = dot(slab.pose.origin, normal)
  let [above, below] = [true, true]
  for (let i = 0; i < vertices.length && (above || below); i += 3) {
    const height = vertices[i]! * normal[0] + vertices[i + 1]! * normal[1] + vertices[i + 2]! * normal[2] - from
    if (height < limit) above = false
    if (height > -limit) below = false
  }
  return above || below
}

/** The mark, and which of several alike. */
export function nameOf({ piece, copy }: Standing): string {
  return piece.copies > 1 ? `${piece.mark}#${copy}` : piece.mark
}

/** Marks that differ in port and starboard alone. */
export function handless({ mark, side, family }: Piece): string {
  return side === '' ? mark : mark.replace(`${family}-${side}`, `${family}-`)
}

/** What a finding about two pieces is told by, so that {@link once} knows its mirror image. */
export function handsOf(a: Standing, b: Standing, more = ''): { key: string; port: boolean } {
  return { key: `${handless(a.piece)} ${handless(b.piece)} ${more}`, port: a.piece.side === 'P' || b.piece.side === 'P' }
}

/** The finding once where port and starboard say the same, with a word that they do. */
export function once(found: readonly (Finding & { readonly key: string; readonly port: boolean })[]): Finding[] {
  const groups = new Map<string, (Finding & { key: string; port: boolean })[]>()
  for (const one of found) groups.set(one.key, [...(groups.get(one.key) ?? []), one])
  return [...groups.keys()].toSorted(compareText).map((key) => {
    const group = groups.get(key)!
    const { key: _key, port: _port, ...finding } = group.find(({ port }) => !port) ?? group[0]!
    const both = group.some(({ port }) => port) && group.some(({ port }) => !port)
    return both ? { ...finding, text: `${finding.text}; the same to port` } : finding
  })
}

export function about({ piece }: Standing): Pick<Finding, 'mark' | 'family' | 'site'> {
  const where = resolveSite(piece.site)
  return { mark: piece.mark, family: piece.family, ...(where && { site: where }) }
}
