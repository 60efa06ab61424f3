import { describe, expect, test } from 'vitest'
import { parseScale } from '../../lib/length/scale'
import type { Piece } from '../../lib/model/piece'
import { entryId, type Deed, type LogEntry } from '../../lib/revision/logbook'
import { type Manifest, manifestOf } from '../../lib/revision/manifest'
import { progressOf } from '../../lib/revision/progress'
import { type LoggedShape, shapeOf } from '../../lib/revision/shapes'
import { builtInStock } from '../../lib/stock/catalogue'
import { NO_SURVEY } from '../../lib/survey/table'
import { box, hole, line, testPiece } from '../sheet/pieces'

const stocks = new Map(['folder', 'divider'].map((id) => [id, builtInStock(id)]))

function buildOf(...pieces: Piece[]): Manifest {
  const assemblies = ['hull', 'hull/frames', 'cabin']
  const rest = { assemblies, relations: [], survey: NO_SURVEY, findings: [], scale: parseScale('1:60'), stocks }
  return manifestOf({ name: 'tug', title: 'Tug', pieces, ...rest }, [])
}

/** A frame of the hull: a plate of divider card, 450 microns thick. */
function frame(mark: string, width: number, rest: Partial<Piece> = {}): Piece {
  return testPiece(mark, box(0, 0, width, 10), { family: 'FR', assembly: 'hull/frames', stock: 'divider', ...rest })
}

/** A seat of folder card, folded. */
function seat(mark: string, rest: Partial<Piece> = {}): Piece {
  const score = { fold: 'valley' as const, line: [[0, 5], [20, 5]] as const, angle: 90 }
  return testPiece(mark, box(0, 0, 20, 30), { family: 'SE', assembly: 'cabin', scores: [score], ...rest })
}

/** The logbook of one bench: enters what is done to the pieces of a build, an hour apart. */
function bench() {
  const entries: LogEntry[] = []
  const shapes = new Map<string, LoggedShape>()
  const at = (build: Manifest, mark: string) => build.pieces.find((piece) => piece.mark === mark)!
  return {
    entries,
    shapes,
    did(did: Deed, build: Manifest, marks: string, minutes?: number, count = 1, wanted?: string) {
      const pieces = marks.split(' ').map((mark) => {
        const piece = at(build, mark)
        shapes.set(piece.fingerprint, shapeOf(piece))
        return { mark, count, fingerprint: piece.fingerprint, ...(wanted !== undefined && { for: wanted }) }
      })
      const time = `2026-03-${String(10 + entries.length)}T20:00:00Z`
      entries.push({ time, model: 'tug', did, pieces, ...(minutes !== undefined && { minutes }) })
    },
    progress: (build: Manifest, within?: number) =>
      progressOf(build, entries, { shapes, ...(within !== undefined && { within }) }),
  }
}

const NOTHING = { printed: 0, cut: 0, formed: 0, glued: 0, spare: 0, scrapped: 0 }

