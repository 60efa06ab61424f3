import { woundRadius } from '../craft/roll'
import { add, along, faceNormal, scale, unit } from '../craft/space'
import { type Curved, type Form, type Ruling, type Unrolled, faceBetween } from '../model/form'
import type { Piece } from '../model/piece'
import { boundsOf } from '../shape/measure'
import type { Bounds, Loop } from '../shape/point'
import type { Pose } from '../shape/pose'

/** Where a flat thing stands. */
type Stands = Pick<Piece, 'pose' | 'also' | 'form'>

/**
 * Where a part of a piece stands that was cut out of it, in the axes of its flat, `out` mm before the middle of its card: as a
 * tile does, or what is glued to its face. Nothing of what is wound but parts of the strip itself: between its turns is no room.
 */
export function liesOn(piece: Piece, part: Loop, out = 0): Stands {
  const { pose, also, form } = piece
  if (!form) return { ...(pose && { pose: lifted(pose, out) }), ...(also && { also: also.map((one) => lifted(one, out)) }) }
  const own = formOn(piece, form, part, out)
  return own ? { ...(pose && { pose }), ...(also && { also }), form: own } : {}
}

function formOn({ outline, openings, scores }: Piece, form: Form, part: Loop, out: number): Form | undefined {
  switch (form.kind) {
    case 'folded': {
      if (form.of) return { kind: 'folded', of: { ...form.of, out: form.of.out + out } }
      const holes = openings.map(({ loop }) => loop)
      return { kind: 'folded', of: { outline, openings: holes, scores, out, ...(form.base && { base: form.base }) } }
    }
    case 'curved':
      return linesOf(out === 0 ? form : movedOut(form, out), part)
    case 'turned':
      return form.card && unrolledOn(form.card, part, out)
  }
}

/** Card that goes round once is curled card; part of a wound strip fills a ring of its own. */
function unrolledOn(card: Unrolled, part: Loop, out: number): Form | undefined {
  if (card.kind === 'lines') {
    const whole: Curved = { kind: 'curved', rulings: card.rulings }
    return linesOf(out === 0 ? whole : movedOut(whole, out), part)
  }
  if (out !== 0) return undefined
  const { inside, pitch, lift } = card
  // On the port side the strip runs the other way.
  return { kind: 'turned', profile: part.map(([x, y]) => [woundRadius(inside, pitch, Math.abs(x)), y + lift]), card }
}

function lifted(pose: Pose, out: number): Pose {
  return out === 0 ? pose : { ...pose, origin: along(pose.origin, faceNormal(pose), out) }
}

/** The lines that run through a part, and the next one to either side. */
function linesOf({ rulings }: Curved, part: Loop): Curved {
  const box = boundsOf([part])
  const through = rulings.map(({ flat }) => {
    const { minX, minY, maxX, maxY } = boundsOf([flat])
    return maxX > box.minX && minX < box.maxX && maxY > box.minY && minY < box.maxY
  })
  const [first, last] = [through.indexOf(true), through.lastIndexOf(true)]
  if (first >= 0) return { kind: 'curved', rulings: rulings.slice(Math.max(0, first - 1), last + 2) }
  // Between two neighbours: those on whose way it lies.
  const middle = (i: number): number => nearness(rulings[i]!, box) + nearness(rulings[i + 1]!, box)
  const at = rulings.slice(1).reduce((best, _, i) => (middle(i) < middle(best) ? i : best), 0)
  return { kind: 'curved', rulings: rulings.slice(at, at + 2) }
}

function nearness({ flat: [p, q] }: Ruling, { minX, minY, maxX, maxY }: Bounds): number {
  return Math.hypot((p[0] + q[0]) / 2 - (minX + maxX) / 2, (p[1] + q[1]) / 2 - (minY + maxY) / 2)
}

/** Every line moved square to the card, half way between the faces beside it. */
function movedOut({ rulings }: Curved, out: number): Curved {
  const faces = rulings.slice(1).map((next, i) => faceBetween(rulings[i]!, next))
  const lines = rulings.map(({ flat, model: [a, b] }, i): Ruling => {
    const [before, after] = [faces[i - 1] ?? faces[i]!, faces[i] ?? faces[i - 1]!]
    const way = scale(unit(add(before, after)), out)
    return { flat, model: [add(a, way), add(b, way)] }
  })
  return { kind: 'curved', rulings: lines }
}
