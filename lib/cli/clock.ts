import { UsageError } from './usage'

/** A moment as ISO 8601 with this computer's offset, so that its first ten characters are the day here. */
export function localTime(moment: Date): string {
  const minutes = -moment.getTimezoneOffset()
  const shifted = new Date(moment.getTime() + minutes * 60_000).toISOString().slice(0, -1)
  const [hours, rest] = [Math.floor(Math.abs(minutes) / 60), Math.abs(minutes) % 60]
  return `${shifted}${minutes < 0 ? '-' : '+'}${two(hours)}:${two(rest)}`
}

/** The day here: `2026-03-14`. */
export function today(): string {
  return localTime(new Date()).slice(0, 10)
}

/**
 * The moment on another day, at the same time of day.
 *
 * @throws UsageError for what is no day, or lies ahead
 */
export function onDay(day: string, now: Date): Date {
  const [, year, month, date] = /^(\d{4})-(\d\d)-(\d\d)$/.exec(day) ?? []
  const moment = new Date(now)
  moment.setFullYear(Number(year), Number(month) - 1, Number(date))
  if (year === undefined || localTime(moment).slice(0, 10) !== day) {
    throw new UsageError(`--date: "${day}" is no day`, 'write it like --date 2026-03-14')
  }
  if (moment > now) throw new UsageError(`--date: ${day} lies ahead`, `today is ${localTime(now).slice(0, 10)}`)
  return moment
}

function two(number: number): string {
  return String(number).padStart(2, '0')
}
