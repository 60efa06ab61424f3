import type { PageData, PageFinding } from '../data'
import { centreOf } from './flat'
import { kept } from './kept'
import { unpackLoops } from './unpack'

/** Indices of the findings that speak of each piece. */
export const findingsByPiece = kept((data: PageData): readonly (readonly number[])[] => {
  const found: number[][] = data.pieces.map(() => [])
  for (const [i, { pieces }] of data.findings.entries()) for (const piece of pieces) found[piece]!.push(i)
  return found
})

/** What findings may be chosen by: nothing, any at all, how bad they are, or their kind as `kind:clash`. */
export type FindingFilter = '' | 'any' | PageFinding['severity'] | `kind:${string}`

export function isMeant({ severity, id }: PageFinding, filter: FindingFilter): boolean {
  return filter === '' || filter === 'any' || filter === severity || filter === `kind:${id}`
}

/** Filters that there is something for, each with its name and how many it lets through. */
export function filtersFor({ findings }: PageData): [value: FindingFilter, text: string][] {
  const severities = (['error', 'warning', 'note'] as const).map((one): [FindingFilter, string] => [one, `${one}s`])
  const kinds = [...new Set(findings.map(({ id }) => id))].toSorted()
  const all: [FindingFilter, string][] = [['any', 'any finding'], ...severities, ...kinds.map((id): [FindingFilter, string] => [`kind:${id}`, `“${id}”`])]
  return all.flatMap(([value, text]): [FindingFilter, string][] => {
    const count = findings.filter((finding) => isMeant(finding, value)).length
    return count > 0 ? [[value, `${text} (${count})`]] : []
  })
}

/** A piece that a finding is about, and where it is on its flat: in its middle where nothing more is known. */
export interface FoundPlace {
  readonly piece: number
  readonly at: readonly [number, number]
}

/** Of all pieces that a finding is about, the first one first. */
export function placesOf({ pieces }: PageData, { pieces: [first], at, also = [] }: PageFinding): FoundPlace[] {
  const all = [...(first === undefined ? [] : [{ piece: first, ...(at && { at }) }]), ...also]
  return all.map(({ piece, at: there }) => ({ piece, at: there ?? centreOf(unpackLoops(pieces[piece]!)[0]!) }))
}

/** Whether a finding has a place in the model that can be shown. */
export function isInModel({ pieces, findings }: PageData, n: number): boolean {
  const { spot, pieces: own } = findings[n]!
  return spot !== undefined || (own[0] !== undefined && pieces[own[0]]!.solids !== undefined)
}
