import type { Geom2, Path2 } from '@jscad/modeling/src/geometries/types'
import { normalize } from './boolean'
import { shapeError } from './fault'
import type { Point, Polyline, Region } from './point'

/** The region as a geom2 of @jscad/modeling. */
export function toGeom2(region: Region): Geom2 {
  const sides = region.flatMap((loop) =>
    loop.map((point, i): [[number, number], [number, number]] => [pair(point), pair(loop[(i + 1) % loop.length]!)]),
  )
  return jscad().geometries.geom2.create(sides)
}

/** The region a geom2 of @jscad/modeling stands for, its transforms applied. */
export function fromGeom2(geometry: unknown): Region {
  const { geom2 } = jscad().geometries
  if (!geom2.isA(geometry)) throw foreign('geom2', geometry)
  return normalize(geom2.toOutlines(geometry as Geom2).map((outline) => outline.map(([x, y]): Point => [x, y])))
}

export function toPath2(line: Polyline, closed = false): Path2 {
  return jscad().geometries.path2.fromPoints({ closed }, line.map(pair))
}

/** The points of a path2 of @jscad/modeling, its transforms applied, and whether it closes. */
export function fromPath2(geometry: unknown): { line: Polyline; closed: boolean } {
  const { path2 } = jscad().geometries
  if (!path2.isA(geometry)) throw foreign('path2', geometry)
  const path = geometry as Path2
  return { line: path2.toPoints(path).map(([x, y]): Point => [x, y]), closed: path.isClosed }
}

/** Loaded when it is first asked for: most models never do, and it takes longer to load than all of this folder. */
function jscad(): typeof import('@jscad/modeling') {
  // eslint-disable-next-line @typescript-eslint/no-require-imports
  return require('@jscad/modeling') as typeof import('@jscad/modeling')
}

function pair([x, y]: Point): [number, number] {
  return [x, y]
}

function foreign(wanted: string, given: unknown): Error {
  return shapeError(
    'foreign-geometry',
    `${given === null ? 'null' : typeof given} was given where a ${wanted} of @jscad/modeling is meant`,
    `hand in what its primitives, booleans or expansions return, of the kind ${wanted}`,
  )
}
