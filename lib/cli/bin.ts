#!/usr/bin/env node
import { tuneEngine } from './engine'
import { main } from './main'
import { oldNode } from './nodeVersion'

const words = process.argv.slice(2)
const { engines } = require('../../package.json') as { engines: { node: string } }
const refused = oldNode(process.versions.node, engines.node)
if (refused !== undefined) {
  process.stderr.write(refused)
  process.exitCode = 2
} else {
  tuneEngine(words)
  void main(words).then((code) => {
    process.exitCode = code
  })
}
