import type { Finding } from '../finding/finding'
import type { CallSite } from '../finding/site'
import type { Piece } from '../model/piece'
import { SAME_POINT } from '../shape/point'
import { say } from './flatPiece'

/**
 * Passes on what cutting into pieces found. A web that is narrow but there is a warning, as everywhere: a steady hand
 * may cut it; only one that is not there at all is an error.
 */
export function sayFound(findings: readonly Finding[], pieces: readonly Piece[], site: CallSite): void {
  const families = new Map(pieces.map(({ mark, family }) => [mark, family]))
  say(
    findings.map((finding): Finding => {
      const family = finding.mark === undefined ? undefined : families.get(finding.mark)
      const severity = finding.id === 'narrow-web' && finding.found! > SAME_POINT ? 'warning' : finding.severity
      return { ...(family && { family }), ...finding, severity }
    }),
    site,
  )
}
