import { crossingOutline } from './crossingOutline'
import { duplicateMark } from './duplicateMark'
import { narrowSlot, narrowWeb, smallOpening } from './finestDetail'
import { wideGap } from './gap'
import { openingOutside } from './openingOutside'
import type { Rule } from './rule'
import { looseDimension, surveyGap, surveyRule } from './survey'
import { scorePlace } from './scorePlace'
import { tooLarge } from './tooLarge'

/** Every rule, in the order their findings make most sense: first what is wrong, then what is hard to cut. */
export const rules: readonly Rule[] = [
  duplicateMark,
  crossingOutline,
  openingOutside,
  tooLarge,
  wideGap,
  scorePlace,
  narrowWeb,
  narrowSlot,
  smallOpening,
  surveyRule,
  looseDimension,
  surveyGap,
]
