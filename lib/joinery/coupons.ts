import { rectangleLoop } from '../craft/flat'
import { scoredBend } from '../craft/fold'
import type { Line, Piece, Score, Text } from '../model/piece'
import type { Loop, Point } from '../shape/point'
import type { Stock } from '../stock/card'
import { LADDER } from '../stock/measured'
import { PILE } from '../stock/readings'

/** Lengths that a coupon may take up on the sheet along the grain and across it, mm. */
export interface CouponRoom {
  readonly along: number
  readonly across: number
}

/**
 * Test pieces that tell what a catalogue cannot know of the card at hand: squares to pile up, a ladder of slots with a
 * tongue to try them, channels to fold, strips to roll round formers, and strips to hang over an edge.
 */
export function couponPieces(stock: Stock, room: CouponRoom): Piece[] {
  return [pileSquares(), slotLadder(stock), tongue(), ...channels(stock), ...curlStrips(), ...droopStrips(room)].map(
    (coupon) => pieceOf(coupon, stock),
  )
}

/** Distances of the scores of the channels, mm. */
export const WEBS: readonly number[] = Object.freeze([10, 20, 30, 40])

interface Coupon {
  readonly name: string
  readonly outline: Loop
  readonly copies?: number
  readonly grain?: number
  readonly scores?: readonly Score[]
  readonly lines?: readonly Line[]
  readonly texts?: readonly Text[]
  readonly note: string
}

function pileSquares(): Coupon {
  const side = 22
  return {
    name: 'PILE',
    outline: rectangleLoop(side, side),
    copies: PILE,
    note: `Pile up all ${PILE}, press them flat, measure the pile: pile=…mm. Cut no further than the corners, a burr adds up.`,
  }
}

/** Slots from 0.9 to 1.4 times the thickness, open at the top, each with its width beside it. */
function slotLadder({ thickness }: Stock): Coupon {
  const top: Point[] = []
  const texts: Text[] = []
  for (const [i, share] of LADDER.entries()) {
    const width = Number((share * thickness.value).toFixed(3))
    const middle = PITCH * (i + 0.75)
    top.push(
      [middle - width / 2, HEIGHT],
      [middle - width / 2, HEIGHT - DEPTH],
      [middle + width / 2, HEIGHT - DEPTH],
      [middle + width / 2, HEIGHT],
    )
    texts.push({ text: width.toFixed(3), at: [middle + PITCH / 2, HEIGHT - DEPTH / 2], size: 1.5, angle: 90 })
  }
  const length = PITCH * (LADDER.length + 0.75)
  return {
    name: 'SLOTS',
    outline: [[0, 0], [length, 0], [length, HEIGHT], ...top.toReversed(), [0, HEIGHT]],
    texts,
    note: 'Cut the slots as you cut them always. Try the tongue: holds=…mm, slides=…mm, drops=…mm as printed beside the slot.',
  }
}

const PITCH = 11
const HEIGHT = 24
const DEPTH = 14

function tongue(): Coupon {
  return { name: 'TONGUE', outline: rectangleLoop(16, 40), copies: 2, note: 'Goes into the slots of the ladder.' }
}

function channels(stock: Stock): Coupon[] {
  const wall = 16
  const { radius } = scoredBend(stock)
  return WEBS.map((web) => {
    const length = 2 * wall + web
    const score = (x: number): Score => ({ fold: 'valley', line: [[x, 0], [x, CHANNEL]], angle: 90 })
    return {
      name: `WEB-${web}`,
      outline: rectangleLoop(length, CHANNEL),
      grain: 90,
      scores: [score(wall), score(wall + web)],
      note:
        `Score, fold both walls to a right angle (inside radius taken as ${radius.toFixed(2)} mm) and measure over the ` +
        `walls by the folds: outside=${web}:…mm, and between them: inside=${web}:…mm.`,
    }
  })
}

const CHANNEL = 18

/** A strip is rolled along its length, so that the axis lies across it. */
function curlStrips(): Coupon[] {
  const strip = (name: string, grain: number): Coupon => ({
    name: `CURL-${name.toUpperCase()}`,
    outline: rectangleLoop(80, 16),
    grain,
    copies: 2,
    note: `Draw it round thinner and thinner rods: radius of the last without a crease, and of the first with one: curl-${name}=…mm:…mm.`,
  })
  return [strip('along', 90), strip('across', 0)]
}

/** As long as the sheet allows: a droop of a tenth of the overhang reads well. */
function droopStrips({ along, across }: CouponRoom): Coupon[] {
  const strip = (name: string, grain: number, room: number): Coupon | undefined => {
    const length = Math.min(LONGEST, Math.floor((room - 2) / 20) * 20)
    if (length < SHORTEST) return undefined
    const ticks = Array.from({ length: Math.floor((length - CLAMPED - 60) / 20) + 1 }, (_, i) => 60 + 20 * i)
    return {
      name: `DROOP-${name.toUpperCase()}`,
      outline: rectangleLoop(length, STRIP),
      grain,
      lines: ticks.map((x) => ({ kind: 'align', line: [[x, 0], [x, 5]], closed: false })),
      texts: ticks.map((x) => ({ text: String(x), at: [x, 7], size: 1.6, angle: 0 })),
      note:
        `Lay it level under a straight weight with the line of an overhang at the edge of the table, wait a minute, and ` +
        `measure how far the end lies below the edge: droop-${name}=…mm:…mm. Turn it over, take the mean of both.`,
    }
  }
  return [strip('along', 0, along), strip('across', 90, across)].filter((coupon) => coupon !== undefined)
}

const STRIP = 16
const CLAMPED = 30
const SHORTEST = 100
const LONGEST = 220

function pieceOf({ name, outline, copies = 1, grain, scores, lines, texts, note }: Coupon, stock: Stock): Piece {
  return {
    mark: `CU-${name}`,
    family: 'CU',
    side: '',
    station: 1,
    assembly: 'coupons',
    stock: stock.id,
    plies: 1,
    copies,
    ...(grain !== undefined && { grain }),
    outline,
    openings: [],
    scores: scores ?? [],
    lines: lines ?? [],
    texts: texts ?? [],
    reads: [`stock:${stock.id}.thickness`],
    notes: [note],
  }
}
