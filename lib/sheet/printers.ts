import * as v from 'valibot'
import { compareText, FindingError } from '../finding/finding'
import { nearestName } from '../finding/nearest'
import { type Calibration, calibrate, INSTRUMENTS, type Instrument, MEASURES, type Reading, residual } from './calibration'
import { PRINTERS_FILE } from './printersFile'

/** A printer as it was measured. */
export interface Printer {
  readonly name: string
  /** Day of the readings, `2026-11-25`. */
  readonly date: string
  readonly readings: readonly Reading[]
  readonly calibration: Calibration
}

export function printerOf(name: string, date: string, readings: readonly Reading[]): Printer {
  return { name, date, readings, calibration: calibrate(readings) }
}

/**
 * The printers of a project, by name. The figures are worked out from the readings; those in the file are for its reader.
 *
 * @param file what the text was read from, for messages
 * @throws FindingError for text that is not a list of printers, or readings that contradict each other
 */
export function readPrinters(text: string, file = PRINTERS_FILE): Map<string, Printer> {
  const result = v.safeParse(PRINTERS, parseJson(text, file), { abortEarly: true })
  if (!result.success) {
    const [issue] = result.issues
    const place = v.getDotPath(issue) ?? 'the top'
    throw fault(`${file} is not a list of printers: at ${place} expected ${issue.expected}, found ${issue.received}`, MEND)
  }
  return new Map(result.output.printers.map(({ name, date, readings }) => [name, printerOf(name, date, readings)]))
}

/** Sorted by name, with the figures in words that a person can check. */
export function printersText(printers: Iterable<Printer>): string {
  const entries = [...printers].toSorted((a, b) => compareText(a.name, b.name)).map(entryOf)
  return `${JSON.stringify({ schema: SCHEMA, printers: entries }, null, 2)}\n`
}

/** @throws FindingError for a name that there is not, with the nearest */
export function findPrinter(printers: ReadonlyMap<string, Printer>, name: string): Printer {
  const printer = printers.get(name)
  if (printer) return printer
  const near = nearestName(name, printers.keys())
  const known = [...printers.keys()].toSorted(compareText).join(', ')
  const measure = 'print and measure the target: cardwright calibrate'
  throw fault(
    `there is no printer "${name}" in ${PRINTERS_FILE}`,
    near !== undefined ? `did you mean "${near}"?` : known === '' ? measure : `use one of: ${known}; or ${measure}`,
  )
}

/** What a sheet says of the printer it is for. */
export function printNote({ name, calibration }: Printer): string {
  const along = calibration.covariance.length < 3 ? ' along its edges' : ''
  return `true on printer ${name} to ±${residual(calibration).toFixed(2)} mm in 200 mm${along}`
}

const SCHEMA = 1
const MEND = 'take it from git, or delete it and calibrate again'

const PRINTERS = v.object({
  schema: v.literal(SCHEMA),
  printers: v.array(
    v.object({
      name: v.pipe(v.string(), v.nonEmpty()),
      date: v.pipe(v.string(), v.isoDate()),
      readings: v.array(
        v.object({
          measure: v.picklist(MEASURES),
          value: v.pipe(v.number(), v.finite()),
          by: v.picklist(Object.keys(INSTRUMENTS) as Instrument[]),
        }),
      ),
    }),
  ),
})

function parseJson(text: string, file: string): unknown {
  try {
    return JSON.parse(text)
  } catch (error) {
    throw fault(`${file} is not JSON: ${(error as Error).message}`, MEND)
  }
}

function entryOf({ name, date, readings, calibration }: Printer): Record<string, unknown> {
  const { scale, skew, uncertainty } = calibration
  const skewKnown = uncertainty.skew !== undefined
  return {
    name,
    date,
    readings,
    scaleX: Number(scale[0].toFixed(6)),
    scaleXUncertainty: Number(uncertainty.scale[0].toFixed(6)),
    scaleY: Number(scale[1].toFixed(6)),
    scaleYUncertainty: Number(uncertainty.scale[1].toFixed(6)),
    ...(skewKnown && { skewDegrees: Number(skew.toFixed(4)), skewUncertainty: Number(uncertainty.skew!.toFixed(4)) }),
    residualIn200mm: Number(residual(calibration).toFixed(3)),
  }
}

function fault(text: string, remedy: string): FindingError {
  return new FindingError({ id: 'printer', severity: 'error', text, remedy })
}
