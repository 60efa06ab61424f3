// From a model to the texts of its files, in this process and without the disk, as the command line does it.
const { evaluateModel } = require('../../dist/model/evaluate.js')
const { compileModel } = require('../../dist/cli/compile.js')

exports.compileTexts = (definition) => {
  const model = evaluateModel(definition, { name: 'bench' })
  const { files, findings, sheets } = compileModel(model, { effort: 'quick' })
  const error = findings.find(({ severity }) => severity === 'error')
  if (error) throw new Error(error.text)
  return { texts: files.map(({ content }) => content), sheets }
}
