import { dimensions, drawing, full, guess, handbook, ownMeasurement, photograph } from 'cardwright'

/**
 * An invented four-axle harbour tram, clerestory roof and reversible seats. Every dimension and every source is made
 * up. Aft is counted from the front bulkhead, up from the rail.
 */
const works = drawing('general arrangement of the works, sheet 1', { within: full.mm(5) })
const quayside = photograph('broadside at the quay, scaled by the wheelbase', { within: full.mm(6) })
const carList = handbook('car list of the harbour line, third printing', { within: full.mm(5) })
const survivor = ownMeasurement('body of car 9, kept as a garden house', { within: full.mm(2) })

export const survey = dimensions(
  {
    length: { value: full.m(11.2), source: works, note: 'over the bulkheads, without the platforms' },
    bay: { value: full.m(0.8), source: survivor, note: 'pillar to pillar, mean of nine' },
    width: { value: full.m(2.2), source: works, note: 'over the posts' },
    halfWidth: { from: ({ width }) => width.times(0.5) },
    floorHeight: { value: full.m(0.84), source: works },
    waist: { value: full.m(1.72), source: survivor, note: 'taken from the floor of the garden house' },
    eaves: { value: full.m(2.86), source: quayside },
    crown: { value: full.m(3.34), source: quayside },
    wheelbase: { value: full.m(1.3), source: carList },
    wheelRadius: { value: full.m(0.33), source: carList, note: 'new tyre' },
    seatWidth: { value: full.m(0.86), within: full.mm(30), source: guess('two to a seat and an aisle between') },
    seatDepth: { value: full.m(0.44), source: survivor, note: 'one seat is left' },
    seatHeight: { value: full.m(0.44), source: survivor },
    seatBack: { value: full.m(0.5), source: survivor },
  },
  {
    rules: {
      'fourteen bays add up to the length': ({ bay, length }) => [bay.times(bays), '=', length],
      'two seats and an aisle of 360 mm fit the body': ({ seatWidth, width }) => [
        seatWidth.times(2).plus(full.m(0.36)),
        '<=',
        width,
      ],
    },
  },
)

export const { width, halfWidth, floorHeight, waist, eaves, crown, bay } = survey

/** Counted on the photograph. */
export const bays = 14
