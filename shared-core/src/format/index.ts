// What client, server and command line use of this room: written forms, and rows.
export { rowsBehind } from './behindHeaders.js';
export { labelText } from './dumpText.js';
export { FORM_IDS, FORMS, type FormId, formOf } from './forms.js';
export { wordInHeaders } from './inWords.js';
export type { Notation } from './notation.js';
export { DUMP_ENDINGS, isDumpName, notationOf, notationOfDocument } from './notationOf.js';
export { looksLikeDump, readingsOf, sampleOf } from './readings.js';
export { bytesOf, contentOf, type HeaderRow, type Label, type RecordRow, type Row } from './row.js';
export { readRows, replaceText, textAfter, textOfRows } from './rows.js';
export { WORDS } from './word.js';
