import { type Finding, sortFindings } from '../finding/finding'
import { checkModel } from '../check/index'
import type { Model } from '../model/model'
import type { Stock } from '../stock/card'
import type { OutFile } from './write'

export interface CompileOptions {
  readonly atRatio?: (ratio: number) => Model | undefined
  readonly onProgress?: (what: string, done: number, total: number) => void
}

export interface Compiled {
  readonly findings: readonly Finding[]
  readonly sheets: readonly SheetCount[]
  /** Empty where there is an error. */
  readonly files: readonly OutFile[]
}

/** What is cut from one stock. */
export interface SheetCount {
  readonly stock: Stock
  /** Pieces to cut: every copy, every ply. */
  readonly pieces: number
  readonly sheets: number
}

export function compileModel(model: Model, options: CompileOptions = {}): Compiled {
  throw new Error('later')
}
