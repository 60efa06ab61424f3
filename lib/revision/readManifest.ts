import * as v from 'valibot'
import { FindingError } from '../finding/finding'
import { CARD_EDGES } from '../model/form'
import type { Point, Polyline } from '../shape/point'
import { SOURCE_KINDS } from '../survey/source'
import { type Manifest, SCHEMA } from './manifest'

/**
 * @param file what the text was read from, for messages
 * @throws FindingError for text that is cut off, no JSON, from a newer version, or not a manifest
 */
export function readManifest(text: string, file = 'manifest.json'): Manifest {
  const data = parseJson(text, file)
  const schema = typeof data === 'object' && data !== null && 'schema' in data ? data.schema : undefined
  if (typeof schema === 'number' && schema > SCHEMA) {
    throw manifestError(
      `${file} is of schema version ${schema}, this program reads up to ${SCHEMA}`,
      'install the version of cardwright that wrote it, or build the model anew',
      { found: schema, wanted: SCHEMA },
    )
  }
  const result = v.safeParse(MANIFEST, renewed(data), { abortEarly: true })
  if (result.success) return result.output as Manifest
  const [issue] = result.issues
  const place = v.getDotPath(issue)
  if (schema === undefined && typeof data === 'object' && data !== null) throw manifestError(`${file} is not a manifest: it names no schema`, 'build the model again; do not edit the file by hand')
  const expected = issue.type === 'custom' ? issue.message : issue.expected
  throw manifestError(
    `${file} is not a manifest: at ${place ?? 'the top'} expected ${expected}, found ${issue.received}`,
    'build the model again; do not edit the file by hand',
  )
}

/** What older versions wrote, in the form of this one. Version 1 knew no relations and no survey. */
function renewed(data: unknown): unknown {
  if (typeof data !== 'object' || data === null || !('schema' in data) || data.schema !== 1) return data
  return { ...data, schema: SCHEMA, relations: [], dimensions: [] }
}

function parseJson(text: string, file: string): unknown {
  try {
    return JSON.parse(text)
  } catch (error) {
    // How it begins and ends tells a write that was broken off from a file that is something else.
    const cutOff = text.startsWith('{"schema"') && !text.trimEnd().endsWith('\n]}')
    const what = cutOff ? `cut off after ${text.length} characters` : `not JSON: ${(error as Error).message}`
    throw manifestError(`${file} is ${what}`, 'take it from git, or build the model again')
  }
}

function manifestError(text: string, remedy: string, numbers: { found?: number; wanted?: number } = {}): FindingError {
  return new FindingError({ id: 'manifest', severity: 'error', text, remedy, ...numbers })
}

/** Points are most of a manifest: looked through by a loop, which is twenty times as fast as a schema for each. */
function isLine(value: unknown): boolean {
  if (!Array.isArray(value)) return false
  for (const point of value) {
    if (!Array.isArray(point) || point.length !== 2) return false
    if (!Number.isFinite(point[0]) || !Number.isFinite(point[1])) return false
  }
  return true
}

function isVector(value: unknown): boolean {
  return Array.isArray(value) && value.length === 3 && value.every((number) => Number.isFinite(number))
}

const LINE = v.custom<Polyline>(isLine, 'a list of points')
const POINT = v.custom<Point>((value) => isLine([value]), 'a point')
const VECTOR = v.custom<readonly [number, number, number]>(isVector, 'three numbers')
const NUMBER = v.pipe(v.number(), v.finite())
const COUNT = v.pipe(v.number(), v.integer(), v.minValue(0))
const FIGURE = v.object({ value: NUMBER, source: v.string(), nominal: v.boolean() })

const OFFCUT = v.object({
  width: NUMBER,
  height: NUMBER,
  used: v.exactOptional(v.array(v.object({ x: NUMBER, y: NUMBER, width: NUMBER, height: NUMBER }))),
})

const STOCK = v.object({
  id: v.string(),
  title: v.string(),
  thickness: FIGURE,
  grammage: FIGURE,
  grain: v.picklist(['long', 'short']),
  sheet: v.object({ name: v.string(), width: NUMBER, height: NUMBER }),
  margin: v.object({ left: NUMBER, right: NUMBER, top: NUMBER, bottom: NUMBER }),
  knife: v.object({ web: FIGURE, opening: FIGURE, slot: FIGURE, scoreToCut: FIGURE }),
  fit: v.object({ tight: FIGURE, sliding: FIGURE, loose: FIGURE }),
  fold: v.object({ k: FIGURE, insideRadius: FIGURE, leastCurlAlong: FIGURE, leastCurlAcross: FIGURE }),
  glueLine: FIGURE,
  modulus: v.object({ along: FIGURE, across: FIGURE }),
  sheets: COUNT,
  offcuts: v.exactOptional(v.array(OFFCUT)),
})

