import { expect, test } from 'vitest'
import { type Finding, FindingError, sortFindings } from '../../lib/finding/finding'
import { nearestName, suggest } from '../../lib/finding/nearest'
import { callSite, resolveSite } from '../../lib/finding/site'

const finding = (more: Partial<Finding>): Finding => ({
  id: 'narrow-web',
  severity: 'warning',
  text: 'web of 0.42 mm, the knife needs 0.80 mm',
  remedy: 'move the opening',
  ...more,
})

test('findings are sorted by severity, then mark, rule and place', () => {
  const sorted = [
    finding({ severity: 'error', mark: 'A-02' }),
    finding({ severity: 'error', mark: 'B-01' }),
    finding({ mark: 'A-01', at: [1, 0] }),
    finding({ mark: 'A-01', at: [2, 0] }),
    finding({ mark: 'A-01', id: 'tight-bend' }),
    finding({ severity: 'note' }),
  ]
  expect(sortFindings(sorted.toReversed())).toEqual(sorted)
  expect(sortFindings([sorted[3]!, sorted[5]!, sorted[0]!, sorted[4]!, sorted[2]!, sorted[1]!])).toEqual(sorted)
})

test('an error says the fact, then what to do', () => {
  const error = new FindingError(finding({}))
  expect(error.message).toBe('web of 0.42 mm, the knife needs 0.80 mm. move the opening')
  expect(error.name).toBe('FindingError')
})

// Optimal string alignment distance: a letter added, dropped, changed, or two neighbours swapped each count 1.
test.each([
  ['foldr', 'folder'],
  ['fodler', 'folder'],
  ['Folder', 'folder'],
  ['dividers', 'divider'],
  ['devidor', 'divider'],
  ['xyz', undefined],
  ['', undefined],
])('%j is nearest to %j', (name, wanted) => {
  expect(nearestName(name, ['folder', 'divider', 'index'])).toBe(wanted)
})

test('where nothing is near, all names are listed in order', () => {
  expect(suggest('banana', ['folder', 'divider'])).toBe('use one of: divider, folder')
})

test('a call is traced to the line it was made on', () => {
  const site = resolveSite(callSite())
  expect(site?.file).toBe(__filename)
  expect(site?.line).toBeGreaterThan(1)
})

test('what has no trace has no place', () => {
  expect(resolveSite(undefined)).toBeUndefined()
})
