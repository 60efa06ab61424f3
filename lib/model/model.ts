import type { Finding } from '../finding/finding'
import type { Scale } from '../length/scale'
import type { Stock } from '../stock/card'
import type { SurveyTable } from '../survey/table'
import type { Piece } from './piece'
import type { Relation } from './relation'
import type { Spacing } from './spacing'

/** A model evaluated at one scale on one set of stocks: plain data for every later stage. */
export interface Model {
  /** Folder name under `out/`: `sandpiper`. */
  readonly name: string
  /** As sheets print it: `Sandpiper`. */
  readonly title: string
  readonly scale: Scale
  /** The stocks the model may use, by id. */
  readonly stocks: ReadonlyMap<string, Stock>
  /** Sorted by mark. */
  readonly pieces: readonly Piece[]
  /** Assemblies in build order, parents before children: `wing`, `wing/ribs`. */
  readonly assemblies: readonly string[]
  /** Codes of the families in the order they are built. */
  readonly families?: readonly string[]
  /** What the parts are to one another; each once, in a settled order. */
  readonly relations: readonly Relation[]
  /** The subject's dimensions and what must hold between them. */
  readonly survey: SurveyTable
  /** How near to each other pieces may lie on a sheet; as by default where it does not say. */
  readonly spacing?: Spacing
  /** What evaluation itself had to say. */
  readonly findings: readonly Finding[]
}
