import { compareText } from '../finding/finding'
import type { ManifestPiece } from './manifest'

/** A piece of the earlier build and what it is in the later one; either may be missing, never both. */
export interface Pair {
  readonly before?: ManifestPiece
  readonly after?: ManifestPiece
}

/**
 * Which piece of one build is which of another. First those that are the same under the same mark; then those that are
 * the same under another, so that a rib put in near the bow, which moves every mark behind it on by one, shows as one
 * piece more; then those of a family that stand where one stood, for the same reason; what is left, mark by mark.
 */
export function pairPieces(before: readonly ManifestPiece[], after: readonly ManifestPiece[]): Pair[] {
  const old = new Map(before.map((piece) => [piece.mark, piece]))
  const now = new Map(after.map((piece) => [piece.mark, piece]))
  const pairs: Pair[] = []
  const take = (was: ManifestPiece, is: ManifestPiece) => {
    old.delete(was.mark)
    now.delete(is.mark)
    pairs.push({ before: was, after: is })
  }
  for (const piece of after) {
    const was = old.get(piece.mark)
    if (was?.fingerprint === piece.fingerprint) take(was, piece)
  }
  const alike = byFingerprint(old.values())
  for (const piece of now.values()) {
    const candidates = alike.get(piece.fingerprint)
    const best = candidates && nearestOf(piece, candidates)
    if (!best) continue
    candidates.splice(candidates.indexOf(best), 1)
    take(best, piece)
  }
  const stood = byPlace(old.values())
  for (const [place, piece] of byPlace(now.values())) {
    const was = stood.get(place)
    if (was && piece) take(was, piece)
  }
  for (const piece of now.values()) {
    const was = old.get(piece.mark)
    if (was) take(was, piece)
  }
  return [
    ...pairs,
    ...Array.from(now.values(), (piece) => ({ after: piece })),
    ...Array.from(old.values(), (piece) => ({ before: piece })),
  ]
}

function byFingerprint(pieces: Iterable<ManifestPiece>): Map<string, ManifestPiece[]> {
  const groups = new Map<string, ManifestPiece[]>()
  for (const piece of pieces) {
    const group = groups.get(piece.fingerprint)
    if (group) group.push(piece)
    else groups.set(piece.fingerprint, [piece])
  }
  return groups
}

/** By family, side and pose; undefined where several stand alike, or it is not said where they stand. */
function byPlace(pieces: Iterable<ManifestPiece>): Map<string, ManifestPiece | undefined> {
  const places = new Map<string, ManifestPiece | undefined>()
  for (const piece of pieces) {
    const { family, side, pose } = piece
    if (!pose) continue
    const place = JSON.stringify([family, side, pose])
    places.set(place, places.has(place) ? undefined : piece)
  }
  return places
}

/** Of its own family before others, then of its own side, then the one that stands nearest, then by mark. */
function nearestOf(piece: ManifestPiece, candidates: readonly ManifestPiece[]): ManifestPiece | undefined {
  let best: ManifestPiece | undefined
  for (const candidate of candidates) if (!best || compareFor(piece, candidate, best) < 0) best = candidate
  return best
}

function compareFor(piece: ManifestPiece, a: ManifestPiece, b: ManifestPiece): number {
  return (
    Number(a.family !== piece.family) - Number(b.family !== piece.family) ||
    Number(a.side !== piece.side) - Number(b.side !== piece.side) ||
    apart(piece, a) - apart(piece, b) ||
    compareText(a.mark, b.mark)
  )
}

/** mm between where two pieces stand; a large figure where that is not said. */
function apart({ pose: a }: ManifestPiece, { pose: b }: ManifestPiece): number {
  return a && b ? Math.hypot(...a.origin.map((value, i) => value - b.origin[i]!)) : Number.MAX_VALUE
}
