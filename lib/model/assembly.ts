import { FindingError } from '../finding/finding'
import { callSite, resolveSite } from '../finding/site'
import { Family, evaluateFamily } from './family'
import type { Piece } from './piece'

/** Pieces already worked out, as craft steps such as an interlock hand them back. */
export class PieceSet {
  readonly pieces: readonly Piece[]

  constructor(pieces: readonly Piece[]) {
    this.pieces = pieces
    Object.freeze(this)
  }
}

/** Parts that go together on the bench, in the order they are built. */
export class Assembly {
  readonly name: string
  readonly parts: readonly Part[]

  constructor(name: string, parts: readonly Part[]) {
    this.name = name
    this.parts = parts
    Object.freeze(this)
  }
}

export type Part = Family | PieceSet | Assembly

export function isPart(value: unknown): value is Part {
  return value instanceof Family || value instanceof PieceSet || value instanceof Assembly
}

/** A named assembly of families, pieces and further assemblies, in build order. */
export function assembly(name: string, ...parts: Part[]): Assembly {
  if (typeof name !== 'string' || name.trim() === '' || name.includes('/')) {
    throw assemblyError(`"${String(name)}" is no name for an assembly`, 'give it a short name without a slash')
  }
  for (const [i, part] of parts.entries()) {
    if (isPart(part)) continue
    throw assemblyError(`part ${i + 1} of assembly "${name}" is ${String(part)}`, 'give it families and assemblies')
  }
  return new Assembly(name, parts)
}

/** The pieces of a family or set, on the bench the model is being built for. */
export function piecesOf(part: Family | PieceSet): readonly Piece[] {
  return part instanceof Family ? evaluateFamily(part) : part.pieces
}

/** Every piece below an assembly with its path filled in, and the paths in build order, parents first. */
export function flattenAssembly(root: Assembly): { pieces: Piece[]; assemblies: string[] } {
  const pieces: Piece[] = []
  const assemblies: string[] = []
  const walk = (node: Assembly, path: string): void => {
    if (path !== '') assemblies.push(path)
    for (const part of node.parts) {
      if (part instanceof Assembly) walk(part, path === '' ? part.name : `${path}/${part.name}`)
      else pieces.push(...piecesOf(part).map((piece) => ({ ...piece, assembly: path })))
    }
  }
  walk(root, '')
  return { pieces, assemblies: [...new Set(assemblies)] }
}

function assemblyError(text: string, remedy: string): FindingError {
  const site = resolveSite(callSite())
  return new FindingError({ id: 'assembly', severity: 'error', text, remedy, ...(site && { site }) })
}
