/** Paths of assemblies: `hull/frames` is within `hull`, and the empty path is the model itself. */

/** The path of the assembly that one is part of; empty for those that make up the model. */
export function parentOf(path: string): string {
  return path.slice(0, Math.max(0, path.lastIndexOf('/')))
}

/** Whether an assembly is another one, or part of it however deep. */
export function isWithin(path: string, outer: string): boolean {
  return path === outer || path.startsWith(`${outer}/`)
}
