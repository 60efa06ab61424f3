import type { Finding } from '../finding/finding'
import { callSite } from '../finding/site'
import { interlock as interlockPlates } from '../craft/interlock'
import type { Plate } from '../craft/plate'
import { scale } from '../craft/space'
import { recording } from '../length/bench'
import { PieceSet } from '../model/assembly'
import type { Side } from '../model/piece'
import type { Vector } from '../shape/pose'
import { type Cutting, type Fit, cuttingOf } from './fit'
import { readsOf } from './flatPiece'
import { sayFound } from './found'
import { interlocked } from './relate'
import { type Pieces, type Standing, allPieces, cutPieces, standings } from './standing'

export interface InterlockOptions {
  /** How the slots take the card; `sliding` where not given. */
  readonly fit?: Fit
  /** Which family's slots open upwards; `first` where not given. The other's open downwards. */
  readonly upper?: 'first' | 'second'
  /** Which way is upwards for pieces that cross along a level line, as ribs of a fin do; z where not given. */
  readonly up?: Vector
  /** The closed end of a slot: cut square, or run into a round hole that keeps card from tearing there. */
  readonly end?: 'square' | 'relief'
}

/**
 * Cuts matching slots half-way into two families wherever their pieces cross, from where they stand in the model:
 * `const [ribs, spars] = interlock(mirrored(wingRibs), mirrored(wingSpar), { upper: 'second' })`.
 *
 * A slot is as wide as the card that goes in and the angle ask for, whatever number of plies that is, and what the
 * stock's fit adds; where two stocks differ, the larger fit and the wider web of the two hold. Port pieces meet port
 * and centre pieces, starboard pieces starboard and centre ones. Give both of two spars in one call,
 * `[frontSpar, rearSpar]`, where each rib meets both.
 *
 * Cut lightening holes after it, with `lightened`, so that they keep clear of the slots.
 *
 * @throws FindingError for a piece without a place; what cannot be slotted is a finding
 */
export function interlock(first: Pieces, second: Pieces, options: InterlockOptions = {}): [PieceSet, PieceSet] {
  const site = callSite()
  const { result, read } = recording(() => {
    const standing = (given: Pieces): Standing[] => standings(allPieces(given, 'interlock', site), 'interlock', site)
    const [a, b] = [standing(first), standing(second)]
    const pieces = [...a, ...b].flatMap((standing) => standing.pieces)
    return { a, b, locked: lockSides(a, b, options, cuttingOf(pieces, options.fit ?? 'sliding')) }
  })
  const { a, b, locked } = result
  sayFound(locked.findings, [...a, ...b].flatMap(({ pieces }) => pieces), site)
  const figures = read.filter((name) => name.startsWith('stock:'))
  const cut = (list: readonly Standing[]): PieceSet =>
    new PieceSet(
      list.flatMap((standing) => {
        const partners = locked.partners.get(standing) ?? []
        if (partners.length === 0) return standing.pieces
        const reads = readsOf(partners.flatMap((partner) => partner.pieces), figures)
        return cutPieces(standing, locked.plates.get(standing)!, reads)
      }),
    )
  return [cut(a), cut(b)]
}

interface Locked {
  readonly plates: ReadonlyMap<Standing, Plate>
  /** The pieces that go through each. */
  readonly partners: ReadonlyMap<Standing, readonly Standing[]>
  readonly findings: readonly Finding[]
}

function lockSides(first: Standing[], second: Standing[], options: InterlockOptions, cutting: Cutting): Locked {
  const all = [...first, ...second]
  const byName = new Map(all.map((standing) => [standing.plate.name, standing]))
  const plates = new Map(all.map((standing) => [standing, standing.plate]))
  const partners = new Map<Standing, Standing[]>(all.map((standing) => [standing, []]))
  const findings = new Map<string, Finding>()
  const { upper, up, end } = options
  for (const [a, b] of meetings(first, second)) {
    if (a.length === 0 || b.length === 0) continue
    const locked = interlockPlates(
      a.map((standing) => plates.get(standing)!),
      b.map((standing) => plates.get(standing)!),
      { ...cutting, ...(upper && { upper }), ...(up && { up }), ...(end && { end }) },
    )
    a.forEach((standing, i) => plates.set(standing, locked.first[i]!))
    b.forEach((standing, i) => plates.set(standing, locked.second[i]!))
    for (const crossing of locked.crossings) {
      const [one, other] = [byName.get(crossing.first)!, byName.get(crossing.second)!]
      partners.get(one)!.push(other)
      partners.get(other)!.push(one)
      const opens = scale(crossing.towards, (upper ?? 'first') === 'first' ? 1 : -1)
      interlocked(one.pieces, other.pieces, opens)
    }
    for (const finding of locked.findings) findings.set(`${finding.id} ${finding.text}`, finding)
  }
  return { plates, partners, findings: [...findings.values()].filter((finding) => holds(finding, byName, partners)) }
}

/** What meets what: each side its own side, and the pieces on the centre line both. */
function meetings(first: Standing[], second: Standing[]): [Standing[], Standing[]][] {
  const of = (list: Standing[], ...sides: Side[]) => list.filter(({ pieces }) => sides.includes(pieces[0]!.side))
  return [
    [of(first, 'P'), of(second, 'P')],
    [of(first, 'S'), of(second, 'S')],
    [of(first, ''), second],
    [of(first, 'P', 'S'), of(second, '')],
  ]
}

/** A piece that met nothing of one side may have met something of another. */
function holds(
  { id, mark }: Finding,
  byName: ReadonlyMap<string, Standing>,
  partners: ReadonlyMap<Standing, readonly Standing[]>,
): boolean {
  if (id !== 'no-crossing' && id !== 'parallel-planes') return true
  return partners.get(byName.get(mark!)!)!.length === 0
}
