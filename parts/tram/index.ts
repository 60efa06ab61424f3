import { model } from 'cardwright'
import { bodyAssembly } from './body'
import { saloonAssembly } from './saloon'
import { truckAssembly } from './trucks'

export default model('Harbour tram', { scale: '1:45' }, () => [truckAssembly(), bodyAssembly(), saloonAssembly()])
