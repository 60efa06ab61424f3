import { strToU8, zipSync } from 'fflate'
import type { Solid } from '../fit/solid'
import { xmlEscaped } from '../sheet/xml'

/** Solids as 3MF (3MF Core Specification 1.3, 3MF Consortium): a named object for each, mm. */
export function threeMfOf(title: string, solids: readonly Solid[]): Uint8Array {
  const objects = solids.map((solid, i) => objectOf(solid, i + 1)).join('')
  const items = solids.map((_, i) => `<item objectid="${i + 1}"/>`).join('')
  const model =
    `${XML}<model unit="millimeter" xml:lang="en" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">` +
    `<metadata name="Title">${xmlEscaped(title)}</metadata>` +
    `<resources>${objects}</resources><build>${items}</build></model>`
  const files = { '[Content_Types].xml': TYPES, '_rels/.rels': RELATIONS, '3D/3dmodel.model': model }
  const bytes = Object.entries(files).map(([name, text]) => [name, strToU8(text)])
  return zipSync(Object.fromEntries(bytes), { mtime: EPOCH })
}

/** The earliest time an archive can give: the same model gives the same bytes. */
const EPOCH = '1980-01-01T00:00:00'

const XML = '<?xml version="1.0" encoding="UTF-8"?>\n'

const TYPES =
  `${XML}<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
  '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>' +
  '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>'

const RELATIONS =
  `${XML}<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship ` +
  'Target="/3D/3dmodel.model" Id="model" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>'

function objectOf({ mark, copy, vertices, triangles }: Solid, id: number): string {
  const parts: string[] = []
  for (let i = 0; i < vertices.length; i += 3) {
    parts.push(`<vertex x="${micro(vertices[i]!)}" y="${micro(vertices[i + 1]!)}" z="${micro(vertices[i + 2]!)}"/>`)
  }
  parts.push('</vertices><triangles>')
  for (let t = 0; t < triangles.length; t += 3) {
    parts.push(`<triangle v1="${triangles[t]}" v2="${triangles[t + 1]}" v3="${triangles[t + 2]}"/>`)
  }
  const name = xmlEscaped(nameOf(mark, copy))
  return `<object id="${id}" type="model" name="${name}"><mesh><vertices>${parts.join('')}</triangles></mesh></object>`
}

/** `WR-P07`, or `WR-P07#2` for a second copy. */
export function nameOf(mark: string, copy: number): string {
  return copy === 1 ? mark : `${mark}#${copy}`
}

function micro(value: number): string {
  return String(Math.round(value * 1e6) / 1e6 + 0)
}
