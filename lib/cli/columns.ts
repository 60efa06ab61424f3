/** Rows as text in columns two spaces apart, each as wide as its longest entry; `right` names those set to the right. */
export function columns(rows: readonly (readonly string[])[], right: readonly number[] = []): string {
  const widths = (rows[0] ?? []).map((_, i) => Math.max(...rows.map((row) => row[i]!.length)))
  const line = (row: readonly string[]) =>
    row.map((text, i) => (right.includes(i) ? text.padStart(widths[i]!) : text.padEnd(widths[i]!))).join('  ').trimEnd()
  return rows.map((row) => `  ${line(row)}\n`).join('')
}
