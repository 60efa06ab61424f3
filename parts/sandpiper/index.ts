import { model } from 'cardwright'
import { cabinAssembly } from './cabin'
import { engineAssembly } from './engines'
import { floatAssembly } from './floats'
import { hullAssembly } from './hull'
import { skinAssembly } from './skins'
import { survey } from './subject'
import { tailAssembly } from './tail'
import { trolleyAssembly } from './trolley'
import { wingAssembly } from './wing'

export default model('Sandpiper', { scale: '1:60', survey }, () => [
  hullAssembly(),
  cabinAssembly(),
  skinAssembly(),
  wingAssembly(),
  tailAssembly(),
  floatAssembly(),
  engineAssembly(),
  trolleyAssembly(),
])
