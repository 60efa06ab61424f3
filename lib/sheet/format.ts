import { remembered } from '../memo/remember'
import type { Sheet } from './draw'
import type { Drawing } from './drawing'
import { svgOf } from './svg'

/** The kinds of file that sheets are written as. The first is always written, the others are asked for by their name. */
export const FORMATS = ['svg', 'pdf', 'dxf', 'png'] as const
export type FormatName = (typeof FORMATS)[number]

/** What all sheets of one stock have in common. */
export interface SheetSet {
  /** `Sandpiper 1:60` */
  readonly title: string
  /** Id and title of the stock. */
  readonly stock: { readonly id: string; readonly title: string }
  /** In build order, parents before children. */
  readonly assemblies: readonly string[]
  /** Dots in an inch of a picture. */
  readonly dpi: number
}

/** One file of a build, below the model's output folder: `sheets/folder-01.svg`. */
export interface SheetFile {
  readonly path: string
  readonly content: string | Uint8Array
}

/** Takes the sheets of one stock one after another and gives what is to be written once there are no more. */
export interface FormatWriter {
  /** @param name of the sheet, `folder-01` */
  add(sheet: Sheet, name: string): void
  files(): SheetFile[]
}

/** Where the files of each format go, and how they end. A folder holds the sheets of one build and no others. */
export const FORMAT_FOLDERS: Readonly<Record<FormatName, { readonly folder: string; readonly extension: string }>> = {
  svg: { folder: 'sheets', extension: '.svg' },
  pdf: { folder: 'pdf', extension: '.pdf' },
  dxf: { folder: 'dxf', extension: '.dxf' },
  png: { folder: 'png', extension: '.png' },
}

/** A writer of the format. What only some formats need is loaded here, when it is known that it is needed. */
export function openFormat(name: FormatName, set: SheetSet): FormatWriter {
  switch (name) {
    case 'svg':
      return eachSheet(name, svgOf)
    case 'pdf':
      return (require('./pdf') as typeof import('./pdf')).pdfWriter(set)
    case 'dxf':
      return eachSheet(name, (require('./dxf') as typeof import('./dxf')).dxfOf)
    case 'png': {
      const { pngOf } = require('./png') as typeof import('./png')
      return eachSheet(name, (drawing) => pngOf(drawing, set.dpi), `${set.dpi}`)
    }
  }
}

/** @param manner what the writing hangs on beside the drawing */
function eachSheet(
  name: FormatName,
  write: (drawing: Drawing) => string | Uint8Array,
  manner = '',
): FormatWriter {
  const { folder, extension } = FORMAT_FOLDERS[name]
  const files: SheetFile[] = []
  return {
    add({ draw, content: shown }, sheet) {
      const content = remembered(`${name} ${manner}`, shown, () => write(draw()))
      files.push({ path: `${folder}/${sheet}${extension}`, content })
    },
    files: () => files,
  }
}
