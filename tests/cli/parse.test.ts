import { describe, expect, test } from 'vitest'
import { parse } from '../../lib/cli/parse'

/** In the order of the help. */
const NAMES = (
  'build check fit mass list survey impact stock view section views export log progress calibrate diff book estimate new'
).split(' ')

describe('words become a request', () => {
  test('models, a scale, stocks and a flag', () => {
    const words = [
      'build',
      'sandpiper',
      'tram',
      '--scale',
      '1:72',
      '--stock',
      'folder=0.30mm',
      '--stock=divider=0.6mm',
      '--json',
    ]
    const { command, operands, options } = parse(words)
    expect(command).toBe('build')
    expect(operands).toEqual(['sandpiper', 'tram'])
    expect(options).toMatchObject({
      scale: '1:72',
      stock: ['folder=0.30mm', 'divider=0.6mm'],
      json: true,
      out: 'out',
      'time-limit': 20,
    })
  })

  test('a stock takes one value, so a model may follow it', () => {
    expect(parse(['build', '--stock', 'folder=0.30mm', 'tram']).operands).toEqual(['tram'])
  })

  test('a scale stays text and the last one counts', () => {
    expect(parse(['build', '--scale', '60']).options.scale).toBe('60')
    expect(parse(['build', '--scale', '1:60', '--scale', '0']).options.scale).toBe('0')
  })

  test('a flag not given is told from one taken back', () => {
    expect(parse(['check']).options.types).toBeUndefined()
    expect(parse(['check', '--no-types']).options.types).toBe(false)
    expect(parse(['check', '--types']).options.types).toBe(true)
  })

  test('after -- everything is a model', () => {
    expect(parse(['build', '--', '--odd']).operands).toEqual(['--odd'])
  })
})

describe('wrong use names what was meant', () => {
  test.each([
    [['biuld'], 'there is no command "biuld"', 'did you mean "build"?'],
    [['frobnicate'], 'there is no command "frobnicate"', `use one of: ${NAMES.toSorted().join(', ')}`],
    [['build', '--scal', '1:72'], 'there is no option --scal', 'did you mean "--scale"?'],
    [['build', '-q'], 'there is no option -q', expect.stringContaining('use one of: --cache, --color, --dpi')],
    [['list', '--watch'], 'cardwright list takes no --watch', 'see cardwright list --help'],
    [['new'], 'cardwright new needs a NAME', 'see cardwright new --help'],
    [['new', 'a', 'b'], 'cardwright new has no use for "b"', 'see cardwright new --help'],
    [['build', '--scale'], '--scale needs a RATIO', 'write it like --scale 1:72'],
    [['build', '--scale', ''], '--scale has no value', 'write it like --scale 1:72'],
    [['build', '--time-limit', 'soon'], '--time-limit "soon" is not a number above 0', 'write it like --time-limit 60'],
    [['build', '--time-limit', '0'], '--time-limit "0" is not a number above 0', 'write it like --time-limit 60'],
    [['--json'], 'no command was given', `use one of: ${NAMES.join(', ')}`],
    [['constructor'], 'there is no command "constructor"', `use one of: ${NAMES.toSorted().join(', ')}`],
  ])('%j', (words, message, remedy) => {
    expect(() => parse(words)).toThrow(expect.objectContaining({ name: 'UsageError', message, remedy }))
  })
})
