import type { Drawing } from './drawing'
import { svgOf } from './svg'

/** A picture of the sheet on white, so many dots to the inch, by way of its SVG: letters are outlines, no font is looked for. */
export function pngOf(drawing: Drawing, dpi: number): Uint8Array {
  const { Resvg } = require('@resvg/resvg-js') as typeof import('@resvg/resvg-js')
  return new Resvg(svgOf(drawing), { dpi, background: 'white', font: { loadSystemFonts: false } }).render().asPng()
}
