import { createHash } from 'node:crypto'
import { deflateRawSync } from 'node:zlib'
import { markupText } from '../sheet/markup'
import type { PageData } from './data'

/** Script and style of the page as they were bundled. */
export interface Bundle {
  readonly script: string
  readonly style: string
}

/** What the page needs of one model: its data, and its sheets as SVG text by name. */
export interface ModelPage {
  readonly data: PageData
  readonly sheets: ReadonlyMap<string, string>
}

/** The page as it is served: script, style and data come from the server that it came from, and from nowhere else. */
export function servedPage(models: readonly { readonly name: string; readonly title: string }[]): string {
  return page({
    title: models.map(({ title }) => title).join(', '),
    head: '<link rel="stylesheet" href="/page.css">',
    data: { served: models },
    script: '<script src="/page.js" defer></script>',
  })
}

/** The same as one file that opens from disk: nothing is fetched, and only the script that is in it may run. */
export function enclosedPage(models: readonly ModelPage[], { script, style }: Bundle): string {
  const policy = [
    "default-src 'none'",
    `script-src '${hash(script)}'`,
    `style-src '${hash(style)}'`,
    'img-src blob: data:',
    "base-uri 'none'",
    "form-action 'none'",
  ]
  return page({
    title: models.map(({ data }) => data.title).join(', '),
    head: `<meta http-equiv="Content-Security-Policy" content="${policy.join('; ')}">\n<style>${style}</style>`,
    data: { enclosed: models.map(enclosed) },
    script: `<script>${script}</script>`,
  })
}

/** A sheet's text is five times the size of what is in it. */
function enclosed({ data, sheets }: ModelPage) {
  const { name, title } = data
  const texts = [...sheets].map(([sheet, text]) => [sheet, deflated(text)])
  return { name, title, data: deflated(JSON.stringify(data)), sheets: Object.fromEntries(texts) as unknown }
}

function deflated(text: string): string {
  return deflateRawSync(text).toString('base64')
}

/** What a browser may do on the served page. */
export const SERVED_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self'",
  "img-src 'self' blob: data:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ')

/** What it may do on a sheet opened by itself: draw it. */
export const SHEET_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; sandbox"

function page({ title, head, data, script }: Record<'title' | 'head' | 'script', string> & { data: unknown }): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<link rel="icon" href="data:,">
${head}
<title>${markupText(title)}</title>
</head>
<body>
<noscript>This page needs JavaScript to draw the model. The sheets are in the folder out as SVG files.</noscript>
<script type="application/json" id="data">${inScript(data)}</script>
${script}
</body>
</html>
`
}

/** JSON that no HTML parser takes for markup: the end of a script, or a comment in it. */
function inScript(data: unknown): string {
  return JSON.stringify(data).replaceAll('<', '\\u003c')
}

function hash(text: string): string {
  return `sha256-${createHash('sha256').update(text).digest('base64')}`
}
