/**
 * The known name that a mistyped one most likely stood for, or undefined where none is near: at most two letters
 * wrong, missing, added or swapped (optimal string alignment distance), and at most a third of the word.
 */
export function nearestName(name: string, known: Iterable<string>): string | undefined {
  let best: string | undefined
  let bestDistance = Math.min(2, Math.ceil(name.length / 3)) + 1
  for (const candidate of known) {
    const distance = alignmentDistance(name.toLowerCase(), candidate.toLowerCase())
    if (distance < bestDistance) {
      best = candidate
      bestDistance = distance
    }
  }
  return best
}

/** `did you mean "folder"?`, or the list of what there is. */
export function suggest(name: string, known: Iterable<string>): string {
  const names = [...known]
  const near = nearestName(name, names)
  return near === undefined ? `use one of: ${names.toSorted().join(', ')}` : `did you mean "${near}"?`
}

function alignmentDistance(a: string, b: string): number {
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)]
  for (let i = 1; i <= a.length; i++) {
    const row = [i]
    for (let j = 1; j <= b.length; j++) {
      const swap = a[i - 1] === b[j - 1] ? 0 : 1
      let least = Math.min(rows[i - 1]![j]! + 1, row[j - 1]! + 1, rows[i - 1]![j - 1]! + swap)
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        least = Math.min(least, rows[i - 2]![j - 2]! + 1)
      }
      row.push(least)
    }
    rows.push(row)
  }
  return rows[a.length]![b.length]!
}
