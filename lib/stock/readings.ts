import { FindingError } from '../finding/finding'
import { suggest } from '../finding/nearest'
import { mm } from '../length/length'
import { parseBenchLength } from '../length/parse'

/** What was read off the coupons of one stock. Lengths in mm, weights in grams. */
export interface Readings {
  /** Thickness of a pile of layers. */
  readonly pile: readonly { readonly layers: number; readonly thickness: number }[]
  /** Weight of blank sheets; half a unit of the last digit is taken as the scale's limit. */
  readonly weight: readonly { readonly sheets: number; readonly grams: number; readonly limit: number }[]
  /** Widths of slots in the ladder: the widest that holds the card by itself, the narrowest it slides in, and drops in. */
  readonly holds?: number
  readonly slides?: number
  readonly drops?: number
  /** Channels folded twice: distance of the scores as printed, and of the walls over their outer or inner faces. */
  readonly outside: readonly Web[]
  readonly inside: readonly Web[]
  /** Radius of the thinnest former a strip went round without a crease, and of the next, where it creased. */
  readonly curlAlong?: Curled
  readonly curlAcross?: Curled
  /** Strips that hang over an edge, cut along the grain and across it. */
  readonly droopAlong: readonly Droop[]
  readonly droopAcross: readonly Droop[]
}

export interface Web {
  readonly web: number
  readonly measured: number
}

export interface Curled {
  readonly smooth: number
  readonly creased?: number
}

export interface Droop {
  readonly overhang: number
  readonly droop: number
}

/** How each reading is written and what it is, for help and messages. */
export const READINGS = Object.freeze({
  pile: ['pile=2.83mm', 'thickness of a pile of ten layers; pile=20:5.6mm for another number'],
  weight: ['weight=14.8g', 'weight of one blank sheet; weight=10:148g for several'],
  holds: ['holds=0.294mm', 'the widest slot of the ladder that holds the card by itself'],
  slides: ['slides=0.322mm', 'the narrowest slot that the card slides into with a finger'],
  drops: ['drops=0.378mm', 'the narrowest slot that the card drops into'],
  outside: ['outside=20:20.45mm', 'a folded channel over its outer faces, after the distance of its scores'],
  inside: ['inside=20:19.90mm', 'a folded channel between its inner faces'],
  'curl-along': ['curl-along=4mm:3mm', 'radius of the thinnest former without a crease, axis along the grain: where it creased'],
  'curl-across': ['curl-across=6mm:5mm', 'the same with the axis across the grain'],
  'droop-along': ['droop-along=160mm:14mm', 'overhang and droop of the strip cut along the grain'],
  'droop-across': ['droop-across=120mm:15mm', 'overhang and droop of the strip cut across the grain'],
} as const)

export type ReadingName = keyof typeof READINGS

/**
 * Readings as people type them: `pile=2.83mm,2.85mm`, `droop-along=160mm:14mm`. A name may come several times where
 * several readings make sense.
 *
 * @throws FindingError naming the reading for one that there is not, that is no figure, or is not above 0
 */
export function parseReadings(words: readonly string[]): Readings {
  const items = new Map<ReadingName, string[]>()
  for (const word of words) {
    const [name, list] = namedReading(word)
    items.set(name, [...(items.get(name) ?? []), ...list])
  }
  const all = <T>(name: ReadingName, read: (item: string) => T): T[] => (items.get(name) ?? []).map(read)
  const one = <T>(name: ReadingName, read: (item: string) => T): T | undefined => {
    const list = all(name, read)
    if (list.length <= 1) return list[0]
    throw readingError(`${name} is given ${list.length} times, it is one figure`, `write it like ${READINGS[name][0]}`)
  }
  const webs = (name: 'outside' | 'inside') =>
    all(name, (item): Web => {
      const [web, measured] = pairOf(name, item)
      return { web: countOf(name, web), measured: lengthOf(name, measured) }
    })
  const droops = (name: 'droop-along' | 'droop-across') =>
    all(name, (item): Droop => {
      const [overhang, droop] = pairOf(name, item)
      return { overhang: lengthOf(name, overhang), droop: lengthOf(name, droop) }
    })
  const curled = (name: 'curl-along' | 'curl-across') =>
    one(name, (item): Curled => {
      const [smooth, creased] = item.split(':')
      return { smooth: lengthOf(name, smooth!), ...(creased !== undefined && { creased: lengthOf(name, creased) }) }
    })
  const [holds, slides, drops] = (['holds', 'slides', 'drops'] as const).map((name) =>
    one(name, (item) => lengthOf(name, item)),
  )
  const [curlAlong, curlAcross] = [curled('curl-along'), curled('curl-across')]
  return {
    pile: all('pile', (item) => {
      const [layers, thickness] = item.includes(':') ? pairOf('pile', item) : [String(PILE), item]
      return { layers: countOf('pile', layers), thickness: lengthOf('pile', thickness) }
    }),
    weight: all('weight', (item) => {
      const [sheets, grams] = item.includes(':') ? pairOf('weight', item) : ['1', item]
      return { sheets: countOf('weight', sheets), ...weightOf(grams) }
    }),
    ...(holds !== undefined && { holds }),
    ...(slides !== undefined && { slides }),
    ...(drops !== undefined && { drops }),
    outside: webs('outside'),
    inside: webs('inside'),
    ...(curlAlong && { curlAlong }),
    ...(curlAcross && { curlAcross }),
    droopAlong: droops('droop-along'),
    droopAcross: droops('droop-across'),
  }
}

/** Layers in the pile where a reading does not say. */
export const PILE = 10

export function readingError(text: string, remedy: string, figures?: { found: number; wanted: number }): FindingError {
  return new FindingError({ id: 'reading', severity: 'error', text, remedy, ...figures })
}

function namedReading(word: string): [ReadingName, string[]] {
  const [name = '', list] = [word.split('=', 1)[0], word.includes('=') ? word.slice(word.indexOf('=') + 1) : undefined]
  if (!Object.hasOwn(READINGS, name)) {
    throw readingError(`"${word}" is no reading`, suggest(name, Object.keys(READINGS)))
  }
  const known = name as ReadingName
  if (list === undefined || list.trim() === '') {
    throw readingError(`${name} has no value`, `write it like ${READINGS[known][0]}`)
  }
  return [known, list.split(',').map((item) => item.trim())]
}

function pairOf(name: ReadingName, item: string): [string, string] {
  const parts = item.split(':')
  if (parts.length === 2) return parts as [string, string]
  throw readingError(`${name}: "${item}" is not two figures`, `write it like ${READINGS[name][0]}`)
}

function lengthOf(name: ReadingName, text: string): number {
  const length = mm(parseBenchLength(text, name))
  if (length > 0) return length
  throw readingError(`${name}: ${text.trim()} is not above 0`, `write it like ${READINGS[name][0]}`)
}

function countOf(name: ReadingName, text: string): number {
  const count = Number(text)
  if (Number.isInteger(count) && count > 0) return count
  throw readingError(`${name}: "${text}" is no whole number above 0`, `write it like ${READINGS[name][0]}`)
}

function weightOf(text: string): { grams: number; limit: number } {
  const [, digits = '', decimals = ''] = /^(\d*(?:\.(\d+))?)\s*g$/.exec(text.trim()) ?? []
  const grams = Number(digits)
  if (grams > 0) return { grams, limit: 0.5 * 10 ** -decimals.length }
  throw readingError(`weight: "${text}" is no weight above 0 g`, `write it like ${READINGS.weight[0]}`)
}
