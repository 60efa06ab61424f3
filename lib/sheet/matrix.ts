/** Rows of numbers. */
export type Matrix = readonly (readonly number[])[]

export function transpose(a: Matrix): number[][] {
  return (a[0] ?? []).map((_, column) => a.map((row) => row[column]!))
}

export function multiply(a: Matrix, b: Matrix): number[][] {
  const columns = transpose(b)
  return a.map((row) => columns.map((column) => row.reduce((sum, value, i) => sum + value * column[i]!, 0)))
}

/** Inverse of a small, well-behaved square matrix by Gauss–Jordan elimination with the largest pivot. */
export function inverse(a: Matrix): number[][] {
  const n = a.length
  const rows = a.map((row, i) => [...row, ...Array.from({ length: n }, (_, j) => (i === j ? 1 : 0))])
  for (let column = 0; column < n; column++) {
    let pivot = column
    for (let i = column + 1; i < n; i++) if (Math.abs(rows[i]![column]!) > Math.abs(rows[pivot]![column]!)) pivot = i
    ;[rows[column], rows[pivot]] = [rows[pivot]!, rows[column]!]
    const lead = rows[column]!
    const by = lead[column]!
    if (by === 0) throw new Error('the matrix has no inverse')
    rows[column] = lead.map((value) => value / by)
    rows.forEach((row, i) => {
      if (i !== column) rows[i] = row.map((value, j) => value - row[column]! * rows[column]![j]!)
    })
  }
  return rows.map((row) => row.slice(n))
}
