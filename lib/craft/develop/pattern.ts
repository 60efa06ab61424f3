import type { Finding } from '../../finding/finding'
import { selfCrossing } from '../../shape/crossing'
import type { Point } from '../../shape/point'
import type { Vector } from '../../shape/pose'
import { type Flat, type FlatScore, plainFlat } from '../flat'
import { cross, degrees, dot, norm, subtract, unit } from '../space'
import { rulingDirection } from './curl'
import { neutralSurface } from './neutral'
import { type Development, type Facet, type Ruled, developmentOutline, facets, unroll } from './unroll'

/** A ruled surface laid flat: point for point, and as a piece to cut. */
export interface Pattern {
  readonly development: Development
  readonly flat: Flat
  readonly findings: readonly Finding[]
}

export interface PatternOptions {
  /** From the surface given to the card's neutral layer, outwards. */
  readonly out?: number
  /** Angle between neighbouring triangles from which their common line is scored, degrees. */
  readonly crease?: number
}

/** Below this a fold between triangles is part of a curve and needs no score, degrees. */
const CREASE = 20

/** Lays a ruled surface flat at the card's neutral layer, with scores where it folds. */
export function patternOf(surface: Ruled, { out = 0, crease = CREASE }: PatternOptions = {}): Pattern {
  const { flatA, flatB } = unroll(neutralSurface(surface, out))
  const development: Development = { ...surface, flatA, flatB }
  const flat = flatOf(development, crease)
  const crossing = selfCrossing(flat.outline)
  return { development, flat, findings: crossing ? [foldsOver(crossing)] : [] }
}

/** A development as a piece to cut: outline, scores at its folds, grain along its straight lines. */
export function flatOf(development: Development, crease = CREASE): Flat {
  const scores = creases(development, crease)
  return plainFlat(developmentOutline(development), { scores, grain: rulingDirection(development) })
}

/**
 * Lines between triangles that turn sharply, as scores; a skin folds away from its printed side over a knuckle. Where a
 * surface is twisted its triangles turn to and fro without going anywhere: a line is scored only where the triangles
 * one further to either side have turned as well.
 */
function creases(development: Development, least: number): FlatScore[] {
  const scores: FlatScore[] = []
  const all = facets(development)
  const faces = all.map(faceOf)
  for (let k = 1; k < all.length; k++) {
    const [before, after] = [all[k - 1]!, all[k]!]
    if (before.ruling === after.ruling) continue
    const angle = turnBetween(faces[k - 1]!, faces[k]!)
    const beyond = Math.min(turnBetween(faces[k - 2], faces[k]), turnBetween(faces[k - 1], faces[k + 1]))
    if (angle < least || beyond < least / 2) continue
    const [i, j] = development.rulings[after.ruling]!
    const line = [development.flatA[i]!, development.flatB[j]!]
    const fold = standsOver(before, after, faces[k - 1]!) ? 'valley' : 'mountain'
    scores.push({ fold, line, angle })
  }
  return scores
}

/** Degrees between two faces; a face beyond the end of the skin contradicts nothing. */
function turnBetween(n: Vector | undefined, m: Vector | undefined): number {
  return n && m ? degrees(Math.atan2(norm(cross(n, m)), dot(n, m))) : Infinity
}

function faceOf({ space: [p, q, r] }: Facet): Vector {
  return unit(cross(subtract(q, p), subtract(r, p)))
}

function standsOver(before: Facet, after: Facet, normal: Vector): boolean {
  return after.space.some((point) => dot(subtract(point, before.space[0]), normal) > 1e-9)
}

function foldsOver(at: Point): Finding {
  return {
    id: 'skin-overlaps',
    severity: 'error',
    text: `the flat pattern runs over itself near (${at[0].toFixed(1)}, ${at[1].toFixed(1)}) mm`,
    remedy: 'split the skin into panels there',
    at: [at[0], at[1]],
  }
}
