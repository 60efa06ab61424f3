/**
 * Says what is wrong with a Node that is older than the package asks for: it would fail somewhere in the middle, by the
 * name of some method that it has not.
 *
 * @param running as `process.versions.node`
 * @param engines as in package.json: `>=20.19`
 */
export function oldNode(running: string, engines: string): string | undefined {
  const [wanted, found] = [numbers(engines.replace(/^>=/, '')), numbers(running)]
  const first = wanted.findIndex((number, i) => number !== (found[i] ?? 0))
  if (first < 0 || (found[first] ?? 0) > wanted[first]!) return undefined
  return `error: this is Node ${running}, cardwright needs ${engines.replace(/^>=/, '')} or later\n  install a newer one from nodejs.org\n`
}

function numbers(version: string): number[] {
  return version.split('.').map(Number)
}
