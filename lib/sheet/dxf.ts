import { mm } from './digits'
import type { Drawing, Mark, Role } from './drawing'

/**
 * The drawing for a cutting machine: DXF of release 12 (AC1009), the oldest that everything reads, in mm, y up, as
 * closed and open polylines; letters are outlines. The layer says what a line is for. All of the sheet's frame is on one
 * layer, so that the samples in its key are not cut. Within a piece the openings come before the outline: the other way
 * round it would shift under the knife. A cut that parts two pieces is there once, with the first of them. A printer's correction is left out: the machine cuts what is given.
 *
 * Group codes after the published DXF reference, from memory; read back by another reader in the tests.
 */
export function dxfOf({ width, height, furniture, pieces }: Drawing): string {
  const limits = ['9', '$LIMMIN', '10', '0', '20', '0', '9', '$LIMMAX', '10', mm(width), '20', mm(height)]
  const header = ['9', '$ACADVER', '1', 'AC1009', '9', '$INSUNITS', '70', String(MILLIMETRES), ...limits]
  const continuous = ['0', 'LTYPE', '2', 'CONTINUOUS', '70', '0', '3', 'Solid line', '72', '65', '73', '0', '40', '0']
  const layers = LAYERS.flatMap((name, i) => ['0', 'LAYER', '2', name, '70', '0', '62', String(i + 1), '6', 'CONTINUOUS'])
  const groups = [
    ...section('HEADER', header),
    ...section('TABLES', [...table('LTYPE', 1, continuous), ...table('LAYER', LAYERS.length, layers)]),
    ...section('ENTITIES', [
      ...furniture.flatMap((mark) => polylines(mark, 'SHEET')),
      ...pieces.flatMap(({ marks }) => marks.flatMap((mark) => polylines(mark))),
    ]),
  ]
  return `${groups.join('\n')}\n0\nEOF\n`
}

/** In the order of their colour numbers. */
export const LAYERS = ['CUT', 'VALLEY', 'MOUNTAIN', 'MARK', 'TEXT', 'SHEET'] as const
type Layer = (typeof LAYERS)[number]

const LAYER_OF: Readonly<Partial<Record<Role, Layer>>> = { cut: 'CUT', valley: 'VALLEY', mountain: 'MOUNTAIN' }

/** $INSUNITS. */
const MILLIMETRES = 4

function section(name: string, groups: readonly string[]): string[] {
  return ['0', 'SECTION', '2', name, ...groups, '0', 'ENDSEC']
}

function table(name: string, count: number, groups: readonly string[]): string[] {
  return ['0', 'TABLE', '2', name, '70', String(count), ...groups, '0', 'ENDTAB']
}

function polylines(mark: Mark, on?: Layer): string[] {
  if (mark.kind === 'lettering') return mark.loops.flatMap((points) => polyline(points, true, on ?? 'TEXT'))
  const lines = mark.role === 'cut' ? mark.lines.toReversed() : mark.lines
  return lines.flatMap(({ points, closed }) => polyline(points, closed, on ?? LAYER_OF[mark.role] ?? 'MARK'))
}

function polyline(points: readonly (readonly [number, number])[], closed: boolean, layer: Layer): string[] {
  const vertices = points.flatMap(([x, y]) => ['0', 'VERTEX', '8', layer, '10', mm(x), '20', mm(y)])
  return ['0', 'POLYLINE', '8', layer, '66', '1', '70', closed ? '1' : '0', ...vertices, '0', 'SEQEND', '8', layer]
}
