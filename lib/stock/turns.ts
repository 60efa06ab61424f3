import type { Stock } from './card'

/**
 * Turns at which a piece may lie on a sheet, degrees counter-clockwise, the first preferred: with the grain given
 * (degrees from the piece's x) there are two ways, head to tail; without it, the four quarters.
 */
export function turnsOnSheet(grain: number | undefined, sheetGrain: Stock['grain']): readonly number[] {
  if (grain === undefined) return [0, 90, 180, 270]
  const alongSheet = sheetGrain === 'long' ? 90 : 0
  const turn = (((alongSheet - grain) % 180) + 180) % 180
  return [turn, turn + 180]
}
