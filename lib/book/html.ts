import { pathData } from '../sheet/digits'
import { svgOf } from '../sheet/svg'
import { xmlEscaped } from '../sheet/xml'
import type { Block, Book, Cell, CellPicture, Chapter } from './book'

/** The book as one HTML page that opens from disk: no script, nothing fetched. */
export function bookHtml({ title, chapters }: Book): string {
  const contents = chapters.map((chapter, i) => `<li><a href="#c${i}">${xmlEscaped(chapter.title)}</a></li>`).join('')
  return [
    '<!doctype html>',
    '<html lang="en">',
    '<head>',
    '<meta charset="utf-8">',
    '<meta name="viewport" content="width=device-width,initial-scale=1">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; img-src data:; style-src 'unsafe-inline'">`,
    `<title>${xmlEscaped(title)}</title>`,
    `<style>${STYLE}</style>`,
    '</head>',
    '<body>',
    `<h1>${xmlEscaped(title)}</h1>`,
    `<nav aria-label="Chapters"><ol>${contents}</ol></nav>`,
    ...chapters.map(section),
    '</body>',
    '</html>',
    '',
  ].join('\n')
}

const STYLE = `
:root{color-scheme:light dark;--paper:#fbf8f1;--ink:#23201a;--rule:#cfc6b2;--warn:#8a3b12}
@media (prefers-color-scheme:dark){:root{--paper:#1d1b17;--ink:#e9e3d6;--rule:#4a4437;--warn:#f0a070}}
body{margin:0 auto;max-width:60rem;padding:1rem 1.25rem 4rem;background:var(--paper);color:var(--ink);font:1rem/1.5 system-ui,sans-serif}
h2{margin-top:3rem;padding-top:.5rem;border-top:2px solid var(--ink)}
nav ol{columns:14rem;padding-left:1.5rem}
a{color:inherit}
table{border-collapse:collapse;width:100%}
th,td{padding:.3rem .5rem;border-bottom:1px solid var(--rule);text-align:left;vertical-align:middle}
.wide{overflow-x:auto}
.caution{border:2px solid var(--warn);padding:.5rem 1rem}
.caution h3{margin:.25rem 0;color:var(--warn)}
ul.steps{list-style:none;padding-left:0}
ul.steps label{display:flex;gap:.6rem;align-items:baseline;margin:.35rem 0}
input{width:1.1rem;height:1.1rem;flex:none}
td input[type=text]{width:6rem;height:auto}
figure{margin:1.5rem 0;text-align:center}
figure img{max-width:100%;height:auto;background:#fff}
td svg{display:block;width:7rem;height:2.6rem;stroke:currentColor;fill:none}
@media print{h2{break-before:page}tr,figure{break-inside:avoid}}
`

function section({ title, blocks }: Chapter, i: number): string {
  return `<section>\n<h2 id="c${i}">${xmlEscaped(title)}</h2>\n${blocks.map(block).join('\n')}\n</section>`
}

function block(one: Block): string {
  switch (one.kind) {
    case 'heading':
      return `<h3>${xmlEscaped(one.text)}</h3>`
    case 'text':
      return `<p>${xmlEscaped(one.text)}</p>`
    case 'caution':
      return `<div class="caution" role="note"><h3>Caution</h3><ul>${one.items.map((item) => `<li>${xmlEscaped(item)}</li>`).join('')}</ul></div>`
    case 'steps':
      return `<ul class="steps">${one.items.map((item) => `<li><label><input type="checkbox"><span>${xmlEscaped(item)}</span></label></li>`).join('')}</ul>`
    case 'table': {
      const head = one.columns.map(({ name }) => `<th scope="col">${xmlEscaped(name)}</th>`).join('')
      const rows = one.rows.map((row) => `<tr>${row.map((cell, i) => `<td>${cellOf(cell, row, one.columns[i]!.name)}</td>`).join('')}</tr>`)
      return `<div class="wide"><table><thead><tr>${head}</tr></thead><tbody>${rows.join('\n')}</tbody></table></div>`
    }
    case 'drawing': {
      const data = Buffer.from(svgOf(one.drawing)).toString('base64')
      const caption = xmlEscaped(one.caption)
      return `<figure><img alt="${caption}" src="data:image/svg+xml;base64,${data}"><figcaption>${caption}</figcaption></figure>`
    }
  }
}

/** A box or blank is named by what its row is about. */
function cellOf(cell: Cell, row: readonly Cell[], column: string): string {
  const about = xmlEscaped([row.find((one) => typeof one === 'string'), column || 'done'].filter(Boolean).join(': '))
  if (typeof cell === 'string') return xmlEscaped(cell)
  if ('picture' in cell) return pictureOf(cell.picture)
  if ('box' in cell) return `<input type="checkbox" aria-label="${about}">`
  return `<input type="text" aria-label="${about}">`
}

function pictureOf({ cuts, valleys, mountains }: CellPicture): string {
  const [outline] = cuts
  const [xs, ys] = [outline!.map(([x]) => x), outline!.map(([, y]) => y)]
  const [left, right] = [xs.reduce((a, b) => Math.min(a, b)), xs.reduce((a, b) => Math.max(a, b))]
  const [low, high] = [ys.reduce((a, b) => Math.min(a, b)), ys.reduce((a, b) => Math.max(a, b))]
  const path = (lines: CellPicture['cuts'], closed: boolean) =>
    lines.map((line) => pathData(line.map(([x, y]) => [x - left, y - low]), closed, high - low)).join('')
  const size = Math.max(right - left, high - low)
  const width = (size / 100).toFixed(3)
  const box = `${-size / 50} ${-size / 50} ${right - left + size / 25} ${high - low + size / 25}`
  const folds = [[valleys, '4 2'], [mountains, '6 2 1 2 1 2']] as const
  const dashed = folds.flatMap(([lines, dashes]) => {
    const scaled = dashes.split(' ').map((dash) => ((Number(dash) * size) / 100).toFixed(2)).join(' ')
    return lines.length > 0 ? [`<path d="${path(lines, false)}" stroke-dasharray="${scaled}"/>`] : []
  })
  return `<svg viewBox="${box}" stroke-width="${width}" aria-hidden="true"><path d="${path(cuts, true)}"/>${dashed.join('')}</svg>`
}
