import type { Finding } from '../finding/finding'
import { FindingError } from '../finding/finding'
import { resolveSite } from '../finding/site'
import { subtract, unite } from '../shape/boolean'
import { boundsOf, contains, loopArea } from '../shape/measure'
import type { Bounds, Loop, Region } from '../shape/point'
import { Shape } from '../shape/shape'
import type { Draft, DraftState } from './draft'
import type { Identity } from './mirror'
import type { Opening, Piece } from './piece'

/**
 * Turns what was said of a piece into the piece: tabs joined on, slots and notches cut, openings put in.
 *
 * All cuts go into one boolean, which is what makes hundreds of ribs a second possible; openings are laid in without
 * one, because a check afterwards says where one does not lie inside.
 *
 * @throws FindingError where there is nothing left to cut out, or it falls apart
 */
export function cutOut(draft: Draft, identity: Identity): { piece: Piece; findings: Finding[] } {
  const { state } = draft
  const findings = [...state.findings, ...missedSlots(state, identity), ...oddPlaces(state, identity)]
  const body = carved(state, identity)
  const outer = body.filter((loop) => loopArea(loop) > 0)
  if (outer.length !== 1) throw notOnePiece(state, identity, outer)
  const holes = body.filter((loop) => loop !== outer[0])
  const laidIn = state.openings.flatMap((opening) =>
    typeof opening === 'function' ? opening(Shape.of(body)).flatMap((made) => made.region) : opening,
  )
  return {
    findings,
    // V8 makes an object many times faster when what is spread into it comes last.
    piece: {
      assembly: '',
      stock: state.stock,
      plies: state.plies,
      copies: state.copies,
      outline: outer[0]!,
      openings: [
        ...holes.map((loop): Opening => ({ kind: isSlot(loop, state.slots) ? 'slot' : 'opening', loop })),
        ...laidIn.map((loop): Opening => ({ kind: 'opening', loop: loopArea(loop) > 0 ? loop.toReversed() : loop })),
      ],
      scores: state.scores,
      lines: state.lines,
      texts: state.texts,
      reads: [],
      notes: state.notes,
      site: state.site,
      ...(state.grain !== undefined && { grain: state.grain }),
      ...(state.poses[0] && { pose: state.poses[0] }),
      ...(state.poses.length > 1 && { also: state.poses.slice(1) }),
      ...formOf(state),
      ...identity,
    },
  }
}

/** What is scored is folded up, unless a step of card craft says otherwise. */
function formOf({ form, scores }: DraftState): Pick<Piece, 'form'> {
  if (form) return { form }
  return scores.length > 0 ? { form: { kind: 'folded' } } : {}
}

function carved(state: DraftState, identity: Identity): Region {
  if (!state.body) throw pieceError(state, identity, 'no outline was given', 'give it one with .outline(shape)')
  const whole = state.added.length === 0 ? state.body : unite(state.body, ...state.added)
  const tools = [...state.cuts, ...state.slots]
  return tools.length === 0 ? whole : subtract(whole, ...tools)
}

function notOnePiece(state: DraftState, identity: Identity, outer: readonly Loop[]): FindingError {
  if (outer.length === 0) {
    return pieceError(state, identity, 'nothing of the piece is left: its area is 0 mm²', 'check its size and its cuts')
  }
  const areas = outer.map((loop) => loopArea(loop).toFixed(1)).join(', ')
  return pieceError(
    state,
    identity,
    `it falls into ${outer.length} parts of ${areas} mm² where one is meant`,
    'make the cuts shallower, or the tabs reach the body',
  )
}

/** Places beyond the copies that are cut, and a base that is on none of its panels. */
function oddPlaces(state: DraftState, { mark, family }: Identity): Finding[] {
  const { poses, copies, form } = state
  const site = resolveSite(state.site)
  const about = { severity: 'warning', mark, family, ...(site && { site }) } as const
  const found: Finding[] = []
  if (poses.length > copies) {
    const text = `it has ${poses.length} places and is cut ${copies === 1 ? 'once' : `${copies} times`}: some would stay empty`
    const remedy = `ask for ${poses.length} of it with copies: ${poses.length}, or take places away`
    found.push({ ...about, id: 'more-places', text, remedy, found: poses.length, wanted: copies })
  }
  const base = form?.kind === 'folded' ? form.base : undefined
  if (base && !contains(carved(state, { mark, family, side: '', station: 1 }), base)) {
    const [x, y] = base
    const text = `its base (${x.toFixed(2)}, ${y.toFixed(2)}) mm is not on the piece: 0 of its panels have it, 1 is needed`
    found.push({ ...about, id: 'base-outside', text, remedy: 'give a point in the middle of the panel that is placed', at: base, found: 0, wanted: 1 })
  }
  return found
}

function missedSlots(state: DraftState, identity: Identity): Finding[] {
  const body = state.body
  if (!body) return []
  return state.slots
    .filter((slot) => slot.length > 0 && !meet(slot, body) && !state.added.some((more) => meet(slot, more)))
    .map((slot) => {
      const at = centre(boundsOf(slot))
      const site = resolveSite(state.site)
      return {
        id: 'slot-outside',
        severity: 'error',
        text: `a slot at (${at[0].toFixed(2)}, ${at[1].toFixed(2)}) mm does not touch the piece`,
        remedy: 'move the slot on to the piece',
        mark: identity.mark,
        family: identity.family,
        at,
        ...(site && { site }),
      } as const
    })
}

/** Whether two areas touch, judged by their corners: true to life for slots, which are small and plain. */
function meet(slot: Region, body: Region): boolean {
  if (slot.some((loop) => loop.some((p) => contains(body, p)))) return true
  return body.some((loop) => loop.some((p) => contains(slot, p))) || crossBounds(boundsOf(slot), body)
}

/** A slot right across a thin piece has no corner inside: then an edge of the body runs through its middle. */
function crossBounds(slot: Bounds, body: Region): boolean {
  return contains(body, centre(slot))
}

function isSlot(loop: Loop, slots: readonly Region[]): boolean {
  const bounds = boundsOf([loop])
  const at = centre(bounds)
  return slots.some((slot) => contains(slot, at))
}

function centre(bounds: Bounds): readonly [number, number] {
  return [(bounds.minX + bounds.maxX) / 2, (bounds.minY + bounds.maxY) / 2]
}

function pieceError(state: DraftState, identity: Identity, text: string, remedy: string): FindingError {
  const site = resolveSite(state.site)
  return new FindingError({
    id: 'piece',
    severity: 'error',
    text,
    remedy,
    mark: identity.mark,
    family: identity.family,
    ...(site && { site }),
  })
}
