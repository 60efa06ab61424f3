import { type Finding, FindingError } from '../finding/finding'
import { callSite } from '../finding/site'
import { recording } from '../length/bench'
import { type Length, mm } from '../length/length'
import { bench } from '../length/unit'
import { type PetalSurface, petals as petalPanels } from '../craft/gore'
import { lengthOf } from '../craft/line'
import { toModel } from '../craft/space'
import { mirrorPiece } from '../model/mirror'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import type { Place } from '../model/plane'
import { session } from '../model/session'
import type { Point } from '../shape/point'
import type { Vector } from '../shape/pose'
import { batten } from './batten'
import { flatPiece, readsOf, say } from './flatPiece'
import { located } from './located'
import { type Run, type RunSection, mmOr, sectionsOf } from './sections'
import { onSide } from './covering'
import { joinMarks } from './relate'
import { curvedAs, toMiddle } from './rulings'
import { meetAlong, meetOnCentre } from './seam'
import { squareMove, squared } from './sheetRoom'
import { type EdgePlace, stretchOf } from './stretch'

export interface PetalsOptions {
  readonly stock: string
  /** Part of each section that is covered, counter-clockwise. */
  readonly from: EdgePlace
  readonly to: EdgePlace
  /** The point in which all petals end. */
  readonly tip: Place
  /** How many, or the most that their middles may stand off the surface, for which the fewest are taken. */
  readonly count?: number
  readonly gap?: Length
  /** Which face of the card the sections describe. */
  readonly face?: 'inside' | 'outside'
  readonly handed?: boolean
  readonly notch?: Length
  readonly note?: string
}

/** Gap between card and surface where nothing is said, mm: it closes under a thumb. */
const GAP = 0.3

/**
 * Petals over a doubly curved end, such as the bow of a hull: from a tip over a run of sections, given in order from
 * the tip. Seams divide the covered part of each section into equal lengths, and each petal is the developable surface
 * between two seams, so that neighbours have the same edge: `petals('BW', bowSections, { from: chine, to: 'top', … })`.
 */
export function petals(code: string, over: Run, options: PetalsOptions): PieceSet {
  const site = callSite()
  const { result, read } = recording(() =>
    located(site, code, () => {
      const { list, pieces: under, handed } = sectionsOf(over, mmOr(options.notch, 3))
      const thickness = mm(bench.plies(options.stock))
      const { k } = session().stocks.get(options.stock)!.fold
      const spec = {
        meridian: meridians(list, options),
        from: 0,
        to: 100,
        out: options.face === 'outside' ? (k.value - 1) * thickness : k.value * thickness,
      }
      const wanted = mmOr(options.gap, GAP)
      const made = options.count ? petalPanels({ ...spec, count: options.count }) : fewest(spec, wanted)
      const middle = toMiddle(options.face ?? 'inside', thickness)
      return { ...made, under, middle, wanted, both: options.handed ?? handed }
    }),
  )
  const { panels, count, gap, findings, under, middle, wanted, both } = result
  say(
    findings.map((finding) => ({ ...finding, family: code })),
    site,
  )
  const reads = readsOf(under, read)
  const pieces = panels.map(({ flat, development, findings: own }, i) => {
    const identity = (side: 'P' | 'S' | '') => ({
      mark: `${code}-${side}${String(i + 1).padStart(2, '0')}`,
      family: code,
      side,
      station: i + 1,
    })
    const mine = identity(both ? 'S' : '')
    say(
      own.map((finding) => ({ ...finding, mark: mine.mark, family: code })),
      site,
    )
    const notes = [
      `Petal ${i + 1} of ${count}${both ? ' a side' : ''}; ` +
        `its middle stands ${gap.toFixed(2)} mm off the surface or less.`,
      ...(options.note ? [options.note] : []),
    ]
    const piece = flatPiece(squared(flat), {
      ...mine,
      stock: options.stock,
      notes,
      form: curvedAs(development, middle, squareMove(flat)),
      reads,
      site,
    })
    return both ? [mirrorPiece(piece, identity('P')), piece] : [piece]
  })
  joinPetals(pieces)
  for (const piece of pieces.flat()) {
    for (const { mark } of under) joinMarks('glue', piece.mark, onSide(mark, under, piece.side), Math.max(gap, wanted))
  }
  return new PieceSet(pieces.flat())
}

/** Neighbours meet all along, and with those of the other side where they end on the centre plane. */
function joinPetals(petals: readonly (readonly Piece[])[]): void {
  for (const [i, own] of petals.entries()) {
    const [port, starboard] = own
    if (port && starboard) meetOnCentre(port, starboard)
    for (const [side, piece] of own.entries()) if (i > 0) meetAlong(petals[i - 1]![side]!, piece)
  }
}

/** More petals than this nobody cuts. */
const MOST = 48

/** As few petals as keep within the gap. So few that their seams run apart, round more than half the end, are none. */
function fewest(spec: Omit<PetalSurface, 'count'>, gap: number): ReturnType<typeof petalPanels> {
  for (let count = 1; ; count++) {
    try {
      const made = petalPanels({ ...spec, count })
      if (made.gap <= gap) return made
      if (count >= MOST) return { ...made, findings: [...made.findings, wideGap(made.gap, gap, count)] }
    } catch (error) {
      if (count >= MOST || !(error instanceof FindingError) || error.finding.id !== 'skin-topology') throw error
    }
  }
}

function wideGap(found: number, wanted: number, count: number): Finding {
  return {
    id: 'gore-gap',
    severity: 'warning',
    text: `${count} petals leave a gap of ${found.toFixed(2)} mm, ${wanted.toFixed(2)} mm is wanted`,
    remedy: 'allow the gap, or carve the end from a lamination',
    found,
    wanted,
  }
}

/** Seams as lines in space from the tip, by their share of the covered length in hundredths. */
function meridians(list: readonly RunSection[], { from, to, tip }: PetalsOptions): (share: number) => Vector[] {
  const end = tip.map(mm) as unknown as Vector
  const stretches = list.map((section) => ({ section, line: stretchOf(section, from, to) }))
  return (share) =>
    batten([end, ...stretches.map(({ section, line }) => toModel(section.pose, alongLine(line, share / 100)))])
}

function alongLine(line: readonly Point[], share: number): Point {
  let left = lengthOf(line) * share
  for (let i = 1; i < line.length; i++) {
    const [p, q] = [line[i - 1]!, line[i]!]
    const step = Math.hypot(q[0] - p[0], q[1] - p[1])
    if (left <= step) return [p[0] + ((q[0] - p[0]) * left) / step, p[1] + ((q[1] - p[1]) * left) / step]
    left -= step
  }
  return line.at(-1)!
}
