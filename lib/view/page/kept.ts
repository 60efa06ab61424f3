/** What is made of a thing, worked out once for the same thing. */
export function kept<Given extends object, Made>(make: (given: Given) => Made): (given: Given) => Made {
  const known = new WeakMap<Given, { readonly made: Made }>()
  return (given) => {
    let found = known.get(given)
    if (!found) known.set(given, (found = { made: make(given) }))
    return found.made
  }
}
