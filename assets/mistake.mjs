// node assets/mistake.mjs: writes assets/mistake.svg, the demo's wing with its front spar 2 mm too low, cut at a rib, and
// prints what the fit has to say of it. Needs `npm run build`.
import { readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..')
const load = createRequire(import.meta.url)
const { readManifest } = load('../dist/revision/readManifest.js')
const { solidsOf } = load('../dist/fit/solid.js')
const { cutSolids } = load('../dist/fit/section.js')
const { fitFindings, prepareFit } = load('../dist/fit/index.js')
const { drawSection } = load('../dist/sheet/sectionDrawing.js')
const { svgOf } = load('../dist/sheet/svg.js')

const TOO_LOW = 2

const manifest = readManifest(readFileSync(join(ROOT, 'out/sandpiper/manifest.json'), 'utf8'))
const stocks = new Map(manifest.stocks.map((stock) => [stock.id, stock]))
const wing = manifest.pieces.filter(({ assembly, side }) => side === 'S' && /^wing\/(spars|ribs)$/.test(assembly))
const pieces = wing.map((piece) => (piece.family === 'FS' ? { ...piece, pose: lowered(piece.pose) } : piece))

const findings = fitFindings({ ...manifest, stocks, pieces, findings: [] }, await prepareFit())
for (const { id, mark, text } of findings.slice(0, 3)) console.log(`${id} ${mark}: ${text}`)

const rib = wing.find(({ mark }) => mark === 'WR-S04')
const solids = pieces.flatMap((piece) => solidsOf(piece, stocks.get(piece.stock)))
const drawing = drawSection({
  title: `${manifest.title} ${manifest.scale.name}`,
  where: `front spar ${TOO_LOW} mm too low, section at ${rib.mark}`,
  cuts: cutSolids(solids, rib.pose),
  stockOf: new Map(pieces.map(({ mark, stock, plies }) => [mark, { id: stock, title: stocks.get(stock).title, plies }])),
  enlarged: 3,
})
writeFileSync(join(ROOT, 'assets/mistake.svg'), svgOf(drawing))

function lowered({ origin: [x, y, z], ...axes }) {
  return { ...axes, origin: [x, y, z - TOO_LOW] }
}
