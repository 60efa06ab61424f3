import type { Manifest, ManifestPiece } from '../revision/manifest'
import type { Block, Cell } from './book'

/** Length aft, breadth and height of a built assembly, mm. */
export interface AssemblySize {
  readonly length: number
  readonly breadth: number
  readonly height: number
}

/** What to measure on the built assembly: its size over all, and the clearances that were asked for. */
export function checksOf({
  manifest,
  pieces,
  size,
}: {
  readonly manifest: Manifest
  readonly pieces: readonly ManifestPiece[]
  readonly size?: AssemblySize
}): Block[] {
  const own = new Set(pieces.map(({ mark }) => mark))
  const over = size
    ? ([['length', size.length], ['breadth', size.breadth], ['height', size.height]] as const).map(([name, value]) =>
        row(`${name} over all`, `${value.toFixed(1)} mm`, `±${tolerance(value).toFixed(1)} mm`),
      )
    : []
  const clear = manifest.relations.flatMap((relation) => {
    if (relation.kind !== 'clearance' || ![...relation.a, ...relation.b].some((mark) => own.has(mark))) return []
    const { name, least, most } = relation
    const wanted = most === undefined ? `${least.toFixed(2)} mm or more` : `${least.toFixed(2)} to ${most.toFixed(2)} mm`
    return [row(`clearance: ${name}`, wanted, '')]
  })
  const rows = [...over, ...clear]
  if (rows.length === 0) return []
  return [
    { kind: 'heading', text: 'Checks' },
    {
      kind: 'table',
      columns: [
        { name: 'measure', share: 4 },
        { name: 'wanted', share: 2.4 },
        { name: 'tolerance', share: 1.6 },
        { name: 'measured', share: 1.8 },
        { name: '', share: 0.6 },
      ],
      rows,
    },
  ]
}

/**
 * ± what good work keeps to, mm: the class "medium" of ISO 2768-1 for linear sizes (±0.1 up to 6, ±0.2 up to 30, ±0.3 up to
 * 120, ±0.5 up to 400, ±0.8 up to 1000, from memory).
 */
export function tolerance(size: number): number {
  return ([[6, 0.1], [30, 0.2], [120, 0.3], [400, 0.5], [1000, 0.8]] as const).find(([most]) => size <= most)?.[1] ?? 1.2
}

function row(name: string, wanted: string, within: string): Cell[] {
  return [name, wanted, within, { blank: true }, { box: true }]
}
