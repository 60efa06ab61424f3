import type { Element } from '@svgdotjs/svg.js'
import type { Affine, Drawing, Lettering, Mark, Role, Stroke } from './drawing'
import { byDashes } from './dashes'
import { decimal, microns, mm, pathData } from './digits'
import { openSvg } from './document'
import { lettering } from './lettering'
import { PENS } from './pen'
import { xmlId, xmlText } from './xml'

/**
 * The drawing as SVG text: width, height and viewBox in mm, coordinates to 0.001 mm, y turned over to run down. A
 * group a piece and in it one path for each kind of line (folds: one for each length, as their dashes are fitted).
 */
export function svgOf(drawing: Drawing): string {
  const { width, height, title, pieces, furniture } = drawing
  return openSvg((root) => {
    const size = { width: `${mm(width)}mm`, height: `${mm(height)}mm`, viewBox: `0 0 ${mm(width)} ${mm(height)}` }
    root.attr({ ...size, fill: 'none', stroke: '#000', 'stroke-width': '0.13' })
    child(root, 'title').words(xmlText(title))
    child(root, 'style').words(STYLE)
    const page = drawing.correction ? child(root, 'g', { transform: turnedOver(drawing.correction, height) }) : root
    const frame = child(page, 'g', { class: 'furniture' })
    for (const mark of furniture) drawMark(frame, mark, height)
    for (const piece of pieces) {
      const group = child(page, 'g', {
        class: 'piece',
        id: xmlId(piece.id),
        'data-mark': xmlText(piece.mark),
        'data-stock': xmlText(piece.stock),
        'data-plies': String(piece.plies),
        'data-fingerprint': piece.fingerprint,
      })
      for (const mark of piece.marks) drawMark(group, mark, height)
    }
  })
}

/** The same correction where y runs down. */
function turnedOver([a, b, c, d, e, f]: Affine, height: number): string {
  const numbers = [a, -b, -c, d, e + c * height, height - f - d * height]
  return `matrix(${numbers.map((n) => Number(n.toFixed(9))).join(' ')})`
}

/** Classes of a role: what cuts and folds go by their own names, everything else is a mark of some kind. */
function classOf(role: Role): string {
  return role === 'cut' || role === 'valley' || role === 'mountain' ? role : `mark ${role}`
}

const STYLE = [
  ...(Object.keys(PENS) as Role[])
    .filter((role) => PENS[role].ink === undefined)
    .map((role) => `.${role}{stroke-width:${PENS[role].width}}`),
  '.text{fill:#000;stroke:none}',
  'path{stroke-linejoin:round}',
].join('')

function drawMark(group: Element, mark: Mark, height: number): void {
  if (mark.kind === 'stroke') drawStroke(group, mark, height)
  else drawLettering(group, mark, height)
}

/** Lines whose dashes are fitted alike share a path: its dashes start anew with each of its lines. */
function drawStroke(group: Element, stroke: Stroke, height: number): void {
  const { ink, width } = PENS[stroke.role]
  const look = ink === undefined ? {} : { stroke: ink, 'stroke-width': mm(width) }
  for (const { dashes, lines } of byDashes(stroke)) {
    const d = lines.map(({ points, closed }) => pathData(points, closed, height)).join('')
    child(group, 'path', { class: classOf(stroke.role), d, ...look, ...(dashes && { 'stroke-dasharray': dashes }) })
  }
}

function drawLettering(group: Element, { text, glyphs }: Lettering, height: number): void {
  let d = ''
  for (const { character, at, size, angle } of glyphs) {
    const outline = outlineOf(character, size, angle)
    if (outline === '') continue
    d += `M${mm(at[0])} ${mm(height - at[1])}${outline}`
  }
  child(child(group, 'path', { class: 'mark text', d }), 'title').words(xmlText(text))
}

/** Attributes go to the node itself: svg.js would look through every path for colours and units. */
function child(parent: Element, name: string, attributes: Readonly<Record<string, string>> = {}): Element {
  const element = parent.element(name)
  for (const [key, value] of Object.entries(attributes)) element.node.setAttribute(key, value)
  return element
}

/**
 * A glyph about its origin, in steps from point to point; kept, since a sheet has thousands of the same few. The steps
 * are between rounded points and do not drift.
 */
function outlineOf(character: string, size: number, angle: number): string {
  const key = `${size} ${angle} ${character}`
  let outline = outlines.get(key)
  if (outline === undefined) {
    const { loops } = lettering(character, [{ character, at: [0, 0], size, angle }])
    outlines.set(key, (outline = steps(loops)))
    if (outlines.size > MOST_OUTLINES) outlines.clear()
  }
  return outline
}

const outlines = new Map<string, string>()

/** Pieces turned at will have letters at as many angles. */
const MOST_OUTLINES = 20_000

function steps(loops: Lettering['loops']): string {
  let d = ''
  // A closed loop leaves the pen where it began.
  let [startX, startY] = [0, 0]
  for (const loop of loops) {
    let [lastX, lastY] = [startX, startY]
    for (let i = 0; i < loop.length; i++) {
      const [x, y] = [microns(loop[i]![0]), microns(-loop[i]![1])]
      d += `${i === 0 ? 'm' : i === 1 ? 'l' : ' '}${step(x - lastX)}${y < lastY ? '' : ' '}${step(y - lastY)}`
      if (i === 0) [startX, startY] = [x, y]
      ;[lastX, lastY] = [x, y]
    }
    d += 'z'
  }
  return d
}

/** Without the nought before the point. */
function step(thousandths: number): string {
  return decimal(thousandths).replace(/^(-?)0\./, '$1.')
}
