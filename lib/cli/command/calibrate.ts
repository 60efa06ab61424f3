import { join, resolve } from 'node:path'
import { suggest } from '../../finding/nearest'
import { parseBenchLength } from '../../length/parse'
import { type Calibration, INSTRUMENTS, type Instrument, correctionOf, type Reading, residual } from '../../sheet/calibration'
import { openPdf } from '../../sheet/pdfDocument'
import { findPrinter, printerOf, printersText, printNote } from '../../sheet/printers'
import { PRINTERS_FILE } from '../../sheet/printersFile'
import { svgOf } from '../../sheet/svg'
import { drawTarget } from '../../sheet/target'
import { LASER_MARGIN } from '../../stock/common'
import { sheetSize } from '../../stock/sheetSize'
import { today } from '../clock'
import { EXIT } from '../options'
import type { Request } from '../parse'
import { type Manner, printProblems } from '../print'
import { printersIn } from '../printerFile'
import { problemOf } from '../problem'
import { findProject } from '../project'
import { replaceFile } from '../replaceFile'
import { asked, UsageError } from '../usage'
import { within } from '../workshop'

/** `cardwright calibrate`: the target without readings, the printer's figures with them. */
export async function calibratePrinter(request: Request, manner: Manner): Promise<number> {
  const { root } = findProject(process.cwd())
  const readings = readingsOf(request.options)
  try {
    const report = readings.length > 0 ? keep(request, root, readings) : target(request, root)
    process.stdout.write(request.options.json ? `${JSON.stringify(report.data, null, 2)}\n` : `${report.lines.join('\n')}\n`)
    return EXIT.good
  } catch (error) {
    if (error instanceof UsageError) throw error
    process.stderr.write(printProblems([problemOf(error)], manner))
    return EXIT.findings
  }
}

interface Report {
  readonly lines: readonly string[]
  readonly data: Readonly<Record<string, unknown>>
}

function target({ options }: Request, root: string): Report {
  const printer = options.printer === undefined ? undefined : asked(() => findPrinter(printersIn(root), options.printer!))
  const drawing = asked(() => drawTarget(sheetSize(options.sheet), LASER_MARGIN))
  const { title, width, height, furniture } = drawing
  const correction = printer && correctionOf(printer.calibration, width, height)
  const pdf = openPdf({ title, subject: 'Print at 100 %, measure, then run cardwright calibrate' })
  const name = options.sheet.trim().toLowerCase().replace(/\s+/g, '-')
  pdf.addPage({ width, height, label: name, layers: [{ marks: furniture, ...(correction && { matrix: correction }) }] })
  const folder = join(resolve(options.out === 'out' ? join(root, 'out') : options.out), 'calibration')
  const files = [`${name}.pdf`, `${name}.svg`].map((file) => join(folder, file)) as [string, string]
  replaceFile(files[0], pdf.end())
  replaceFile(files[1], svgOf({ ...drawing, ...(correction && { correction }) }))
  const written = files.map((file) => within(root, file))
  return {
    lines: [
      `${written.join(' and ')} written${printer ? `, ${printNote(printer)}` : ''}`,
      'Print one of them at 100 % (“actual size”); it says how to measure it.',
    ],
    data: { command: 'calibrate', files: written, ...(printer && { printer: printer.name }) },
  }
}

function keep({ options }: Request, root: string, readings: readonly Reading[]): Report {
  const name = printerName(options.printer)
  const known = asked(() => printersIn(root))
  const printer = asked(() => printerOf(name, today(), readings))
  const before = known.get(name)
  replaceFile(join(root, PRINTERS_FILE), printersText([...known.values(), printer].filter((one) => one !== before)))
  const { calibration } = printer
  return {
    lines: [
      `printer ${name}, ${readings.length} readings:`,
      ...figures(calibration).map((line) => `  ${line}`),
      `${PRINTERS_FILE} ${before ? `updated; the readings of ${before.date} are replaced` : 'written'}. Now: cardwright build --pdf --printer ${shellWord(name)}`,
    ],
    data: { command: 'calibrate', file: PRINTERS_FILE, printer, residualIn200mm: residual(calibration) },
  }
}

/** With a coverage factor of 2, as the residual is. */
function figures(calibration: Calibration): string[] {
  const { scale, skew, uncertainty } = calibration
  const percent = (value: number, u: number) =>
    `${signed(100 * (value - 1), 3)} % ± ${(200 * u).toFixed(3)} % (${signed(200 * (value - 1), 2)} mm in 200 mm)`
  return [
    `across: ${percent(scale[0], uncertainty.scale[0])}`,
    `up: ${percent(scale[1], uncertainty.scale[1])}`,
    uncertainty.skew === undefined
      ? 'skew: not measured, taken as none; measure the diagonals to know it'
      : `skew: ${signed(skew, 3)}° ± ${(2 * uncertainty.skew).toFixed(3)}°`,
    `once corrected: ±${residual(calibration).toFixed(2)} mm in 200 mm (k = 2, about 95 %)`,
  ]
}

function signed(value: number, digits: number): string {
  const text = value.toFixed(digits)
  return Number(text) > 0 ? `+${text}` : text.replace(/^-(0\.?0*)$/, '$1')
}

function readingsOf({ x, y, diagonals, instrument: by }: Request['options']): Reading[] {
  const instrument = instrumentOf(by)
  const reading = (measure: Reading['measure'], value: number): Reading => ({ measure, value, by: instrument })
  const pairs = diagonals.map((text) => {
    const pair = lengths(text, '--diagonals')
    if (pair.length === 2) return pair as [number, number]
    throw new UsageError(
      `--diagonals "${text}" has ${pair.length === 1 ? '1 length' : `${pair.length} lengths`}, a pair has 2`,
      'give C and D together: --diagonals 274.25mm,274.75mm; more pairs with --diagonals again',
    )
  })
  return [
    ...x.flatMap((text) => lengths(text, '--x')).map((value) => reading('x', value)),
    ...y.flatMap((text) => lengths(text, '--y')).map((value) => reading('y', value)),
    ...pairs.map(([rising]) => reading('rising', rising)),
    ...pairs.map(([, falling]) => reading('falling', falling)),
  ]
}

/** `164.5mm,164.75mm`; a decimal comma is left for the reader of lengths to complain of. */
function lengths(text: string, option: string): number[] {
  const parts = /\d,\d/.test(text) ? [text] : text.split(',')
  return parts.map((part) => asked(() => parseBenchLength(part, option)).bench)
}

function instrumentOf(text: string): Instrument {
  if (Object.hasOwn(INSTRUMENTS, text)) return text as Instrument
  throw new UsageError(`--instrument: "${text}" is no instrument`, suggest(text, Object.keys(INSTRUMENTS)))
}

function printerName(name: string | undefined): string {
  if (name === undefined) {
    throw new UsageError('there are readings but no printer', 'give it a name: --printer den')
  }
  if (!/^[\p{L}\p{N}][\p{L}\p{N} ._-]*$/u.test(name) || name.length > LONGEST_NAME) {
    const limits = `letters, digits, blanks, dots and hyphens, up to ${LONGEST_NAME}`
    throw new UsageError(`--printer "${name.slice(0, 40)}" is no name for a printer`, `use ${limits}: --printer den`)
  }
  return name
}

/** It is printed on every sheet. */
const LONGEST_NAME = 24

function shellWord(name: string): string {
  return name.includes(' ') ? `"${name}"` : name
}
