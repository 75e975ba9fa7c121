// What client, server and command line use of this room: sums made right.
export { readAddressRange } from './freeCells.js';
export { certaintyInWords } from './repairInWords.js';
export type { Allowance } from './solver/system.js';
