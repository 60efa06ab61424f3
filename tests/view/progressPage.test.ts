import { XMLParser, XMLValidator } from 'fast-xml-parser'
import { describe, expect, test } from 'vitest'
import { parseScale } from '../../lib/length/scale'
import type { LogEntry } from '../../lib/revision/logbook'
import { manifestOf } from '../../lib/revision/manifest'
import { progressOf } from '../../lib/revision/progress'
import { shapeOf } from '../../lib/revision/shapes'
import { builtInStock } from '../../lib/stock/catalogue'
import { NO_SURVEY } from '../../lib/survey/table'
import { progressPage } from '../../lib/view/progressPage'
import { timePlot } from '../../lib/view/timePlot'
import { box, testPiece } from '../sheet/pieces'

const pieces = ['A-1', 'A-2', 'A-3', 'A-4'].map((mark) => testPiece(mark, box(0, 0, 40, 10), { assembly: 'hull' }))
const stocks = new Map([['folder', builtInStock('folder')]])
const rest = { assemblies: ['hull'], relations: [], survey: NO_SURVEY, findings: [], scale: parseScale('1:60') }
const manifest = manifestOf({ name: 'tug', title: 'Tug <& "more">', pieces, stocks, ...rest }, [])
const shapes = new Map(manifest.pieces.map((piece) => [piece.fingerprint, shapeOf(piece)]))

function entry(day: string, did: 'cut' | 'glued', marks: number, minutes: number): LogEntry {
  const logged = manifest.pieces.slice(0, marks).map(({ mark, fingerprint }) => ({ mark, count: 1, fingerprint }))
  return { time: `${day}T12:00:00Z`, model: 'tug', did, pieces: logged, minutes }
}

const progress = progressOf(
  manifest,
  [entry('2025-11-20', 'cut', 2, 60), entry('2026-01-20', 'cut', 4, 60), entry('2026-02-20', 'glued', 1, 30)],
  { shapes },
)

interface Element {
  readonly class?: string
  readonly d?: string
  readonly x?: number
  readonly y?: number
  readonly said?: string
}

const parser = new XMLParser({
  ignoreAttributes: false,
  attributeNamePrefix: '',
  textNodeName: 'said',
  parseAttributeValue: true,
  parseTagValue: false,
})

const svg = (plot: string) => parser.parse(plot).svg as { path: Element[]; text: Element[] }

describe('plot over time', () => {
  test('is well formed, and says in words what it shows', () => {
    const plot = timePlot(progress, 'Tug')
    expect(XMLValidator.validate(plot)).toBe(true)
    expect(plot).toContain('aria-label="Tug, 2025-11-20 to 2026-02-20: 2.5 hours, 6 pieces cut and 1 glued of 4"')
  })

  test('has steps at the days of the entries and the heights of what was done', () => {
    const { path, text } = svg(timePlot(progress, 'Tug'))
    const [hours] = path
    const tick = (value: number) => text.find((one) => one.class === 'tick' && one.said === String(value))!
    const corners = /^M(\S+) (\S+)H(\S+)V(\S+)H(\S+)V([\d.]+)H[\d.]+$/.exec(hours!.d!)!.map(Number)
    const [, startX, startY, middleX, middleY, endX, endY] = corners
    // 61 and 31 days of 92.
    expect((middleX! - startX!) / (endX! - startX!)).toBeCloseTo(61 / 92, 3)
    // Ticks are written 4 below their line; 1, 2 and 2.5 hours.
    const perHour = tick(1).y! - tick(2).y!
    expect((startY! - middleY!) / perHour).toBeCloseTo(1, 2)
    expect((middleY! - endY!) / perHour).toBeCloseTo(0.5, 2)
  })

  test('names months, with the year for the first and for January', () => {
    const names = svg(timePlot(progress, 'Tug')).text.map(({ said }) => said)
    expect(names).toEqual(expect.arrayContaining(['Dec 2025', 'Jan 2026', 'Feb']))
  })

  test('names days where all lies within a month, and is empty where nothing was entered', () => {
    const short = progressOf(manifest, [entry('2026-03-14', 'cut', 1, 60), entry('2026-03-16', 'cut', 4, 60)], { shapes })
    expect(svg(timePlot(short, 'Tug')).text.map(({ said }) => said)).toEqual(expect.arrayContaining(['14 Mar', '16 Mar']))
    expect(timePlot(progressOf(manifest, [], { shapes }), 'Tug')).toBe('')
  })

  test('runs on to its names where all was entered on one day', () => {
    const day = progressOf(manifest, [entry('2026-03-14', 'cut', 1, 60), entry('2026-03-14', 'cut', 2, 60)], { shapes })
    const { path, text } = svg(timePlot(day, 'Tug'))
    const nameAt = text.find((one) => one.said === '2.0 hours')!.x!
    expect(Number(/H([\d.]+)$/.exec(path[0]!.d!)![1])).toBe(Number(nameAt) - 8)
  })
})

describe('page of progress', () => {
  test('is the same each time, and takes titles as text', () => {
    const page = progressPage([progress])
    expect(page).toBe(progressPage([progress]))
    expect(page).toContain('<h1>Tug &lt;&amp; &quot;more&quot;&gt; <span>1:60</span></h1>')
    expect(page).toContain('prefers-color-scheme: dark')
  })

  test('says that nothing was entered', () => {
    expect(progressPage([progressOf(manifest, [], { shapes })])).toContain('<p>Nothing was entered yet.</p>')
  })
})
