// What client, server and command line use of this room: the same in another written form.
export type { Contents } from './contents.js';
export {
  type Conversion,
  conversionOf,
  convert,
  inSingleBytes,
  lostIn,
  MOST_WIDTH,
  type SourceWords,
  whyAlready,
} from './convert.js';
