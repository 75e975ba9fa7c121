// What client, server and command line use of this room: kinds of sums.
export { stateInSteps } from './checksum.js';
export { CRC_NAMES, crcModel } from './crcCatalogue.js';
export { checksumOf, sumInWords } from './registry.js';
