// From a model to the text of its sheets, in this process and without the disk, as the command line does it.
const { evaluateModel } = require('../../dist/model/evaluate.js')
const { compileModel } = require('../../dist/cli/compile.js')

exports.compileDrawings = (definition, options = {}) => {
  const model = evaluateModel(definition, { name: 'bench' })
  const { files, findings, sheets } = compileModel(model, { effort: 'quick', ...options })
  const errors = findings.filter(({ severity }) => severity === 'error')
  if (errors.length > 0) throw new Error(errors[0].text)
  return { svg: files.map(({ text }) => text).join(''), area: areaOf(model), sheets }
}

function areaOf(model) {
  const { area } = require('../../dist/shape/measure.js')
  return model.pieces.reduce(
    (sum, { outline, openings }) => sum + area([outline]) + openings.reduce((all, { loop }) => all + area([loop]), 0),
    0,
  )
}
