/**
 * The one door for authors: every word a page under `parts/` may use. Loading it must stay cheap, for it is on the
 * way to every first sheet.
 */

// lengths and angles
export { bench, full } from './length/unit'
export { Length, ZERO, between, longest, mm, shortest, total } from './length/length'
export { type Scale, parseScale } from './length/scale'

// the subject's dimensions
export { type Given, type GivenTable, type Survey, type SurveyOptions, type WorkedOut, dimensions } from './survey/dimensions'
export { type Source, drawing, guess, handbook, ownMeasurement, photograph } from './survey/source'

// stock
export { catalogue } from './stock/catalogue'
export { stock } from './stock/stock'
export { sheetOf, sheetSize } from './stock/sheetSize'
export { grammage } from './stock/basisWeight'
export type { Stock } from './stock/card'

// shapes
export { path } from './shape/path'
export { circle, polygon, rectangle, rectangleFrom, regularPolygon, slot, strip } from './shape/primitive'
export { Shape } from './shape/shape'
export type { Point } from './shape/point'
export type { Pose, Vector } from './shape/pose'

// sections and fair lines
export { naca, nacaSection } from './section/naca'
export { type Aerofoil, aerofoil } from './section/aerofoil'
export { blend } from './section/blend'
export { coordinateSection } from './section/coordinates'
export { ellipse, superellipse } from './section/oval'
export { roundedBox } from './section/box'
export { roundedPolygon } from './section/roundedPolygon'
export { doubleLobe } from './section/doubleLobe'
export { hullFrame } from './section/hullFrame'
export { table, taper } from './section/lines'

// pieces, families, models
export { type At, type Draft, type OpeningMaker, piece, placed } from './model/draft'
export { type Family, type Made, type StationInfo, family, mirrored, single } from './model/family'
export { type LighteningOptions, lightening } from './model/lightening'
export { type Place, plane } from './model/plane'
export { type Station, stations } from './model/stations'
export { type Assembly, type Part, PieceSet, assembly, piecesOf } from './model/assembly'
export { type ModelDefinition, model } from './model/define'
export type { Piece } from './model/piece'

// joinery
export { type ChannelOptions, channel } from './joinery/channel'
export { type ConeOptions, cone } from './joinery/cone'
export { type CylinderOptions, cylinder } from './joinery/cylinder'
export { type FoldedOptions, type FoldedPanel, folded, panel } from './joinery/folded'
export { type GoresOptions, gores } from './joinery/gores'
export { type HemOptions, hem } from './joinery/hem'
export { type PetalsOptions, petals } from './joinery/petals'
export { type PlankOptions, plank } from './joinery/plank'
export { type RunSection, Sections, sections } from './joinery/sections'
export { type SkinOptions, skin } from './joinery/skin'
export type { SkinOpening } from './joinery/skinOpening'
export { type SleeveOptions, sleeve } from './joinery/sleeve'
export { type TaperedTubeOptions, taperedTube } from './joinery/taperedTube'
export { type TransitionOptions, transition } from './joinery/transition'
export { type LidOptions, type TrayOptions, lid, tray } from './joinery/tray'
export { type TubeOptions, tube } from './joinery/tube'
export { type TyreOptions, tyre } from './joinery/tyre'
export { type WoundOptions, wound } from './joinery/wound'
export { type InterlockOptions, interlock } from './joinery/interlock'
export { type NotchedOptions, notched } from './joinery/notched'
export { Stringers, type StringersOptions, stringers } from './joinery/stringers'
export { type CradleOptions, cradle } from './joinery/cradle'
export { type DihedralOptions, type SweepOptions, angleTemplate } from './joinery/angleTemplate'
export { type LaminatedOptions, laminated } from './joinery/laminated'
export { lightened } from './joinery/lightened'
export { type DoublersOptions, doublers } from './joinery/doublers'
export { type EdgeStripsOptions, edgeStrips } from './joinery/edgeStrips'
export { type GussetOptions, gusset } from './joinery/gusset'
export { type JoinerOptions, joiner } from './joinery/joiner'
export { type SplitOptions, split } from './joinery/split'
export { type TabbedOptions, tabbed } from './joinery/tabbed'
export { type AlternatingOptions, type JoinedEdge, alternating } from './joinery/alternating'
export { type WrappedOptions, wrapped } from './joinery/wrapped'

// how parts stand to one another
export { repeated } from './joinery/repeated'
export { partsOf } from './joinery/partsOf'
export { type ClearanceOptions, after, clearance, glued, standsOn } from './joinery/relations'

// what goes wrong
export { type Finding, FindingError } from './finding/finding'