describe('progress', () => {
  const build = buildOf(frame('FR-01', 40), frame('FR-02', 40, { plies: 2 }), seat('SE-01', { copies: 3 }))

  test('of a bench with nothing on it: all is to do, by rule of thumb', () => {
    const { total, assemblies, stocks, spent, toGo, rates, stale, series } = bench().progress(build)
    // Round a frame 100 mm, three plates; round a seat 100 mm, three of them.
    expect(total).toEqual({ ...NOTHING, needed: 6, toForm: 3, mm: 600, mmCut: 0 })
    expect(assemblies.map(({ name, needed, mm }) => [name, needed, mm])).toEqual([
      ['hull', 3, 300],
      ['hull/frames', 3, 300],
      ['cabin', 3, 300],
    ])
    expect(stocks.map(({ name, needed }) => [name, needed])).toEqual([
      ['divider', 3],
      ['folder', 3],
    ])
    expect(spent.hours).toBe(0)
    // 600 mm at 30 mm a minute, 3 pieces at 2 minutes to form, 6 pieces at 6 minutes to glue.
    expect(toGo.likely).toBeCloseTo((600 / 30 + 3 * 2 + 6 * 6) / 60, 12)
    expect(toGo.low).toBeGreaterThan(0)
    expect(rates.cut.entries + rates.formed.entries + rates.glued.entries).toBe(0)
    expect([stale, series]).toEqual([[], []])
  })

  test('counts each piece at every stage it has passed, and no more than are needed', () => {
    const { did, progress } = bench()
    did('printed', build, 'FR-01 FR-02 SE-01', undefined, 3)
    did('cut', build, 'SE-01', 30, 4)
    did('formed', build, 'SE-01', 10, 2)
    did('glued', build, 'SE-01', 5)
    const seats = progress(build).pieces[2]!
    expect(seats.done).toEqual({ printed: 3, cut: 3, formed: 2, glued: 1 })
    expect(seats.spare).toBe(1)
    expect(progress(build).total).toMatchObject({ printed: 6, cut: 3, formed: 2, glued: 1, spare: 1, mmCut: 300 })
    expect(progress(build).spent).toMatchObject({ hours: 0.75, by: { cut: 0.5, formed: 1 / 6, glued: 1 / 12 } })
    did('scrapped', build, 'SE-01', undefined, 3)
    // The knife spoils what it has just cut: of two cut, one formed and one glued, the glued one is left.
    expect(progress(build).pieces[2]).toMatchObject({ done: { cut: 1, formed: 1, glued: 1 }, spare: 0, scrapped: 3 })
  })

  test('gluing takes in cutting that nobody entered', () => {
    const { did, progress } = bench()
    did('glued', build, 'FR-01')
    expect(progress(build).pieces[0]!.done).toEqual({ printed: 1, cut: 1, formed: 1, glued: 1 })
  })

  test('an entry withdrawn leaves nothing behind, and one of another model is not counted', () => {
    const { did, progress, entries } = bench()
    did('cut', build, 'FR-01', 30)
    entries.push({ time: '2026-03-20T08:00:00Z', model: 'tug', did: 'withdrawn', entry: entryId(entries[0]!) })
    entries.push({ ...entries[0]!, time: '2026-03-21T08:00:00Z', model: 'tram' })
    expect(progress(build).total.cut).toBe(0)
    expect(progress(build).spent.hours).toBe(0)
    expect(progress(build).series).toEqual([])
  })

  test('the series has hours and pieces on the bench after each entry', () => {
    const { did, progress } = bench()
    did('cut', build, 'FR-01 SE-01', 30)
    did('glued', build, 'SE-01', 15)
    did('scrapped', build, 'SE-01')
    expect(progress(build).series).toEqual([
      { time: '2026-03-10T20:00:00Z', hours: 0.5, cut: 2, glued: 0 },
      { time: '2026-03-11T20:00:00Z', hours: 0.75, cut: 2, glued: 1 },
      { time: '2026-03-12T20:00:00Z', hours: 0.75, cut: 1, glued: 0 },
    ])
  })
})

