/**
 * Every command and option, once: parsing, `--help` and OPTIONS.md are all made from this table.
 */
export interface OptionSpec {
  /** A flag is there or not; text and number take one value; a list may be given again and again. */
  readonly kind: 'flag' | 'text' | 'number' | 'list'
  /** A flag that can also be taken back: `--no-color`. */
  readonly negatable?: true
  /** A number may be 0 as well. */
  readonly zero?: true
  /** Stands for the value in the help: `RATIO`. */
  readonly value?: string
  readonly help: string
  readonly example?: string
  /** What holds when it is not given; said in the help, applied by the parser. */
  readonly default?: string | number
}

export interface CommandSpec {
  readonly summary: string
  /** Sentences for the command's own help, beyond the summary. */
  readonly details: readonly string[]
  readonly operand?: Operand
  readonly options: readonly OptionName[]
  readonly examples: readonly string[]
  /** Left out of help and docs. */
  readonly hidden?: boolean
}

export interface Operand {
  readonly name: string
  readonly help: string
  readonly least: number
  readonly most: number
}

export const OPTIONS = {
  scale: {
    kind: 'text',
    value: 'RATIO',
    help: "Build at this scale instead of the model's own: a ratio, or a railway scale by its name in NEM 010.",
    example: '--scale 1:72',
  },
  stock: {
    kind: 'list',
    value: 'ID=THICKNESS',
    help: 'Use the thickness you measured (mm, in, or pt for 0.001 in) for a stock. May be given once per stock.',
    example: '--stock folder=0.30mm',
  },
  out: {
    kind: 'text',
    value: 'DIR',
    help: 'The folder that the sheets are in, one folder a model.',
    example: '--out sheets-1-72',
    default: 'out',
  },
  effort: {
    kind: 'text',
    value: 'HOW',
    help: 'How long to look for a layout on fewer sheets: quick, normal or thorough. Counted in steps, not seconds.',
    example: '--effort thorough',
    default: 'normal',
  },
  since: {
    kind: 'text',
    value: 'REV',
    help:
      'A git revision, output folder or manifest. build makes sheets of only what has to be cut again since, in' +
      ' out/MODEL/patch, leaves the sheets of the whole as they are and checks no types; view shows what has changed' +
      ' since, without it since the last commit.',
    example: '--since v1.2',
  },
  repack: {
    kind: 'flag',
    help: 'Lay all pieces out afresh. Without it, pieces that have not changed stay where the last build put them.',
    example: '--repack',
  },
  offcut: {
    kind: 'list',
    value: 'STOCK=WIDTHxHEIGHT',
    help: 'A piece of card left over, mm, to be used before whole sheets: a page of its size, grain as on whole sheets.',
    example: '--offcut folder=150x200',
  },
  used: {
    kind: 'list',
    value: 'STOCK=X,Y,WIDTH,HEIGHT',
    help: 'A sheet of which this part is used up, mm from its lower left corner; given again, more parts of that sheet.',
    example: '--used folder=0,180,215.9,99.4',
  },
  pdf: {
    kind: 'flag',
    help: 'Write a PDF a stock as well, a page a sheet at true scale, into out/MODEL/pdf.',
    example: '--pdf',
  },
  dxf: {
    kind: 'flag',
    help: 'Write a DXF a sheet as well, for a cutting machine, into out/MODEL/dxf: mm, a layer a kind of line.',
    example: '--dxf',
  },
  png: {
    kind: 'flag',
    help: 'Write a picture a sheet as well, to look at, into out/MODEL/png.',
    example: '--png',
  },
  dpi: {
    kind: 'number',
    value: 'DOTS',
    help: 'Dots in an inch of the pictures of --png, up to 600.',
    example: '--dpi 200',
    default: 100,
  },
  printer: {
    kind: 'text',
    value: 'NAME',
    help: 'The printer, by the name it was measured under with cardwright calibrate: pages make up for what it does to them.',
    example: '--printer den',
  },
  x: {
    kind: 'list',
    value: 'LENGTHS',
    help: 'Readings of bar A, across: the whole bar or its first 100 mm; several with commas, or given again.',
    example: '--x 164.5mm,164.75mm',
  },
  y: {
    kind: 'list',
    value: 'LENGTHS',
    help: 'Readings of bar B, up: the whole bar or its first 100 mm.',
    example: '--y 219.5mm',
  },
  diagonals: {
    kind: 'list',
    value: 'C,D',
    help: 'Readings of diagonal C, which rises to the right, and D, which falls; more pairs given again.',
    example: '--diagonals 274.25mm,274.75mm',
  },
  instrument: {
    kind: 'text',
    value: 'INSTRUMENT',
    help: 'What the readings were taken with: rule (reads to 0.25 mm either way) or calipers (0.05 mm).',
    example: '--instrument calipers',
    default: 'rule',
  },
  sheet: {
    kind: 'text',
    value: 'SIZE',
    help: 'The sheet that the target is printed on, by the name of its size.',
    example: '--sheet A4',
    default: 'letter',
  },
  watch: {
    kind: 'flag',
    help: 'Stay, and build again whenever a source file is saved. Ctrl+C ends it.',
    example: '--watch',
  },
  json: {
    kind: 'flag',
    help: 'Print one JSON document on standard output and nothing else (with --watch, one line a build).',
    example: '--json',
  },
  minutes: {
    kind: 'number',
    value: 'MINUTES',
    help: 'How long it took, all pieces together.',
    example: '--minutes 95',
  },
  count: {
    kind: 'number',
    value: 'N',
    help: 'How many pieces of card of each mark, every copy and every ply counted. By default those still wanted.',
    example: '--count 2',
  },
  note: {
    kind: 'text',
    value: 'TEXT',
    help: 'Something to remember.',
    example: '--note warped',
  },
  date: {
    kind: 'text',
    value: 'DAY',
    help: 'The day on which it was done, when that is not today.',
    example: '--date 2026-03-14',
  },
  html: {
    kind: 'text',
    value: 'FILE',
    help: 'Write the same as a page with a plot over time, one file that needs nothing else.',
    example: '--html progress.html',
  },
  fresh: {
    kind: 'flag',
    help: 'The pieces come from the sheets as they are now, though an older print or cut is in the logbook.',
    example: '--fresh',
  },
  model: {
    kind: 'list',
    value: 'NAME',
    help: 'Only this model, where marks are in several; may be given again for another.',
    example: '--model sandpiper',
  },
  markdown: {
    kind: 'flag',
    help: 'Print Markdown, for a pull request or the summary of a CI run.',
    example: '--markdown',
  },
  svg: {
    kind: 'text',
    value: 'DIR',
    help: 'Draw each reshaped piece over what it was, as DIR/MODEL/MARK.overlay.svg; older overlays there are removed.',
    example: '--svg overlays',
  },
  'exit-code': {
    kind: 'flag',
    help: 'Exit with 1 when something has changed.',
    example: '--exit-code',
  },
  types: {
    kind: 'flag',
    negatable: true,
    help: 'Check the types of your files (the default), or leave that to your editor.',
    example: '--no-types',
  },
  unsourced: {
    kind: 'flag',
    help: 'Only what is still a guess, or has no source at all.',
    example: '--unsourced',
  },
  within: {
    kind: 'text',
    value: 'LENGTH',
    help: 'How far a piece on the bench may be off and still be used; half the thickness of its card by default.',
    example: '--within 0.2mm',
  },
  by: {
    kind: 'text',
    value: 'INSTRUMENT',
    help: 'What lengths were measured with: calipers (taken as ±0.05 mm) or rule (±0.25 mm).',
    example: '--by rule',
    default: 'calipers',
  },
  cache: {
    kind: 'flag',
    negatable: true,
    help: 'Use what earlier commands left in .cache/ (the default), or work all out anew. The result is the same.',
    example: '--no-cache',
  },
  at: {
    kind: 'text',
    value: 'PLACE',
    help: 'Where to cut: a mark or family:station (the plane that piece stands in), or x, y or z = a length on the model (mm) or the subject (m, ft).',
    example: '--at HF:12',
  },
  enlarge: {
    kind: 'number',
    value: 'TIMES',
    help: 'Draw so many times model size.',
    example: '--enlarge 4',
    default: 1,
  },
  exploded: {
    kind: 'flag',
    help: 'Take it apart in the order it is built, instead of three views.',
    example: '--exploded',
  },
  assembly: {
    kind: 'text',
    value: 'NAME',
    help: 'Only this assembly of the model.',
    example: '--assembly wing/ribs',
  },
  as: {
    kind: 'text',
    value: 'FORMAT',
    help: 'glb (glTF 2.0, every piece a named node), stl or 3mf.',
    example: '--as 3mf',
    default: 'glb',
  },
  file: {
    kind: 'text',
    value: 'FILE',
    help: 'Write to this file instead of one below the output folder.',
    example: '--file wing.svg',
  },
  page: {
    kind: 'text',
    value: 'SIZE',
    help: 'Size of the pages: a sheet size by its name, A5 or larger; that of the model’s own sheets unless said.',
    example: '--page A4',
  },
  csv: {
    kind: 'flag',
    help: 'Write the parts list as out/MODEL/parts.csv as well.',
    example: '--csv',
  },
  quote: {
    kind: 'flag',
    help: 'Add the table of material and time that a commission is priced from.',
    example: '--quote',
  },
  'hour-rate': {
    kind: 'text',
    value: 'AMOUNT',
    help: 'Price of an hour of work, in whatever money the other prices are in.',
    example: '--hour-rate 28',
  },
  price: {
    kind: 'list',
    value: 'ID=AMOUNT',
    help: 'Price of a sheet of a stock. May be given once per stock.',
    example: '--price folder=0.35',
  },
  'blade-price': {
    kind: 'text',
    value: 'AMOUNT',
    help: 'Price of a knife blade.',
    example: '--blade-price 0.40',
  },
  spare: {
    kind: 'number',
    value: 'PERCENT',
    help: 'Sheets to have beyond what the layouts take.',
    example: '--spare 15',
    default: 10,
  },
  'time-limit': {
    kind: 'number',
    value: 'SECONDS',
    help: 'Give up on a file or a family that runs for longer than this.',
    example: '--time-limit 60',
    default: 20,
  },
  port: {
    kind: 'number',
    value: 'NUMBER',
    zero: true,
    help: 'Serve the page at this port of your own machine; 0 for any that is free.',
    example: '--port 0',
    default: 4072,
  },
  export: {
    kind: 'text',
    value: 'FILE',
    help: 'Write the page as one HTML file that opens from disk without a network, and end.',
    example: '--export sandpiper.html',
  },
  color: {
    kind: 'flag',
    negatable: true,
    help: 'Colour the text, or not. By default on a terminal, unless NO_COLOR is set.',
    example: '--no-color',
  },
  trace: {
    kind: 'flag',
    help: 'Show the stack trace of an error as well.',
    example: '--trace',
  },
  help: {
    kind: 'flag',
    help: 'Show help, for one command after its name.',
    example: '--help',
  },
  version: {
    kind: 'flag',
    help: 'Print the version.',
    example: '--version',
  },
} as const satisfies Record<string, OptionSpec>

