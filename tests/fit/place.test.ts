import { expect, test } from 'vitest'
import { type PlacedPiece, placeFindings } from '../../lib/fit/place'
import type { Pose } from '../../lib/shape/pose'

const GOOD: Pose = { origin: [0, 0, 0], right: [1, 0, 0], up: [0, 1, 0] }

const piece = (mark: string, rest: Partial<PlacedPiece> = {}): PlacedPiece => ({ mark, family: 'A', copies: 1, ...rest })

const texts = (pieces: readonly PlacedPiece[]) => placeFindings(pieces).map(({ severity, text }) => `${severity}: ${text}`)

test('pieces without a place are one note a family', () => {
  const posed = piece('B-1', { family: 'B', pose: GOOD })
  expect(texts([piece('A-1'), piece('A-2', { copies: 3, pose: GOOD }), posed])).toEqual([
    'note: A-1 and 1 more of family A: 1 of 4 pieces have a place in the model',
  ])
})

test('a skin has its place in its form', () => {
  const rulings = [0, 1].map((x) => ({ flat: [[x, 0], [x, 1]] as const, model: [[x, 0, 0], [x, 1, 0]] as const }))
  expect(texts([piece('A-1', { form: { kind: 'curved', rulings } })])).toEqual([])
})

test.each([
  [{ ...GOOD, up: [0, 1.01, 0] }, 'error: the place of A-1 has its up axis 1.0100 long, 1 is needed'],
  [{ ...GOOD, up: [Math.SQRT1_2, Math.SQRT1_2, 0] }, 'error: the place of A-1 has axes at 45.00° to each other, 90° is needed'],
  [{ ...GOOD, origin: [0, Number.NaN, 0] }, 'error: the place of A-1 has a coordinate of NaN, a finite number is needed'],
] as [Pose, string][])('a pose that is not rigid says what is wrong', (pose, text) => {
  expect(texts([piece('A-1', { pose })])).toEqual([text])
})
