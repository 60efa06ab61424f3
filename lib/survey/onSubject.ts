import { FindingError } from '../finding/finding'
import { type CallSite, resolveSite } from '../finding/site'
import { Length } from '../length/length'

/**
 * Millimetres on the subject of a length that has no part on the bench.
 *
 * @throws FindingError for anything else
 */
export function onSubject(length: unknown, what: string, site: CallSite): number {
  if (!(length instanceof Length)) {
    throw surveyError(`${what} is ${String(length)}, which is no length`, 'write its unit: full.m(1.2)', site)
  }
  if (length.bench !== 0 || Object.values(length.plies).some((n) => n !== 0)) {
    const text = `${what} has a part on the bench, and a survey holds the subject's own size`
    throw surveyError(text, 'write it with full: full.m(1.2)', site)
  }
  return length.full
}

export function surveyError(text: string, remedy: string, made: CallSite, dimension?: string): FindingError {
  const site = resolveSite(made)
  return new FindingError({
    id: 'survey',
    severity: 'error',
    text,
    remedy,
    ...(dimension !== undefined && { dimension }),
    ...(site && { site }),
  })
}
