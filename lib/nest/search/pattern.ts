import type { Bounds } from '../../shape/point'
import type { Random } from './random'
import { emptyRooms, occupy } from './rooms'

/** Alike pieces in rows and columns, laid as one; mm and mm². */
export interface Block {
  /** Which pieces it is made of. */
  readonly plate: number
  readonly count: number
  readonly width: number
  readonly height: number
  /** Within the outlines of its pieces. */
  readonly area: number
}

export interface PatternTask<B extends Block> {
  readonly blocks: readonly B[]
  /** By plate: how many pieces there are. */
  readonly counts: readonly number[]
  readonly width: number
  readonly height: number
  /** What nothing may come nearer to than the gap. */
  readonly taken: readonly Bounds[]
  readonly gap: number
  readonly random: Random
}

export interface Pattern<B extends Block> {
  /** With their lower left corners, in the order they were laid. */
  readonly laid: readonly { readonly block: B; readonly x: number; readonly y: number }[]
  /** Within the outlines of all that is laid, mm². */
  readonly area: number
  /** Filled from the left instead of from the bottom. */
  readonly sideways: boolean
  /** Whether no piece is left. */
  readonly whole: boolean
  /** How much of the height, or sideways of the width, is taken. */
  readonly share: number
}

/**
 * Sets blocks out on a sheet, each in the corner of the lowest free rectangle, and there the one that fills it best. With
 * chance in what counts as best it does so again and again, mostly going on from the first part of the best pattern.
 */
export class Patterns<B extends Block> {
  /** Blocks that were weighed. */
  asked = 0
  private readonly task: PatternTask<B>
  /** By length in steps: how much of it can be used. */
  private readonly usableAcross: Float64Array
  private readonly usableUp: Float64Array

  constructor(task: PatternTask<B>) {
    this.task = task
    const { blocks, width, height, gap } = task
    this.usableAcross = usable(width + gap, blocks.map((block) => block.width + gap))
    this.usableUp = usable(height + gap, blocks.map((block) => block.height + gap))
  }

  /**
   * What takes in most, and where that is all, what needs least of the sheet.
   * @param most blocks that may be weighed; one pattern is made at any rate
   * @param sideways which way to fill it; either where that is not told
   */
  best(most: number, sideways?: boolean): Pattern<B> {
    const { random } = this.task
    let best: Pattern<B> | undefined
    // What to go on from: the best that does with as little of the sheet as is aimed at.
    let model: Pattern<B> | undefined
    while (!best || this.asked < most) {
      const share = best?.whole ? best.share - LEAST_GAIN : 1
      const like = model && random.unit() < LIKE_BEST ? model : undefined
      this.asked += ROOM_STEPS
      const found = this.make(share, like?.sideways ?? sideways ?? random.unit() < 0.5, like)
      if (found.whole) best = model = found
      else {
        if (!best || (!best.whole && found.area > best.area)) best = found
        if (!model || model.whole || found.area >= model.area) model = found
      }
    }
    return best
  }

