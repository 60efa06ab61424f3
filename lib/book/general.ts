import type { ManifestStock } from '../revision/manifest'
import type { Block, Chapter } from './book'

/** What holds for every assembly: cautions, how to cut, what the lines mean, what card to have ready. */
export function generalChapter(stocks: readonly ManifestStock[]): Chapter {
  return { title: 'Before you start', blocks: [CAUTIONS, ...materials(stocks), ...WORKING] }
}

/** Common practice, no source; what a maker prints on the packet goes before it. */
const CAUTIONS: Block = {
  kind: 'caution',
  items: [
    'Knives: cut on a mat, along a steel rule, with a fresh blade, away from the hand that holds the card. Wear eye protection: blade tips snap. Put used blades in a closed tin.',
    'Adhesives and paints: air the room, keep them off skin and eyes, keep flames away from solvents. Read and follow the makers’ instructions; they go before anything printed here.',
    'Keep knives, blades, adhesives and small parts away from children.',
    'Loads and strengths worked out here are for a model on a shelf, not for anything that carries people or goods.',
  ],
}

const WORKING: readonly Block[] = [
  { kind: 'heading', text: 'How to cut' },
  {
    kind: 'steps',
    items: [
      'Measure the 100 mm bars on every sheet before the first cut. If they are off, print again at 100 % or calibrate the printer.',
      'Score all folds first, while the card is whole: against the rule, on the printed side for a mountain, on the back for a valley unless your own test strip says otherwise.',
      'Cut inner openings and slots first, then small pieces, the outline last: card that is still whole holds still.',
      'Cut slots to their ends with the point of the blade, from both ends to the middle. Try each with a scrap of its card.',
      'Write the mark on the back of every piece that is cut without its label.',
    ],
  },
  { kind: 'heading', text: 'Lines' },
  {
    kind: 'text',
    text: 'Continuous line: cut. Dashes: valley fold, closes towards the printed side. Dash and two dots: mountain fold. Long dash, short dash: centre or datum. Thin line: edge of another piece. Dots: area to be glued. The arrow with two heads is the direction of the grain.',
  },
]

function materials(stocks: readonly ManifestStock[]): Block[] {
  return [
    { kind: 'heading', text: 'Card to have ready' },
    {
      kind: 'table',
      columns: [
        { name: 'card', share: 4 },
        { name: 'thickness', share: 2 },
        { name: 'sheet', share: 2 },
        { name: 'sheets', share: 1 },
        { name: '', share: 0.6 },
      ],
      rows: stocks.map(({ id, title, thickness, sheet, sheets }) => [
        `${title} (${id})`,
        `${Number(thickness.value.toFixed(3))} mm`,
        sheet.name,
        String(sheets),
        { box: true },
      ]),
    },
  ]
}
