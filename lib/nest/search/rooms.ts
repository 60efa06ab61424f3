import type { Bounds } from '../../shape/point'

/**
 * The free room of one sheet as the largest upright rectangles that fit between what is placed: they may overlap
 * each other (Jylänki, "A Thousand Ways to Pack the Bin", 2010, calls the method maximal rectangles).
 */
export interface Rooms {
  list: Bounds[]
}

export interface Spot {
  readonly x: number
  readonly y: number
  /** Smaller is better: width left over on the tighter side, then on the other. */
  readonly tight: number
  readonly loose: number
}

export function emptyRooms(area: Bounds): Rooms {
  return { list: area.maxX > area.minX && area.maxY > area.minY ? [area] : [] }
}

/** The lower left corner of the room that a box leaves least of on its tighter side. */
export function findSpot(rooms: Rooms, width: number, height: number, allowance: number): Spot | undefined {
  let best: Spot | undefined
  for (const room of rooms.list) {
    const overX = room.maxX - room.minX - width
    const overY = room.maxY - room.minY - height
    if (overX < -allowance || overY < -allowance) continue
    const tight = Math.min(overX, overY)
    const loose = Math.max(overX, overY)
    const gain = best ? best.tight - tight || best.loose - loose || best.y - room.minY || best.x - room.minX : 1
    if (gain > 0) best = { x: room.minX, y: room.minY, tight, loose }
  }
  return best
}

/** Takes a box out of the free room. */
export function occupy(rooms: Rooms, { minX, minY, maxX, maxY }: Bounds): void {
  const { list } = rooms
  const whole: Bounds[] = []
  const parts: Bounds[] = []
  for (let i = 0; i < list.length; i++) {
    const room = list[i]!
    if (minX >= room.maxX || maxX <= room.minX || minY >= room.maxY || maxY <= room.minY) {
      whole.push(room)
      continue
    }
    if (minX > room.minX) parts.push({ minX: room.minX, minY: room.minY, maxX: minX, maxY: room.maxY })
    if (maxX < room.maxX) parts.push({ minX: maxX, minY: room.minY, maxX: room.maxX, maxY: room.maxY })
    if (minY > room.minY) parts.push({ minX: room.minX, minY: room.minY, maxX: room.maxX, maxY: minY })
    if (maxY < room.maxY) parts.push({ minX: room.minX, minY: maxY, maxX: room.maxX, maxY: room.maxY })
  }
  const count = whole.length
  for (let i = 0; i < parts.length; i++) if (!isWithinOther(parts, i, whole, count)) whole.push(parts[i]!)
  rooms.list = whole
  if (whole.length > MOST_ROOMS) {
    rooms.list = whole.toSorted((a, b) => size(b) - size(a) || a.minY - b.minY || a.minX - b.minX)
    rooms.list.length = MOST_ROOMS
  }
}

/** Whether a part lies within a whole room or another part; of two equal parts the second does. */
function isWithinOther(parts: readonly Bounds[], at: number, whole: readonly Bounds[], count: number): boolean {
  const part = parts[at]!
  for (let i = 0; i < count; i++) if (within(part, whole[i]!)) return true
  for (let i = 0; i < parts.length; i++) if (i !== at && within(part, parts[i]!) && (i < at || !within(parts[i]!, part))) return true
  return false
}

function within(inner: Bounds, outer: Bounds): boolean {
  return inner.minX >= outer.minX && inner.maxX <= outer.maxX && inner.minY >= outer.minY && inner.maxY <= outer.maxY
}

function size(box: Bounds): number {
  return (box.maxX - box.minX) * (box.maxY - box.minY)
}

/** Keeps the work for one piece bounded on sheets full of crumbs; the smallest rooms are given up. */
const MOST_ROOMS = 64