describe('pieces that the model has moved on from', () => {
  const before = buildOf(frame('FR-01', 40), frame('FR-02', 50), seat('SE-01'))
  const after = buildOf(frame('FR-01', 40.2), frame('FR-02', 50.6), seat('SE-01'))

  test('within half a card they still count, beyond it they are to be cut again', () => {
    const { did, progress } = bench()
    did('cut', before, 'FR-01 FR-02 SE-01', 60)
    did('glued', before, 'FR-02')
    const { stale, total, pieces } = progress(after)
    expect(stale).toMatchObject([
      { mark: 'FR-01', change: 'reshaped', count: 1, glued: 0, tolerance: 0.225, within: true, kept: false },
      { mark: 'FR-02', change: 'reshaped', count: 1, glued: 1, tolerance: 0.225, within: false, kept: false },
    ])
    // A plate that grew at one end is off by just that.
    expect(stale[0]!.deviation).toBeCloseTo(0.2, 3)
    expect(stale[1]!.deviation).toBeCloseTo(0.6, 3)
    expect(pieces.map(({ done }) => done.cut)).toEqual([1, 0, 1])
    expect(total).toMatchObject({ cut: 2, glued: 0 })
    expect(progress(after, 0.7).total).toMatchObject({ cut: 3, glued: 1 })
    expect(progress(after, 0.1).total).toMatchObject({ cut: 1, glued: 0 })
  })

  test('one accepted as it is counts, until the model changes again', () => {
    const { did, progress } = bench()
    did('glued', before, 'FR-02')
    did('kept', before, 'FR-02', undefined, 1, after.pieces[1]!.fingerprint)
    expect(progress(after).stale).toMatchObject([{ mark: 'FR-02', kept: true, within: false }])
    expect(progress(after).total.glued).toBe(1)
    const later = buildOf(frame('FR-01', 40), frame('FR-02', 51), seat('SE-01'))
    expect(progress(later).stale).toMatchObject([{ mark: 'FR-02', kept: false }])
    expect(progress(later).total.glued).toBe(0)
  })

  test('once a new one is cut and glued the old one is no longer spoken of, nor when it was scrapped', () => {
    const { did, progress } = bench()
    did('glued', before, 'FR-02')
    did('cut', after, 'FR-02')
    expect(progress(after).stale).toMatchObject([{ mark: 'FR-02', glued: 1 }])
    did('glued', after, 'FR-02')
    expect(progress(after).stale).toEqual([])
    const other = bench()
    other.did('cut', before, 'FR-02')
    other.did('scrapped', before, 'FR-02')
    expect(other.progress(after)).toMatchObject({ stale: [], total: { cut: 0, scrapped: 1 } })
  })

  test('of other card, with other folds or of unknown shape it is not within any tolerance', () => {
    const { did, progress, shapes } = bench()
    did('cut', before, 'FR-01 FR-02 SE-01')
    const fold = { fold: 'mountain' as const, line: [[0, 5], [20, 5]] as const, angle: 90 }
    const other = buildOf(frame('FR-01', 40, { stock: 'folder' }), frame('FR-02', 50.1), seat('SE-01', { scores: [fold] }))
    shapes.delete(before.pieces[1]!.fingerprint)
    expect(progress(other, 100).stale.map(({ mark, change, within }) => [mark, change, within])).toEqual([
      ['FR-01', 'restocked', false],
      ['FR-02', 'unknown', false],
      ['SE-01', 'refolded', false],
    ])
  })

  test('a change of text, mark or place costs nothing: renamed and renumbered pieces keep their work', () => {
    const { did, progress } = bench()
    did('glued', before, 'FR-01 FR-02', 30)
    // A frame comes in at the bow, so that all numbers move on; the family has another name.
    const renamed = (mark: string, width: number) => frame(mark, width, { lines: [line('align', box(1, 1, 2, 2))] })
    const moved = buildOf(renamed('FR-01', 30), renamed('FR-02', 40), renamed('FR-03', 50), seat('SE-01'))
    expect(progress(moved)).toMatchObject({ stale: [], gone: [], total: { needed: 4, cut: 2, glued: 2 } })
    expect(progress(moved).pieces.map(({ done }) => done.glued)).toEqual([0, 1, 1, 0])
    const all = buildOf(renamed('HF-01', 40), renamed('HF-02', 50))
    expect(progress(all)).toMatchObject({ stale: [], gone: [], total: { glued: 2 } })
  })

  test('pieces that the model has no more use for are named', () => {
    const { did, progress } = bench()
    did('glued', before, 'FR-01 FR-02')
    expect(progress(buildOf(frame('FR-01', 40))).gone).toEqual([
      { mark: 'FR-02', fingerprint: before.pieces[1]!.fingerprint, count: 1, glued: 1 },
    ])
  })

  test('openings count as cut, and are compared', () => {
    const holed = buildOf(frame('FR-01', 40, { openings: [hole(20, 5, 2)] }))
    const wider = buildOf(frame('FR-01', 40, { openings: [hole(20, 5, 2.5)] }))
    const { did, progress } = bench()
    did('cut', holed, 'FR-01')
    expect(progress(holed).total.mmCut).toBeCloseTo(100 + 2 * Math.PI * 2, 1)
    expect(progress(wider).stale[0]!.deviation).toBeCloseTo(0.5, 2)
  })
})
