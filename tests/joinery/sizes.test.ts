import { expect, test } from 'vitest'
import { channel } from '../../lib/joinery/channel'
import { cone } from '../../lib/joinery/cone'
import { cylinder } from '../../lib/joinery/cylinder'
import { sections } from '../../lib/joinery/sections'
import { skin } from '../../lib/joinery/skin'
import { sleeve } from '../../lib/joinery/sleeve'
import { lid, tray } from '../../lib/joinery/tray'
import { wound } from '../../lib/joinery/wound'
import { ZERO } from '../../lib/length/length'
import { bench } from '../../lib/length/unit'
import { single } from '../../lib/model/family'
import { plane } from '../../lib/model/plane'
import { stations } from '../../lib/model/stations'
import { circle } from '../../lib/shape/primitive'
import { findingOf, modelOf } from '../helpers/model'

const [size, less] = [bench.mm(20), bench.mm(-20)]
const box = { stock: 'folder', measured: 'outside', length: size, width: size, height: size } as const
const trunk = { ...box, flap: size }
const angle = { stock: 'folder', measured: 'outside', form: 'angle', web: size, flange: size, length: size } as const

test.each([
  ['the height of a tray is -20 mm', () => tray({ ...box, height: less })],
  ['the length of a tray is 0 mm', () => tray({ ...box, length: ZERO })],
  ['the depth of a tab is -20 mm', () => tray({ ...box, tab: less })],
  ['the clearance of a lid is -20 mm', () => lid(box, { depth: size, clearance: less })],
  ['the length of a sleeve is -20 mm', () => sleeve({ ...trunk, length: less })],
  ['the length of a channel is -20 mm', () => channel({ ...angle, length: less })],
  ['the diameter of a cylinder is -20 mm', () => cylinder({ stock: 'folder', diameter: less, top: { height: size } })],
  ['the top diameter of a cone is -20 mm', () => cone({ stock: 'folder', bottom: size, top: less, height: size })],
  [
    'a winding on a core of 20.00 mm is to be 20.00 mm across: nothing is left to wind',
    () => wound({ stock: 'folder', core: size, outside: size, width: size }),
  ],
])('a size that no card has is told by its name: %s', (text, make) => {
  const finding = findingOf(() => modelOf(() => single('A', make as never)))
  expect(finding.text).toBe(text)
  expect(finding.site?.file).toMatch(/sizes\.test\.ts$/)
})

test('a skin that begins at no place of a section', () => {
  const run = sections('HF', stations.even(3, ZERO, size), () => circle(size), (x) => plane.frame(x))
  const finding = findingOf(() => modelOf(() => skin('SK', run, { stock: 'folder', from: 'lft' as never, to: 'right' })))
  expect(finding).toMatchObject({
    text: 'a skin is to begin or end at "lft" of HF-01, which is no place on a section',
    remedy: 'did you mean "left"?',
  })
})
