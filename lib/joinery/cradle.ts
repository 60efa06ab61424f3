import { FindingError } from '../finding/finding'
import { callSite } from '../finding/site'
import { cradle as cradlePlates } from '../craft/jig'
import type { Plate } from '../craft/plate'
import { recording } from '../length/bench'
import { type Length, ZERO, mm } from '../length/length'
import { PieceSet } from '../model/assembly'
import type { Piece } from '../model/piece'
import { type Fit, cuttingOf } from './fit'
import { flatPiece, readsOf, say } from './flatPiece'
import { located } from './located'
import { interlocked } from './relate'
import { type Pieces, type Standing, allPieces, standings, thicknessOf } from './standing'

export interface CradleOptions {
  readonly stock: string
  readonly plies?: number
  /** Height of the building board in the model's own axes. */
  readonly board: Length
  /** Numbers of the frames that get a saddle; all of them where not given. */
  readonly stations?: readonly number[]
  /** From the frames' outline to the saddles: the skin, and room for it. */
  readonly clearance?: Length
  /** How far up the saddles hold each frame, from its lowest point. */
  readonly rise: Length
  /** Card beside the hull at the top of a saddle; 4 mm where not given. */
  readonly wall?: Length
  /** From one rail to the other. */
  readonly gauge: Length
  readonly railHeight: Length
  /** How far the rails run on beyond the first and last saddle; 5 mm where not given. */
  readonly overhang?: Length
  readonly fit?: Fit
}

/**
 * A building cradle for frames at their stations, cut from the frames' own outlines: saddles `JC-01`, `JC-02`… under
 * the frames, on two rails `JC-RP` and `JC-RS` that stand on the board. `cradle('JC', frames, { … })`. What a rake or a
 * twist asks of it follows from where the frames stand.
 *
 * @throws FindingError for frames without a place, and fewer than two
 */
export function cradle(code: string, frames: Pieces, options: CradleOptions): PieceSet {
  const site = callSite()
  const card = { stock: options.stock, plies: options.plies ?? 1 }
  const { result, read } = recording(() => {
    const all = standings(allPieces(frames, 'cradle', site), 'cradle', site)
    const held = options.stations ? options.stations.map((n) => frameAt(all, n, code)) : all
    const half = mm(options.gauge) / 2
    const spec = {
      frames: held.map(({ plate }) => plate),
      board: mm(options.board),
      clearance: mm(options.clearance ?? ZERO),
      rise: mm(options.rise),
      wall: options.wall ? mm(options.wall) : WALL,
      rails: [-half, half],
      railHeight: mm(options.railHeight),
      overhang: options.overhang ? mm(options.overhang) : OVERHANG,
      thickness: thicknessOf(card),
      ...cuttingOf([card], options.fit ?? 'sliding'),
    }
    return { ...located(site, code, () => cradlePlates(spec)), held }
  })
  say(result.findings.map((finding) => ({ ...finding, family: code })), site)
  const reads = readsOf(result.held.flatMap(({ pieces }) => pieces), read)
  const cut = (plate: Plate, mark: string, station: number, note: string): Piece =>
    flatPiece(
      { outline: plate.outline, openings: plate.openings, scores: [], lines: [] },
      { mark, family: code, station, ...card, pose: plate.pose, notes: [note], reads, site },
    )
  const saddles = result.saddles.map((plate, i) => {
    const { station, mark } = result.held[i]!.pieces[0]!
    return cut(plate, `${code}-${String(station).padStart(2, '0')}`, station, `Jig: saddle under ${mark}.`)
  })
  const rails = result.rails.map((plate, i) =>
    cut(plate, `${code}-R${i === 0 ? 'P' : 'S'}`, i + 1, 'Jig: rail, glued to the board.'),
  )
  for (const { first, second, towards } of result.crossings) {
    const rail = rails[result.rails.findIndex(({ name }) => name === first)]!
    const saddle = saddles[result.saddles.findIndex(({ name }) => name === second)]!
    interlocked([rail], [saddle], towards)
  }
  return new PieceSet([...saddles, ...rails])
}

const WALL = 4
const OVERHANG = 5

function frameAt(all: readonly Standing[], number: number, code: string): Standing {
  const found = all.find(({ pieces }) => pieces[0]!.station === number)
  if (found) return found
  const numbers = all.map(({ pieces }) => pieces[0]!.station)
  throw new FindingError({
    id: 'cradle',
    severity: 'error',
    text: `cradle ${code}: there is no frame at station ${number}`,
    remedy: `its frames stand at stations ${numbers[0]} to ${numbers.at(-1)}`,
    family: code,
  })
}
