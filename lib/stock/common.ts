import { nominal } from './behaviour'
import type { Margin, Stock } from './card'

/**
 * What a home laser printer leaves blank along each edge, mm, nominal: makers state 4.2 mm (1/6 in) to 6 mm. Print a
 * page with a frame to see yours.
 */
export const LASER_MARGIN: Margin = Object.freeze({ left: 6, right: 6, top: 6, bottom: 6 })

/**
 * What a slot is wider than the card that goes into it, mm. Card of one batch varies by ±0.025 mm (JCP P20), so that
 * a tight slot may need easing and a loose one takes any.
 */
export const FITS: Stock['fit'] = Object.freeze({
  tight: nominal(0.02, 'common practice: holds by itself, may need easing'),
  sliding: nominal(0.06, 'common practice: slides home with a finger'),
  loose: nominal(0.15, 'common practice: drops in, glue fills'),
})

export const GLUE_LINE = nominal(0.02, 'common practice: thinned white glue, pressed while it dries')

/**
 * Young's modulus of carton board, GPa. Xia (Mechanics of Inelastic Deformation and Delamination in Paperboard, MIT
 * 2002) measured 5.42 along and 1.90 across the machine direction, quoted from memory; Ashby (Materials and the
 * Environment) gives 3 to 8.9 for paper and board.
 */
export const MODULUS: Stock['modulus'] = Object.freeze({
  along: nominal(5.4, 'carton board, Xia 2002, from memory'),
  across: nominal(1.9, 'carton board, Xia 2002, from memory'),
})
