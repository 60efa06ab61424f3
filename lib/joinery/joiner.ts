import { type Length, above0, mm } from '../length/length'
import { joinerStrip } from '../craft/strip'
import type { At, Draft } from '../model/draft'
import type { Point } from '../shape/point'
import { type CraftPart, craftDraft } from './craftDraft'

export interface JoinerOptions extends CraftPart {
  /** The line of the joint, in the axes of the pieces joined. */
  readonly joint: readonly At[]
  /** Half of it comes behind each piece. */
  readonly width: Length
}

/**
 * A strip glued behind a butt joint, the joint drawn on it and its grain across the joint. Say what it joins with
 * `.gluedTo(panels)`, or with both of two families, so that a gap is found.
 */
export function joiner({ joint, width, ...part }: JoinerOptions): Draft {
  const line = joint.map(([x, y]): Point => [mm(x), mm(y)])
  const [from, to] = [line[0]!, line.at(-1)!]
  const along = (Math.atan2(to[1] - from[1], to[0] - from[0]) * 180) / Math.PI
  return craftDraft({ ...joinerStrip(line, above0(width, 'the width of a joiner')), grain: (along + 270) % 180 }, part)
}
