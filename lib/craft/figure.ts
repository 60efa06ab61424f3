/** A length as findings say it: `0.42 mm`. */
export function inMm(length: number): string {
  return `${length.toFixed(2)} mm`
}
