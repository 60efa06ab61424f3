#!/usr/bin/env node
import { tuneEngine } from './engine'
import { main } from './main'

const words = process.argv.slice(2)
tuneEngine(words)
void main(words).then((code) => {
  process.exitCode = code
})
