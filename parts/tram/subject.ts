import { full } from 'cardwright'

/**
 * An invented four-axle harbour tram, clerestory roof and reversible seats. Every dimension is made up. Aft is counted
 * from the front bulkhead, up from the rail.
 */
export const length = full.m(11.2)
export const width = full.m(2.2)
export const floorHeight = full.m(0.84)
export const waist = full.m(1.72)
export const eaves = full.m(2.86)
export const crown = full.m(3.34)
export const bay = full.m(0.8)
export const bays = 14
