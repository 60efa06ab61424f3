import { FindingError } from '../finding/finding'
import { type CallSite, resolveSite } from '../finding/site'

/** Runs work and gives an error of its own the family's code and the author's line, where it has none. */
export function located<T>(site: CallSite, code: string, work: () => T): T {
  try {
    return work()
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    const where = resolveSite(site)
    throw new FindingError({ family: code, ...(where && { site: where }), ...error.finding }, { cause: error })
  }
}
