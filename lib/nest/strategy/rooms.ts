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
export function occupy(rooms: Rooms, box: Bounds): void {
  const whole: Bounds[] = []
  const parts: Bounds[] = []
  for (const room of rooms.list) {
    if (box.minX >= room.maxX || box.maxX <= room.minX || box.minY >= room.maxY || box.maxY <= room.minY) {
      whole.push(room)
      continue
    }
    if (box.minX > room.minX) parts.push({ ...room, maxX: box.minX })
    if (box.maxX < room.maxX) parts.push({ ...room, minX: box.maxX })
    if (box.minY > room.minY) parts.push({ ...room, maxY: box.minY })
    if (box.maxY < room.maxY) parts.push({ ...room, minY: box.maxY })
  }
  const fresh = parts.filter((part, i) => !parts.some((other, j) => i !== j && within(part, other, j < i)))
  rooms.list = [...whole, ...fresh.filter((part) => !whole.some((room) => within(part, room, true)))]
  if (rooms.list.length > MOST_ROOMS) {
    rooms.list = rooms.list.toSorted((a, b) => size(b) - size(a) || a.minY - b.minY || a.minX - b.minX)
    rooms.list.length = MOST_ROOMS
  }
}

/** One of two equal rooms is dropped, the other kept. */
function within(inner: Bounds, outer: Bounds, orEqual: boolean): boolean {
  const inside =
    inner.minX >= outer.minX && inner.maxX <= outer.maxX && inner.minY >= outer.minY && inner.maxY <= outer.maxY
  return inside && (orEqual || size(inner) < size(outer))
}

function size(box: Bounds): number {
  return (box.maxX - box.minX) * (box.maxY - box.minY)
}

/** Keeps the work for one piece bounded on sheets full of crumbs; the smallest rooms are given up. */
const MOST_ROOMS = 64
