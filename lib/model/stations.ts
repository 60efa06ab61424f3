import { Length, between, lengthError, mm } from '../length/length'

/** A position along the subject where a frame or rib stands. */
export interface Station {
  /** From 1, as it appears in marks. */
  readonly number: number
  readonly at: Length
}

/** Ways of laying out stations. Each gives the list in order, numbered from 1. */
export const stations = Object.freeze({ even, at, taper, bays, pitch })

/** So many stations evenly spread, the first and the last on the ends given. One station stands at `from`. */
function even(count: number, from: Length, to: Length): readonly Station[] {
  checkCount(count, 'stations.even')
  return number(Array.from({ length: count }, (_, i) => between(from, to, count === 1 ? 0 : i / (count - 1))))
}

/** Stations listed one by one, as measured. */
function at(...positions: Length[]): readonly Station[] {
  checkCount(positions.length, 'stations.at')
  return number(positions)
}

/**
 * So many stations from one end to the other, each bay `ratio` times as long as the one before: 1 is even, below 1
 * closes up towards `to`.
 */
function taper(count: number, from: Length, to: Length, ratio: number): readonly Station[] {
  checkCount(count, 'stations.taper')
  if (!(ratio > 0 && Number.isFinite(ratio))) {
    throw lengthError(`stations.taper was given the ratio ${ratio}`, 'give a finite ratio above 0, such as 0.9')
  }
  const bayLengths = Array.from({ length: count - 1 }, (_, i) => ratio ** i)
  const whole = bayLengths.reduce((sum, bay) => sum + bay, 0)
  let run = 0
  const shares = [0, ...bayLengths.map((bay) => (run += bay) / whole)]
  return number(shares.map((share) => between(from, to, share)))
}

/** Stations at the ends of bays given one by one: n bays make n + 1 stations. */
function bays(from: Length, lengths: readonly Length[]): readonly Station[] {
  checkCount(lengths.length, 'stations.bays')
  let run = from
  return number([from, ...lengths.map((bay) => (run = run.plus(bay)))])
}

/** So many stations at a constant pitch. */
function pitch(count: number, from: Length, bay: Length): readonly Station[] {
  checkCount(count, 'stations.pitch')
  return number(Array.from({ length: count }, (_, i) => from.plus(bay.times(i))))
}

const MOST_STATIONS = 100_000

function checkCount(count: number, word: string): void {
  if (Number.isInteger(count) && count >= 1 && count <= MOST_STATIONS) return
  throw lengthError(`${word} was asked for ${count} stations`, `give a whole number from 1 to ${MOST_STATIONS}`)
}

function number(positions: readonly Length[]): readonly Station[] {
  for (const position of positions) if (!(position instanceof Length)) mm(position)
  return Object.freeze(positions.map((position, i) => Object.freeze({ number: i + 1, at: position })))
}
