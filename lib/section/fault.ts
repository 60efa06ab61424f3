import { FindingError } from '../finding/finding'
import { type CallSite, callSite, resolveSite } from '../finding/site'

/** The error of every function in this folder: what was wrong with the curve and where the author wrote it. */
export function sectionError(
  text: string,
  remedy: string,
  { found, wanted, made }: { found?: number; wanted?: number; made?: CallSite } = {},
): FindingError {
  const site = resolveSite(made ?? callSite())
  return new FindingError({
    id: 'section',
    severity: 'error',
    text,
    remedy,
    ...(found !== undefined && { found }),
    ...(wanted !== undefined && { wanted }),
    ...(site && { site }),
  })
}
