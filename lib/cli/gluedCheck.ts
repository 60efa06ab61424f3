import { existsSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Finding, FindingError, sortFindings } from '../finding/finding'
import { resolveSite } from '../finding/site'
import { gluedChanged } from '../revision/gluedChanged'
import { type Manifest, manifestOf } from '../revision/manifest'
import { progressOf } from '../revision/progress'
import { readManifest } from '../revision/readManifest'
import { LOGBOOK, type ProjectLogbook, readProjectLogbook } from './logbook'
import type { ModelFile } from './project'
import { findingsOf, type Outcome } from './report'
import type { Workshop } from './workshop'

/**
 * The outcomes of a check with what it has to say of pieces that are glued already. Only at the model's own scale: at
 * another nothing on the bench fits.
 */
export function withGlued(outcomes: readonly Outcome[], files: readonly ModelFile[], workshop: Workshop): Outcome[] {
  if (!existsSync(join(workshop.root, LOGBOOK))) return [...outcomes]
  const book = readOr(workshop.root)
  if (book instanceof FindingError) {
    return outcomes.map((outcome, i) => (i === 0 ? withFindings(outcome, [book.finding]) : outcome))
  }
  return outcomes.map((outcome) => {
    const glued = book.entries.some((entry) => entry.did === 'glued' && entry.model === outcome.name)
    const file = files.find(({ name }) => name === outcome.name)
    return glued && file ? withFindings(outcome, gluedFindings(outcome, file, workshop, book)) : outcome
  })
}

function readOr(root: string): ProjectLogbook | FindingError {
  try {
    return readProjectLogbook(root)
  } catch (error) {
    if (error instanceof FindingError) return error
    throw error
  }
}

function withFindings(outcome: Outcome, findings: readonly Finding[]): Outcome {
  const sorted = sortFindings(findings)
  return { ...outcome, problems: [...sorted.map((finding) => ({ finding })), ...outcome.problems] }
}

function gluedFindings(outcome: Outcome, file: ModelFile, workshop: Workshop, book: ProjectLogbook): Finding[] {
  const isStale = findingsOf(outcome).some(({ id }) => id === 'stale-sheets')
  const built = join(workshop.out, outcome.name, 'manifest.json')
  const found = (manifest: Manifest) => gluedChanged(progressOf(manifest, book.entries, book).stale)
  if (!outcome.model && !isStale && existsSync(built)) {
    const findings = found(readManifest(readFileSync(built, 'utf8'), built))
    // Where it stands in the source only the model knows, which is not worth loading for nothing.
    if (findings.length === 0) return findings
  }
  const evaluated = outcome.model ? { model: outcome.model } : workshop.evaluate(file)
  if (!evaluated || !('model' in evaluated)) return []
  const { model } = evaluated
  const sites = new Map(model.pieces.map(({ mark, site }) => [mark, site]))
  return found(manifestOf(model, [])).map((finding) => {
    const site = resolveSite(sites.get(finding.mark!))
    return { ...finding, ...(site && { site }) }
  })
}
