/** Everything that can be measured of a region, each in its own file. */
export { type Moments, area, centroid, loopArea, loopLength, moments, perimeter } from './area'
export { boundsOf } from './bounds'
export { crossing, selfCrossing } from './crossing'
export { type Circle, inscribedCircle, surelyHolds } from './inscribed'
export { contains, distanceToBoundary } from './place'
export { type Stretch, crossingsOf, spanAt } from './span'
export { type Web, narrowestWeb } from './web'
