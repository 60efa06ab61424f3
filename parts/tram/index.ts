import { model } from 'cardwright'
import { bodyAssembly } from './body'
import { saloonAssembly } from './saloon'
import { survey } from './subject'
import { truckAssembly } from './trucks'

export default model('Harbour tram', { scale: '1:45', survey }, () => [truckAssembly(), bodyAssembly(), saloonAssembly()])
