import { type Finding, FindingError } from '../finding/finding'
import { type Lot, type Lots, reached, type Stage, STAGES } from './lots'
import type { Deed, LoggedPiece } from './logbook'
import type { Manifest, ManifestPiece } from './manifest'
import type { ChosenMark } from './marks'

export interface Logging {
  readonly did: Deed
  readonly chosen: readonly ChosenMark[]
  /** Pieces of card of each mark; where none is given, what is still wanted, or what the words said. */
  readonly count?: number
  /** They come from the sheets as they are now, whatever was printed or cut before. */
  readonly fresh?: boolean
  readonly manifest: Manifest
  /** What was made under marks that are gone already given to their heirs. */
  readonly lots: Lots
}

/**
 * The pieces of an entry, each with the fingerprint of what is really on the bench: a piece that is glued is the one
 * that was cut, also when the model has changed in between.
 *
 * @throws FindingError where pieces are to be scrapped or kept that are not there
 */
export function piecesToLog(logging: Logging): { pieces: LoggedPiece[]; findings: Finding[] } {
  const { did, chosen, manifest, lots } = logging
  const made = new Map(manifest.pieces.map((piece) => [piece.mark, piece]))
  const pieces: LoggedPiece[] = []
  const findings: Finding[] = []
  for (const one of chosen) {
    const [piece, own] = [made.get(one.mark), lots.get(one.mark) ?? []]
    if (did === 'kept') pieces.push(...keptPieces(piece!, own))
    else if (did === 'scrapped') pieces.push(...scrappedPieces(one, piece, own, logging.count))
    else {
      const step = steppedPieces(did, one, piece!, own, logging)
      pieces.push(...step.pieces)
      findings.push(...step.findings)
    }
  }
  if (did === 'kept' && pieces.length === 0) {
    throw notThere(
      `nothing on the bench under ${nameOf(chosen)} differs from the model`,
      'only a piece that was cut before the model changed can be kept as it is; cardwright progress lists them',
    )
  }
  return { pieces, findings }
}

function nameOf(chosen: readonly ChosenMark[]): string {
  const [first] = chosen
  return chosen.length === 1 ? first!.mark : `${first!.mark} and ${chosen.length - 1} more`
}

function keptPieces(piece: ManifestPiece, lots: readonly Lot[]): LoggedPiece[] {
  return lots
    .filter((lot) => lot.fingerprint !== piece.fingerprint && reached(lot, 'cut') > 0)
    .map((lot) => ({ mark: lot.mark, fingerprint: lot.fingerprint, lot }))
    .map(({ lot, ...head }) => ({ ...head, count: reached(lot, 'cut'), for: piece.fingerprint }))
}

/** What the model has moved on from goes first, the oldest of it before the rest. */
function scrappedPieces(
  { mark, count: said }: ChosenMark,
  piece: ManifestPiece | undefined,
  lots: readonly Lot[],
  given: number | undefined,
): LoggedPiece[] {
  const there = lots.filter((lot) => reached(lot, 'printed') > 0)
  const older = there.filter(({ fingerprint }) => fingerprint !== piece?.fingerprint)
  const order = [...older, ...there.filter((lot) => !older.includes(lot))]
  const stock = total(order, 'printed')
  const count = given ?? said ?? Math.max(1, total(older, 'cut'))
  if (count > stock) {
    throw notThere(
      `${mark}: ${count} to be scrapped, ${stock} on the bench`,
      'leave the mark out, give another --count, or enter first what was cut',
    )
  }
  return share(order, ['cut', 'formed', 'glued', 'printed'], count).pieces
}

function steppedPieces(
  did: Stage,
  { mark, count: said }: ChosenMark,
  piece: ManifestPiece,
  lots: readonly Lot[],
  { count: given, fresh }: Logging,
): { pieces: LoggedPiece[]; findings: Finding[] } {
  const needed = piece.copies * piece.plies
  const good = lots.filter(({ fingerprint, keptFor }) => [fingerprint, ...keptFor].includes(piece.fingerprint))
  const older = lots.filter((lot) => !good.includes(lot)).toReversed()
  const done = total(good, did)
  const count = given ?? said ?? (stillWanted(did, Math.max(0, needed - done), lots) || needed)
  const order = fresh ? good.filter(({ fingerprint }) => fingerprint === piece.fingerprint) : [...good, ...older]
  const { pieces, left } = share(order, STAGES.slice(0, STAGES.indexOf(did)).toReversed(), count)
  const behind = pieces.filter(({ fingerprint }) => older.some((lot) => lot.fingerprint === fingerprint))
  return {
    pieces: merged(left > 0 ? [...pieces, { mark, count: left, fingerprint: piece.fingerprint }] : pieces),
    findings: [
      ...(done + count > needed ? [beyondNeed(did, mark, done + count, needed)] : []),
      ...(behind.length > 0 ? [madeBefore(did, mark, behind, older)] : []),
    ],
  }
}

/** Of what lies cut, as many as are wanted; all that are wanted where nothing does. */
function stillWanted(did: Stage, wanted: number, lots: readonly Lot[]): number {
  const lying = total(lots, 'cut') - total(lots, did)
  return did === 'formed' || did === 'glued' ? Math.min(wanted, lying) || wanted : wanted
}

/** Takes so many pieces from lots in turn, from each stage in turn. */
function share(
  lots: readonly Lot[],
  stages: readonly Stage[],
  count: number,
): { pieces: LoggedPiece[]; left: number } {
  const pieces: LoggedPiece[] = []
  let left = count
  for (const { mark, fingerprint, at } of lots) {
    const taken = Math.min(
      left,
      stages.reduce((sum, stage) => sum + at[stage], 0),
    )
    if (taken > 0) pieces.push({ mark, count: taken, fingerprint })
    left -= taken
  }
  return { pieces, left }
}

function merged(pieces: readonly LoggedPiece[]): LoggedPiece[] {
  const sums = new Map<string, LoggedPiece>()
  for (const piece of pieces) {
    const key = `${piece.mark} ${piece.fingerprint}`
    sums.set(key, { ...piece, count: piece.count + (sums.get(key)?.count ?? 0) })
  }
  return [...sums.values()]
}

function total(lots: readonly Lot[], stage: Stage): number {
  return lots.reduce((sum, lot) => sum + reached(lot, stage), 0)
}

function beyondNeed(did: Stage, mark: string, count: number, needed: number): Finding {
  return {
    id: 'spare-pieces',
    severity: 'warning',
    text: `${count} ${did}, ${needed} needed`,
    remedy: 'spare pieces do no harm; if this was entered twice, withdraw the entry',
    mark,
    found: count,
    wanted: needed,
  }
}

function madeBefore(did: Stage, mark: string, pieces: readonly LoggedPiece[], older: readonly Lot[]): Finding {
  const count = pieces.reduce((sum, piece) => sum + piece.count, 0)
  const lot = older.find(({ fingerprint }) => fingerprint === pieces.at(-1)!.fingerprint)!
  return {
    id: 'older-pieces',
    severity: 'warning',
    text: `${count} ${did} as made by ${lot.last.slice(0, 10)}, before the model changed`,
    remedy:
      'cardwright progress says how far off they are; if they were cut from the sheets as they are now, withdraw the' +
      ' entry and give --fresh',
    mark,
  }
}

function notThere(text: string, remedy: string): FindingError {
  return new FindingError({ id: 'not-on-bench', severity: 'error', text, remedy })
}
