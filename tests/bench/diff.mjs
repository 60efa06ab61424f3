// npm run bench -- diff: two manifests of 2,000 pieces, compared and every overlay drawn, from text to text.
import { createRequire } from 'node:module'

const require = createRequire(import.meta.url)
const { readManifest } = require('../../dist/revision/readManifest.js')
const { manifestText } = require('../../dist/revision/manifest.js')
const { compareManifests } = require('../../dist/revision/changes.js')
const { overlayFiles } = require('../../dist/cli/overlays.js')
const { builtInStock } = require('../../dist/stock/catalogue.js')
const { NO_SURVEY } = require('../../dist/survey/table.js')
const { parseScale } = require('../../dist/length/scale.js')

/** Texts of two manifests; of so many pieces every so-many-th is another shape in the second. */
export function manifests(count, every) {
  const folder = builtInStock('folder')
  const modelOf = (by) => ({
    name: 'bench',
    title: 'Bench',
    scale: parseScale('1:60'),
    stocks: new Map([[folder.id, folder]]),
    pieces: Array.from({ length: count }, (_, i) => plate(i, i % every === 0 ? by : 0)),
    assemblies: [],
    relations: [],
    survey: NO_SURVEY,
    findings: [],
  })
  return [manifestText(modelOf(0), []), manifestText(modelOf(0.3), [])]
}

/** A plate with a wavy edge of 120 corners, two round openings and two slots. */
function plate(i, by) {
  const [long, high] = [60 + (i % 37), 18 + (i % 11)]
  const edge = Array.from({ length: 120 }, (_, k) => {
    const angle = (2 * Math.PI * k) / 120
    const swell = 1 + by / (30 + (i % 7)) * Math.cos(3 * angle)
    return [(long / 2) * swell * Math.cos(angle), (high / 2) * swell * Math.sin(angle)]
  })
  const round = (x) => Array.from({ length: 32 }, (_, k) => [x + 3 * Math.cos((-2 * Math.PI * k) / 32), 3 * Math.sin((-2 * Math.PI * k) / 32)])
  const slot = (x) => [[x, -1], [x, 4], [x + 0.6, 4], [x + 0.6, -1]]
  return {
    mark: `PL-${String(i + 1).padStart(4, '0')}`,
    family: 'PL',
    side: '',
    station: i + 1,
    assembly: '',
    stock: 'folder',
    plies: 1,
    copies: 1,
    outline: edge,
    openings: [...[-15, 15].map((x) => ({ kind: 'opening', loop: round(x) })), ...[-5, 5].map((x) => ({ kind: 'slot', loop: slot(x) }))],
    scores: [],
    lines: [],
    texts: [],
    reads: [],
    notes: [],
  }
}

/** From two texts to the changes and the text of every overlay. */
export function diffed([before, after]) {
  const changes = compareManifests(readManifest(before), readManifest(after))
  return { changes, files: overlayFiles([changes], ['before', 'after']) }
}
