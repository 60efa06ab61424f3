import { describe, expect, test } from 'vitest'
import { compileModel } from '../../lib/cli/compile'
import type { Length } from '../../lib/length/length'
import { bench, full } from '../../lib/length/unit'
import { model } from '../../lib/model/define'
import { piece } from '../../lib/model/draft'
import { single } from '../../lib/model/family'
import { readManifest } from '../../lib/revision/readManifest'
import { rectangle } from '../../lib/shape/primitive'
import { findingOf, modelOf } from '../helpers/model'

/** Four plates that leave no doubt where the gap lies: 150 mm long, so that they can only lie above each other. */
const plates = (gap?: Length, sharedCuts = false) =>
  modelOf(
    () => ['A', 'B', 'C', 'D'].map((code) => single(code, () => piece({ stock: 'folder', grain: 'across' }).outline(rectangle(bench.mm(150), bench.mm(20))))),
    { sharedCuts, ...(gap && { gap }) },
  )

function built(gap?: Length, before?: string, sharedCuts = false) {
  const { files, findings, settled } = compileModel(plates(gap, sharedCuts), before === undefined ? {} : { before: readManifest(before) })
  const text = String(files.find(({ path }) => path === 'manifest.json')?.content ?? '')
  return { findings, settled, text, manifest: text === '' ? undefined : readManifest(text) }
}

/** Distances between neighbours among the four, from their places: all lie at the same turn or at half a turn from it. */
function distances({ manifest }: ReturnType<typeof built>): number[] {
  const along = (axis: 'x' | 'y') => manifest!.pieces.map(({ placements }) => placements[0]![axis]).toSorted((a, b) => a - b)
  const [xs, ys] = [along('x'), along('y')]
  const places = ys[3]! - ys[0]! > xs[3]! - xs[0]! ? ys : xs
  return places.slice(1).map((at, i) => at - places[i]! - 20)
}

describe('the gap that the author sets', () => {
  test('is kept between pieces and told in the manifest; 2 mm where none is set', () => {
    for (const [gap, wanted] of [[undefined, 2], [bench.mm(0.5), 0.5], [bench.mm(7), 7], [full.mm(300), 5]] as const) {
      const found = built(gap)
      expect(found.manifest!.spacing).toEqual({ gap: wanted, sharedCuts: false })
      for (const distance of distances(found)) {
        expect(distance).toBeGreaterThanOrEqual(wanted - 0.002)
        expect(distance).toBeLessThan(wanted + 1.1)
      }
    }
  })

  test('of a manifest that does not tell it was 2 mm', () => {
    const before = built()
    const silent = before.text.replace(',"spacing":{"gap":2,"sharedCuts":false}', '')
    expect(silent).not.toBe(before.text)
    expect(readManifest(silent).spacing).toBeUndefined()
    expect(built(undefined, silent).findings).toEqual([])
    expect(built(bench.mm(3), silent).findings[0]!.text).toMatch(/is 3\.00 mm now, it was 2\.00 mm/)
  })

  test('made wider moves only what lies too near, and says so once', () => {
    const before = built()
    const wider = built(bench.mm(7), before.text)
    for (const distance of distances(wider)) expect(distance).toBeGreaterThanOrEqual(7 - 0.002)
    const [note] = wider.findings
    expect(note).toMatchObject({ id: 'gap-changed', severity: 'note', found: 7, wanted: 2 })
    // Of a row of four the second and the fourth have to go.
    expect(note!.text).toBe(
      'the gap between pieces is 7.00 mm now, it was 2.00 mm: 2 of 4 pieces lay too near another and have a new place (B, D)',
    )
    expect(note!.site!.file).toMatch(/model\.ts$/)
    expect(wider.settled()).toBe(false)
    const again = built(bench.mm(7), wider.text)
    expect(again).toMatchObject({ findings: [], text: wider.text })
    expect(again.settled()).toBe(true)
  })

  test('made narrower leaves everything where it is', () => {
    const before = built()
    const closer = built(bench.mm(1), before.text)
    expect(closer.findings[0]!.text).toBe('the gap between pieces is 1.00 mm now, it was 2.00 mm: no piece had to move for it')
    expect(closer.findings[0]!.remedy).toMatch(/--repack/)
    expect(distances(closer)).toEqual(distances(before))
  })

  test('is not kept where one cut parts two plates; that is told in the manifest, and the author may forbid it', () => {
    const shared = built(undefined, undefined, true)
    expect(shared.manifest!.spacing).toEqual({ gap: 2, sharedCuts: true })
    for (const distance of distances(shared)) expect(Math.abs(distance)).toBeLessThan(0.0021)
    const again = built(undefined, shared.text, true)
    expect(again).toMatchObject({ findings: [], text: shared.text })
    expect(again.settled()).toBe(true)
    // Forbidden afterwards, it parts them again.
    const apart = built(undefined, shared.text, false)
    for (const distance of distances(apart)) expect(distance).toBeGreaterThan(2 - 0.0021)
  })

  test('is refused below 0, larger than the sheet, and as a bare number', () => {
    expect(findingOf(() => plates(bench.mm(-1)))).toMatchObject({
      id: 'gap',
      text: 'the gap between pieces is -1 mm, 0 mm is the least that can be kept',
      remedy: 'give 0 mm or more, or leave it out: it is 2 mm then',
      found: -1,
      wanted: 0,
    })
    const { findings, manifest } = built(bench.mm(400))
    expect(manifest).toBeUndefined()
    expect(findings).toHaveLength(1)
    expect(findings[0]).toMatchObject({ id: 'gap', severity: 'error', found: 400 })
    expect(findings[0]!.text).toMatch(/^the gap between pieces is 400\.00 mm, the printable area of folder \(.+\) only \d+\.\d × \d+\.\d mm$/)
    expect(findings[0]!.site).toBeDefined()
    const number = 2 as unknown as Length
    expect(findingOf(() => model('Skiff', { scale: 24, gap: number }, () => []))).toMatchObject({
      text: 'the gap of model "Skiff" is 2, which is no length',
      remedy: 'write it with its unit: bench.mm(1.5)',
    })
  })
})
