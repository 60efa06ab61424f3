// One picture for each technique of card craft, of pieces of the demo models as their build makes them: into
// out/gallery/. Part of `npm run sheets`, so that the pictures in the README change with what they show.
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const require = createRequire(import.meta.url)
const { createLoader } = require('../dist/cli/load.js')
const { evaluateModel } = require('../dist/model/evaluate.js')
const { svgOf } = require('../dist/sheet/index.js')
const { drawPicture } = require('../dist/sheet/picture.js')

const ROOT = join(dirname(fileURLToPath(import.meta.url)), '..')
const OUT = join(ROOT, 'out', 'gallery')

/** The marks that show each technique, by model. */
const PICTURES = {
  interlock: ['sandpiper', /^(WR-S0[1-3]|FS-S(-L1)?|RS-S(-L1)?)$/],
  notches: ['sandpiper', /^(HF-(08|20)|SG-S01-B)$/],
  folded: ['sandpiper', /^SE-S01-|^TB-P$|^TL-S01$/],
  tabs: ['tram', /^(SP-S01|RE-01|RE|DF.*|DL.*)$/],
  lamination: ['sandpiper', /^(KE-01-L\d|ST-S01-L\d|XR-S-W\d)$/],
  wound: ['sandpiper', /^TW-S01-/],
  skin: ['sandpiper', /^(HB-S01|WU-S|HT-S01)$/],
  petals: ['sandpiper', /^(BW-S0[1-6]|BK-S01|SN-S)$/],
  jig: ['sandpiper', /^(JC-(04|08)|JD|JL)$/],
  mirrored: ['sandpiper', /^(WR-[PS]01|WR-[PS]08|EC-[PS]|NR-[PS]03)$/],
}

/** Room for the largest picture, mm; it is cropped to what it shows. */
const PAGE = { name: 'picture', width: 230, height: 600 }

const loader = createLoader({ root: ROOT, timeLimit: 60_000 })
const models = new Map()
const modelOf = (name) => {
  if (!models.has(name)) {
    const definition = loader.load(join(ROOT, 'parts', name, 'index.ts'))
    models.set(name, evaluateModel(definition, { name }))
  }
  return models.get(name)
}

mkdirSync(OUT, { recursive: true })
const wanted = new Set(Object.keys(PICTURES).map((name) => `${name}.svg`))
for (const file of readdirSync(OUT)) if (!wanted.has(file)) rmSync(join(OUT, file))
for (const [name, [model, marks]] of Object.entries(PICTURES)) {
  const { pieces, stocks, scale } = modelOf(model)
  const shown = pieces.filter(({ mark }) => marks.test(mark))
  if (shown.length === 0) throw new Error(`${name}: no piece of ${model} is called ${marks}`)
  const svg = svgOf(drawPicture({ title: name, scale: scale.name, stock: { ...stocks.get('folder'), sheet: PAGE }, pieces: shown }))
  const file = join(OUT, `${name}.svg`)
  let before
  try {
    before = readFileSync(file, 'utf8')
  } catch {
    before = undefined
  }
  if (before !== svg) writeFileSync(file, svg)
}
