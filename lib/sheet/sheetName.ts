/** `folder-01`, as the files of a stock's sheets are called; two digits, so that a list is in order. `index` counts from 0. */
export function sheetName(stock: string, index: number): string {
  return `${stock}-${String(index + 1).padStart(2, '0')}`
}
