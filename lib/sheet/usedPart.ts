import { cornersOf, type Rectangle } from '../stock/offcut'
import type { Mark } from './drawing'
import { hatch } from './hatch'
import { letter, textWidth } from './lettering'

/**
 * A part of a sheet that is gone: outlined, hatched wide apart, for there may be no card to take the ink, and named
 * where the word has room.
 */
export function drawUsed(part: Rectangle): Mark[] {
  const around = cornersOf(part)
  const lines = hatch([around], HATCHING).map((points) => ({ points, closed: false }))
  const upright = part.height > part.width
  const [x, y] = [part.x + part.width / 2, part.y + part.height / 2]
  const isRoomy = Math.min(part.width, part.height) > 2 * SIZE && textWidth(NAME, SIZE) < Math.max(part.width, part.height)
  return [
    { kind: 'stroke', role: 'frame', lines: [{ points: around, closed: true }] },
    { kind: 'stroke', role: 'hatch', lines },
    ...(isRoomy
      ? [letter(NAME, { at: upright ? [x + SIZE / 2, y] : [x, y - SIZE / 2], size: SIZE, angle: upright ? 90 : 0, anchor: 'middle' })]
      : []),
  ]
}

const NAME = 'used'
const SIZE = 3
const HATCHING = { angle: 45, pitch: 6 }
