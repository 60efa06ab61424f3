import { expect, test } from 'vitest'
import { createRecall } from '../../lib/cli/recall'

test('the same input is worked out once, another one anew', () => {
  const recall = createRecall()
  const made: number[] = []
  const square = (n: number) =>
    recall.get('square', `${n}`, () => {
      made.push(n)
      return n * n
    })
  expect([square(3), square(4), square(3)]).toEqual([9, 16, 9])
  expect(made).toEqual([3, 4])
  expect(recall.get('cube', '3', () => 27)).toBe(27)
})

test('what a build no longer asks for is let go after the next', () => {
  const recall = createRecall()
  let made = 0
  const ask = () => recall.get('x', '1', () => ++made)
  ask()
  recall.turnOver()
  expect(ask()).toBe(1)
  recall.turnOver()
  recall.turnOver()
  expect(ask()).toBe(2)
})
