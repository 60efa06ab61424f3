import { appendFileSync, readdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { openStore } from '../../lib/cli/cache/store'
import { createRecall, type Recall } from '../../lib/cli/recall'
import { emptyFolder } from '../helpers/command'

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

/** What these inputs give, and which of them had to be worked out. */
function asked(recall: Recall, inputs: readonly number[]) {
  const made: number[] = []
  const results = inputs.map((n) =>
    recall.get('halves', `${n}`, () => {
      made.push(n)
      return n === 0 ? undefined : { of: [n / 2, -0], none: undefined, nothing: null }
    }),
  )
  return { made, results }
}

test('the results of a saved build are there for the next command, exactly, even those that are nothing', () => {
  const folder = emptyFolder()
  const first = createRecall(openStore(folder), 'tug')
  const { results } = asked(first, [0, 1, 3])
  first.save()
  const next = createRecall(openStore(folder), 'tug')
  expect(asked(next, [3, 1, 0, 5])).toStrictEqual({
    made: [5],
    results: [results[2], results[1], undefined, { of: [2.5, -0], none: undefined, nothing: null }],
  })
  expect(asked(createRecall(openStore(folder), 'wing'), [1]).made).toEqual([1])
})

test('a build that is not saved changes nothing for the next; one that is leaves what it asked for and no more', () => {
  const store = openStore(emptyFolder())
  const first = createRecall(store, 'tug')
  asked(first, [1, 2])
  first.save()
  asked(createRecall(store, 'tug'), [2, 3])
  expect(asked(createRecall(store, 'tug'), [1, 2, 3]).made).toEqual([3])
  const second = createRecall(store, 'tug')
  asked(second, [2, 3])
  second.save()
  expect(asked(createRecall(store, 'tug'), [1, 2, 3]).made).toEqual([1])
})

test('a file that was damaged counts as not there', () => {
  const folder = emptyFolder()
  const first = createRecall(openStore(folder), 'tug')
  asked(first, [1])
  first.save()
  for (const name of readdirSync(folder)) appendFileSync(join(folder, name), 'x')
  expect(asked(createRecall(openStore(folder), 'tug'), [1]).made).toEqual([1])
})

test('results with functions stay in memory', () => {
  const folder = emptyFolder()
  const recall = createRecall(openStore(folder), 'tug')
  const shape = recall.get('nesting shape', '1', () => ({ parts: () => 1 }))
  asked(recall, [1])
  recall.save()
  expect(recall.get('nesting shape', '1', () => ({ parts: () => 2 }))).toBe(shape)
  const next = createRecall(openStore(folder), 'tug')
  expect(next.get('nesting shape', '1', () => ({ parts: () => 2 })).parts()).toBe(2)
  expect(asked(next, [1]).made).toEqual([])
})