export type OptionName = keyof typeof OPTIONS

/** What was given, by option. A flag not given is undefined, so that `--no-` can be told from it. */
export type OptionValues = { readonly [name in OptionName]: ValueOf<(typeof OPTIONS)[name]> }

type ValueOf<Spec extends OptionSpec> = Spec['kind'] extends 'list'
  ? readonly string[]
  : Plain<Spec['kind']> | (Spec extends { default: unknown } ? never : undefined)

type Plain<Kind> = Kind extends 'flag' ? boolean : Kind extends 'number' ? number : string

const EVERYWHERE = ['color', 'trace', 'help', 'version'] as const

const MODELS: Operand = {
  name: 'model',
  help: 'A folder below parts/, or a file of it without the .ts; all of them when none is named.',
  least: 0,
  most: Number.POSITIVE_INFINITY,
}

const READING_NAMES = 'pile, weight, holds, slides, drops, outside, inside, curl-along, curl-across, droop-along, droop-across'

export const COMMANDS = {
  build: {
    summary: 'Make the cut sheets: out/MODEL/sheets/*.svg and out/MODEL/manifest.json.',
    details: [
      'A model with an error keeps the sheets it had; the other models are built. Warnings stop nothing.',
      'Type errors are shown after the sheets are written, and make the exit code 1: the sheets of a model that could' +
        ' be evaluated are there, but do not cut them before the types are right.',
      'Of an output folder only manifest.json, sheets/ and the folders of the formats asked for are replaced, all or' +
        ' none, and only when they change. Files of other formats go once the sheets they show are no longer built.',
      'Offcuts and used parts are kept in the manifest, and hold for later builds and checks until others are given or' +
        ' --repack is. A stock whose offcuts change is laid out afresh.',
    ],
    operand: MODELS,
    options: ['scale', 'stock', 'out', 'since', 'effort', 'repack', 'offcut', 'used', 'pdf', 'dxf', 'png', 'dpi', 'printer', 'watch', 'json', 'types', 'cache', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright build', 'cardwright build sandpiper --scale 1:72 --stock folder=0.30mm --out out-72'],
  },
  check: {
    summary: 'Say what a build would say, and write nothing.',
    details: [
      'Exit code 1 when there is an error, a type error included, when a model has sheets that are not what its source' +
        ' makes, and when a piece that is glued has changed by more than half its card and no log kept accepts it.',
    ],
    operand: MODELS,
    options: ['scale', 'stock', 'out', 'effort', 'offcut', 'used', 'printer', 'json', 'types', 'cache', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright check', 'cardwright check sandpiper --scale 1:72'],
  },
  fit: {
    summary: 'Stand the model up, and say what is in the way, gapes, or hangs loose.',
    details: [
      'Every piece is stood at its place, folded and at its full thickness: pieces that are in each other’s way, joints' +
        ' that gape, pieces that touch nothing, slots that cannot be slid together, and clearances that are not kept.',
      'Two pieces clash where they share more than 0.1 mm³, deeper than half of the thinner card. Exit code 1 for' +
        ' anything but a note.',
    ],
    operand: MODELS,
    options: ['scale', 'stock', 'json', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright fit', 'cardwright fit sandpiper --json'],
  },
  mass: {
    summary: 'Weigh the model: every assembly, its centre of gravity, and the load on each of its supports.',
    details: [
      'From area, grammage, plies and 60 g/m² of dried glue between plies (nominal). Jigs are left out; pieces without a' +
        ' place weigh, but have no say in the centre of gravity. With --json every piece as well.',
      'Loads are exact on three supports (standsOn in the model); two are a beam; on more, the least sum of squares.',
    ],
    operand: MODELS,
    options: ['scale', 'stock', 'json', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright mass', 'cardwright mass sandpiper --json'],
  },
  list: {
    summary: 'List the models with their scale, families, pieces and stocks.',
    details: [],
    operand: MODELS,
    options: ['scale', 'stock', 'json', 'cache', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright list', 'cardwright list --json'],
  },
  survey: {
    summary: "Show the subject's dimensions: value, tolerance, source and how many pieces hang on each; rules between them.",
    details: [
      'The tolerance of a dimension worked out from others is the root sum of squares of theirs, and at worst their sum' +
        ' (JCGM 100:2008, 5.1); a rule is doubtful when only several being off at once can explain it, and broken when' +
        ' not even that can.',
    ],
    operand: MODELS,
    options: ['unsourced', 'scale', 'stock', 'json', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright survey sandpiper', 'cardwright survey --unsourced'],
  },
  impact: {
    summary: 'Say which pieces hang on a figure, or what another value of it would do to them and to what is on the bench.',
    details: [
      'A figure is a dimension of the survey, the thickness of a stock (folder.thickness) or scale. With a value' +
        ' (span=24.9m, folder.thickness=0.3mm, scale=1:72) or a difference (span+=50mm, span-=50mm) the model is built' +
        ' in memory with it: which pieces change, by how many mm and where, how many of those are cut or glued, and the' +
        ' hours that is. Formulas of the survey follow. Several figures are changed together.',
      'Hours go by the rates of the logbook. Nothing is written.',
    ],
    operand: {
      name: 'figure',
      help: 'A figure, alone or with a value; names of models beside it leave out the others.',
      least: 1,
      most: Number.POSITIVE_INFINITY,
    },
    options: ['within', 'scale', 'stock', 'out', 'json', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright impact span', 'cardwright impact span=24.9m --within 0.2mm', 'cardwright impact scale=1:72 tram'],
  },
  stock: {
    summary: 'Say what is known of each card and how well; make coupons that measure it; take in what they measured.',
    details: [
      'stock [ID] lists thickness, fits, folds, curl and stiffness with their sources.',
      'stock coupon ID makes a sheet of test pieces below out/coupons: a pile, a ladder of slots, channels to fold, strips' +
        ' to curl and to hang over an edge, and a form that says what to measure.',
      'stock measure ID READING=VALUE… works out the figures with their uncertainty and keeps them, with date and readings,' +
        ' in stocks.json, where builds find them. The readings: ' + READING_NAMES + '.',
    ],
    operand: { name: 'task', help: 'coupon or measure, or none of them; then a stock, then readings.', least: 0, most: Number.POSITIVE_INFINITY },
    options: ['by', 'out', 'json', ...EVERYWHERE],
    examples: [
      'cardwright stock folder',
      'cardwright stock coupon folder',
      'cardwright stock measure folder pile=2.83mm,2.85mm holds=0.294mm droop-along=160mm:14mm',
    ],
  },
  view: {
    summary: 'Build, and show the model, its sheets and its findings on a page in your browser.',
    details: [
      'The page is served on this machine alone (127.0.0.1), follows every save as build --watch does, and ends with' +
        ' Ctrl+C. With --export it is written to a file instead.',
    ],
    operand: MODELS,
    options: ['port', 'since', 'export', 'scale', 'stock', 'out', 'effort', 'types', 'cache', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright view', 'cardwright view sandpiper --port 0', 'cardwright view tram --export tram.html'],
  },
  section: {
    summary: 'Draw what a cut through the built model shows: out/MODEL/drawings/section-*.svg.',
    details: ['Every piece that is cut is outlined at its true thickness, hatched by its stock and marked.'],
    operand: MODELS,
    options: ['at', 'enlarge', 'assembly', 'file', 'scale', 'stock', 'out', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright section sandpiper --at HF:12', 'cardwright section sandpiper --at y=4.2m --enlarge 4'],
  },
  views: {
    summary: 'Draw the built model, or an assembly, from three sides, or taken apart: out/MODEL/drawings/*.svg.',
    details: ['Hidden lines are left out. Main dimensions are given at full size and on the model.'],
    operand: MODELS,
    options: ['assembly', 'exploded', 'enlarge', 'file', 'scale', 'stock', 'out', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright views sandpiper', 'cardwright views sandpiper --assembly wing --exploded'],
  },
  export: {
    summary: 'Write the built model as glTF (GLB), STL or 3MF, each piece by its mark.',
    details: ['STL has neither parts nor units (take it as mm); GLB is in metres, y up, as its standard says.'],
    operand: MODELS,
    options: ['as', 'assembly', 'file', 'scale', 'stock', 'out', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright export sandpiper', 'cardwright export sandpiper --as 3mf --assembly wing'],
  },
  log: {
    summary: 'Enter what was printed, cut, formed, glued or scrapped into logbook.jsonl; alone, show the latest entries.',
    details: [
      'First what was done: printed, cut, formed (folded, rolled), glued, scrapped, kept or withdrawn. Then the pieces:' +
        ' marks (WR-P03), ranges (WR-P03..P09), families (WR, WR-P), assemblies (wing/ribs) or sheets (folder-02).',
      'A piece is entered with the fingerprint of what is on the bench: one that is glued is the one that was cut, also' +
        ' when the model has changed in between.',
      'kept accepts pieces as they are though the model has changed since, and needs a --note that says why. withdrawn' +
        ' takes back an entry made by mistake, named by the digits that log shows.',
      'Nothing in the logbook is ever changed or deleted. Commit it with the model, and logbook.shapes.jsonl with it:' +
        ' there stands what each piece was cut to.',
    ],
    operand: { name: 'word', help: 'What was done, and the pieces.', least: 0, most: Number.POSITIVE_INFINITY },
    options: ['minutes', 'count', 'note', 'date', 'fresh', 'model', 'out', 'json', ...EVERYWHERE],
    examples: [
      'cardwright log cut WR-P03..P09 --minutes 95',
      'cardwright log printed folder-02',
      'cardwright log kept WR-P03 --note hidden',
      'cardwright log withdrawn 3f2a9c1e',
    ],
  },
  progress: {
    summary: 'Say what is done of what is needed, the hours spent and to go, and what the model has moved on from.',
    details: [
      'Against the manifest of the last build. Hours to go come from the minutes entered so far, per mm of cut and per' +
        ' piece, with the range in which about nineteen of twenty such forecasts come out; from rules of thumb where' +
        ' nothing was entered yet.',
    ],
    operand: MODELS,
    options: ['within', 'html', 'out', 'json', ...EVERYWHERE],
    examples: ['cardwright progress', 'cardwright progress sandpiper --within 0.2mm --html progress.html'],
  },
  calibrate: {
    summary: 'Make a target to print and measure, or work out from the readings what a printer does to a page.',
    details: [
      'Without readings it writes out/calibration/SIZE.pdf and .svg, which say how to measure them; with --printer they' +
        ' are corrected for it, to see whether it is right now.',
      'With readings it works out scale and skew with their uncertainty and keeps them in printers.json, for' +
        ' cardwright build --printer NAME.',
    ],
    options: ['printer', 'x', 'y', 'diagonals', 'instrument', 'sheet', 'out', 'json', ...EVERYWHERE],
    examples: [
      'cardwright calibrate --sheet A4',
      'cardwright calibrate --printer den --x 164.5mm,164.75mm --y 219.5mm --diagonals 274.25mm,274.75mm',
    ],
  },
  diff: {
    summary: 'Say what changed between two builds, piece by piece.',
    details: [
      'A and B are git revisions, output folders or manifests; a folder or file of that name comes before a revision.' +
        ' By default A is the last commit and B the working tree as its source is now.',
      'Of a revision the manifests that are committed are read; a model without one is built from its source of then,' +
        ' in a folder aside, with the packages installed now. Your files and what is staged are not touched.',
      'A deviation is the largest distance between the old cut lines and the new, in mm (Hausdorff distance), as both' +
        " are drawn or, where that is nearer, with a corner of the piece's box on the other's.",
      'Exit code 0, with --exit-code 1 when something has changed, 2 when the builds cannot be compared.',
    ],
    operand: { name: 'A B', help: 'What to compare: a revision, a folder or a manifest.json.', least: 0, most: 2 },
    options: ['model', 'json', 'markdown', 'svg', 'exit-code', 'out', 'time-limit', ...EVERYWHERE],
    examples: ['cardwright diff', 'cardwright diff v1.2 --svg overlays', 'cardwright diff old/out out --markdown'],
  },
  book: {
    summary: 'Make the build book of what was built last: out/MODEL/book/book.pdf and book.html.',
    details: [
      'A chapter an assembly, in the order they are built: drawings, pieces with their sheets, folds, laminations, what to let' +
        ' dry, what joins what, checks to make, and boxes to tick. Cautions come first.',
      'Assemblies are built as they are listed, those within another before it, and as after(…) says.',
    ],
    operand: MODELS,
    options: ['page', 'out', ...EVERYWHERE],
    examples: ['cardwright book', 'cardwright book sandpiper --page A4'],
  },
  estimate: {
    summary: 'Say what the models built last take: sheets to buy, metres of cut, hours, blades; and what to price from.',
    details: [
      'Hours go by the rates of the logbook, and by rules of thumb until it has entries. They are estimates and say so.',
    ],
    operand: MODELS,
    options: ['csv', 'quote', 'hour-rate', 'price', 'blade-price', 'spare', 'json', 'out', ...EVERYWHERE],
    examples: ['cardwright estimate --csv', 'cardwright estimate sandpiper --quote --hour-rate 28 --price folder=0.35'],
  },
  new: {
    summary: 'Start a project in a new folder: a small model that builds at once, and a CI workflow.',
    details: ['The name is also that of the first model: a small letter, then small letters, digits and hyphens.'],
    operand: { name: 'name', help: 'The folder to make.', least: 1, most: 1 },
    options: [...EVERYWHERE],
    examples: ['cardwright new my-models'],
  },
  docs: {
    summary: 'Print OPTIONS.md.',
    details: [],
    options: [...EVERYWHERE],
    examples: [],
    hidden: true,
  },
} as const satisfies Record<string, CommandSpec>

export type CommandName = keyof typeof COMMANDS

/** Exit codes, said in the help. */
export const EXIT = { good: 0, findings: 1, usage: 2 } as const

export function commandSpec(name: CommandName): CommandSpec {
  return COMMANDS[name]
}

export function optionSpec(name: OptionName): OptionSpec {
  return OPTIONS[name]
}

/** The commands a reader is told of, in the order of the table. */
export function shownCommands(): CommandName[] {
  return (Object.keys(COMMANDS) as CommandName[]).filter((name) => !commandSpec(name).hidden)
}