const POSE = v.object({ origin: VECTOR, right: VECTOR, up: VECTOR })

const SCORE = v.object({ fold: v.picklist(['valley', 'mountain']), line: LINE, angle: NUMBER })

const FORM = v.variant('kind', [
  v.object({
    kind: v.literal('folded'),
    base: v.exactOptional(POINT),
    of: v.exactOptional(
      v.object({ outline: LINE, openings: v.array(LINE), scores: v.array(SCORE), base: v.exactOptional(POINT), out: NUMBER }),
    ),
  }),
  v.object({
    kind: v.literal('curved'),
    rulings: v.array(v.object({ flat: v.tuple([POINT, POINT]), model: v.tuple([VECTOR, VECTOR]) })),
  }),
  v.object({ kind: v.literal('turned'), profile: LINE }),
])

const CARD_EDGE = v.picklist(CARD_EDGES)

const RELATION = v.variant('kind', [
  v.object({
    kind: v.literal('join'),
    a: v.string(),
    b: v.string(),
    how: v.picklist(['slot', 'glue']),
    within: v.exactOptional(NUMBER),
    opens: v.exactOptional(VECTOR),
  }),
  v.object({ kind: v.literal('bond'), a: v.array(v.string()), b: v.array(v.string()) }),
  v.object({ kind: v.literal('seam'), a: v.string(), b: v.string(), edges: v.tuple([CARD_EDGE, CARD_EDGE]) }),
  v.object({
    kind: v.literal('clearance'),
    name: v.string(),
    a: v.array(v.string()),
    b: v.array(v.string()),
    least: NUMBER,
    most: v.exactOptional(NUMBER),
  }),
  v.object({ kind: v.literal('support'), name: v.string(), at: VECTOR }),
  v.object({ kind: v.literal('sequence'), first: v.string(), second: v.string() }),
])

const DIMENSION = v.object({
  name: v.string(),
  value: NUMBER,
  values: v.exactOptional(v.array(NUMBER)),
  unit: v.exactOptional(v.picklist(['mm', 'cm', 'm', 'in', 'ft', 'ftIn', 'pt'])),
  within: v.exactOptional(NUMBER),
  worst: v.exactOptional(NUMBER),
  source: v.exactOptional(v.object({ kind: v.picklist(SOURCE_KINDS), title: v.string() })),
  note: v.string(),
  from: v.array(v.string()),
})

const PIECE = v.object({
  mark: v.string(),
  family: v.string(),
  side: v.picklist(['P', 'S', '']),
  station: NUMBER,
  assembly: v.string(),
  stock: v.string(),
  plies: COUNT,
  copies: COUNT,
  grain: v.exactOptional(NUMBER),
  outline: LINE,
  openings: v.array(v.object({ kind: v.picklist(['opening', 'slot']), loop: LINE })),
  scores: v.array(SCORE),
  lines: v.array(v.object({ kind: v.picklist(['datum', 'align', 'glue']), line: LINE, closed: v.boolean() })),
  texts: v.array(v.object({ text: v.string(), at: POINT, size: NUMBER, angle: NUMBER })),
  pose: v.exactOptional(POSE),
  also: v.exactOptional(v.array(POSE)),
  form: v.exactOptional(FORM),
  reads: v.array(v.string()),
  notes: v.array(v.string()),
  fingerprint: v.string(),
  placements: v.array(v.object({ id: v.string(), sheet: COUNT, x: NUMBER, y: NUMBER, turn: NUMBER })),
})

const MANIFEST = v.object({
  schema: v.literal(SCHEMA),
  model: v.string(),
  title: v.string(),
  scale: v.object({ ratio: NUMBER, name: v.string() }),
  assemblies: v.array(v.string()),
  families: v.exactOptional(v.array(v.string())),
  spacing: v.exactOptional(v.object({ gap: v.pipe(NUMBER, v.minValue(0)), sharedCuts: v.boolean() })),
  relations: v.array(RELATION),
  dimensions: v.array(DIMENSION),
  stocks: v.array(STOCK),
  pieces: v.array(PIECE),
})