  /**
   * @param share of the sheet's height, or sideways of its width, that may be used
   * @param like a pattern to begin like
   */
  private make(share: number, sideways: boolean, like: Pattern<B> | undefined): Pattern<B> {
    const { counts, width, height, taken, gap, random } = this.task
    const taste: Taste = { chance: MOST_CHANCE * random.unit(), beside: random.unit(), above: random.unit(), within: 0.5 + random.unit() }
    const same = like ? like.laid.slice(0, random.index(like.laid.length)) : []
    const left = [...counts]
    const [right, top] = sideways ? [share * width, height] : [width, share * height]
    const rooms = emptyRooms({ minX: 0, minY: 0, maxX: right + gap, maxY: top + gap })
    for (const box of taken) occupy(rooms, { ...box, maxX: box.maxX + gap, maxY: box.maxY + gap })
    const laid: { block: B; x: number; y: number }[] = []
    let [area, reach] = [0, 0]
    const lay = (block: B, x: number, y: number): void => {
      left[block.plate]! -= block.count
      area += block.area
      reach = Math.max(reach, sideways ? (x + block.width) / width : (y + block.height) / height)
      laid.push({ block, x, y })
      occupy(rooms, { minX: x, minY: y, maxX: x + block.width + gap, maxY: y + block.height + gap })
    }
    for (const { block, x, y } of same) if (x + block.width <= right + SLIVER && y + block.height <= top + SLIVER) lay(block, x, y)
    while (rooms.list.length > 0) {
      const room = rooms.list.reduce((first, one) => (isBefore(one, first, sideways) ? one : first))
      const block = this.fitting(room, left, taste)
      if (block) lay(block, room.minX, room.minY)
      else rooms.list.splice(rooms.list.indexOf(room), 1)
    }
    return { laid, area, sideways, whole: left.every((count) => count === 0), share: reach }
  }

  /** The block that fills a room best: with little waste within it, beside it and above it. */
  private fitting(room: Bounds, left: readonly number[], { chance, beside, above, within }: Taste): B | undefined {
    const { blocks, gap, random } = this.task
    const { usableAcross, usableUp } = this
    this.asked += ROOM_STEPS
    const [roomWidth, roomHeight] = [room.maxX - room.minX, room.maxY - room.minY]
    let most = -Infinity
    let best: B | undefined
    for (let i = 0; i < blocks.length; i++) {
      const block = blocks[i]!
      if (block.count > left[block.plate]!) continue
      const width = block.width + gap
      const height = block.height + gap
      const over = roomWidth - width
      const up = roomHeight - height
      if (over < -SLIVER || up < -SLIVER) continue
      this.asked++
      const lostBeside = (over - usableAcross[Math.floor(over * STEPS_A_MM + SLIVER)]!) * height
      const lostAbove = (up - usableUp[Math.floor(up * STEPS_A_MM + SLIVER)]!) * width
      const gain = (block.area - beside * lostBeside - above * lostAbove) * (1 + chance * (random.unit() - 0.5))
      const value = gain - within * (width * height - block.area)
      if (value <= most) continue
      most = value
      best = block
    }
    return best
  }
}

/** How much what counts against what, differently for every pattern. */
interface Taste {
  readonly chance: number
  /** Waste beside a block, above it, and within it. */
  readonly beside: number
  readonly above: number
  readonly within: number
}

/** By length in steps: how much of it some of these lengths, each as often as wanted, can use. */
function usable(most: number, lengths: readonly number[]): Float64Array {
  const inSteps = [...new Set(lengths.map((length) => Math.ceil(length * STEPS_A_MM - SLIVER)))]
  const found = new Float64Array(Math.ceil(most * STEPS_A_MM) + 2)
  for (let at = 1; at < found.length; at++) {
    found[at] = found[at - 1]!
    for (const length of inSteps) {
      if (length <= at) found[at] = Math.max(found[at]!, found[at - length]! + length / STEPS_A_MM)
    }
  }
  return found
}

/** The lowest, then leftmost; sideways the other way round. */
function isBefore(a: Bounds, b: Bounds, sideways: boolean): boolean {
  return sideways ? a.minX < b.minX || (a.minX === b.minX && a.minY < b.minY) : a.minY < b.minY || (a.minY === b.minY && a.minX < b.minX)
}

/** How often a pattern begins like the best one. */
const LIKE_BEST = 0.7

/** Most that a gain is changed by at random, as a share of it from end to end. */
const MOST_CHANCE = 0.4

/** Share of a sheet that the next pattern with all pieces has to save. */
const LEAST_GAIN = 0.002

const STEPS_A_MM = 2

/** What it takes to find a free rectangle and to take a block out of the others, in blocks weighed. */
const ROOM_STEPS = 50

/** Rounding errors, mm. */
const SLIVER = 1e-6
