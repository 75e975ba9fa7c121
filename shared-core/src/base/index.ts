// What client, server and command line use of this room: texts, numbers, sentences that are not yet in a language, results.
export { base64Of, bytesOfBase64, isBase64 } from './base64.js';
export { commonEnds } from './commonEnds.js';
export { digitsOf, hex, hexBytes } from './hex.js';
export { readIsoTime, readTimeSpan, type TimeSpan } from './isoTime.js';
export { bullets, code, plain, table, tableRow } from './markdown.js';
export { type NamedTime, rowAgainstOrder, rowOfReading, type StatedTimes, timeNamedIn, timesIn } from './namedTime.js';
export { nearestName } from './nearestName.js';
export { oddsInWords, SURE, twoDigitsBelow } from './odds.js';
export type { TextSink } from './pageWriter.js';
export { listed, type Phrase, type PhrasePart, phrase, say, sentences, type Translation } from './phrase.js';
export { literal, oneLine, readable } from './readable.js';
export { type Ask, done, type Refused, type Result, refuse, valueIn } from './result.js';
export { editLine, type RowSpan, type TextEdit } from './span.js';
export { finish, type RunSteps, type Steps } from './steps.js';
export { asKept, dayFirst, localMoment, localTime, saysSeconds, zoneAt } from './writtenTime.js';
