import type { Loop, Point, Polyline } from '../shape/point'
import type { Vector } from '../shape/pose'
import type { Blank, Form, Ruling } from './form'
import { mirrorPoint, mirrorPose } from './plane'
import type { Piece, Side } from './piece'

/** What tells one piece of a family from another. */
export interface Identity {
  readonly mark: string
  readonly family: string
  readonly side: Side
  readonly station: number
}

/**
 * The piece for the other side: its flat shape mirrored left to right and its pose mirrored on the centre plane, so
 * that the printed face looks to the mirrored side. Folds keep their kind: a valley still closes towards the print.
 */
export function mirrorPiece(given: Piece, identity: Identity): Piece {
  const { grain, pose, also, form, ...rest } = given
  return {
    ...rest,
    ...identity,
    outline: flipLoop(given.outline),
    openings: given.openings.map(({ kind, loop }) => ({ kind, loop: flipLoop(loop) })),
    scores: given.scores.map((score) => ({ ...score, line: score.line.map(flip) })),
    lines: given.lines.map((line) => ({ ...line, line: line.line.map(flip) })),
    texts: given.texts.map((text) => ({ ...text, at: flip(text.at), angle: text.angle === 0 ? 0 : -text.angle })),
    ...(grain !== undefined && { grain: (180 - grain) % 180 }),
    ...(pose && { pose: mirrorPose(pose) }),
    ...(also && { also: also.map(mirrorPose) }),
    ...(form && { form: mirrorForm(form, pose !== undefined) }),
  }
}

function mirrorForm(form: Form, posed: boolean): Form {
  // In the axes of a mirrored pose what was to the right is to the left.
  const across = posed ? ([x, y, z]: Vector): Vector => [x === 0 ? 0 : -x, y, z] : mirrorPoint
  switch (form.kind) {
    case 'folded':
      return {
        ...form,
        ...(form.base && { base: flip(form.base) }),
        ...(form.of && { of: mirrorBlank(form.of) }),
      }
    case 'curved':
      return { ...form, rulings: mirrorRulings(form.rulings, across) }
    case 'turned':
      return form.card?.kind === 'lines' ? { ...form, card: { ...form.card, rulings: mirrorRulings(form.card.rulings, across) } } : form
  }
}

function mirrorRulings(rulings: readonly Ruling[], across: (point: Vector) => Vector): Ruling[] {
  return rulings.map(({ flat: [a, b], model: [from, to] }) => ({ flat: [flip(a), flip(b)], model: [across(from), across(to)] }))
}

function mirrorBlank(blank: Blank): Blank {
  return {
    ...blank,
    outline: flipLoop(blank.outline),
    openings: blank.openings.map(flipLoop),
    scores: blank.scores.map((score) => ({ ...score, line: score.line.map(flip) })),
    ...(blank.base && { base: flip(blank.base) }),
  }
}

/** Reversed as well as flipped, so that the loop keeps its winding. */
function flipLoop(loop: Loop): Polyline {
  return loop.map(flip).toReversed()
}

function flip([x, y]: Point): Point {
  return [x === 0 ? 0 : -x, y]
}
