// What client, server and command line use of this room: dumps: rows bound by a profile; the gate to changes.
export { accountInWords, accountOf } from './account.js';
export type { ByteWrite } from './byteWrite.js';
export { addressCell, addressOf, type Cell, cellKey, presentCells } from './cell.js';
export { byteOfCopy, copiesAt, doesAgree } from './copies.js';
export { bind, bindText, bindWithHeaders, type Dump, inNotationOf, isLine, rebind, ruleOf } from './dump.js';
export { formatRows, LETTER_CASES, type LetterCase } from './formatRows.js';
export { whyNotWritable } from './gate.js';
export {
  HEADER_NAMES,
  type HeaderName,
  headerOf,
  headersIn,
  headersOf,
  headerValue,
  headerValues,
  headIn,
  holdsSeal,
  isSealed,
} from './headers.js';
export { whyNotComparable, whyNotOneKind } from './identity.js';
export { type Layout, labelOfRow } from './layout.js';
export { calledLine, labelMeant, lineCalled, lineName, recordCalled } from './lineName.js';
export { readLineSum } from './lineSum.js';
export { dataCountOf, lackingSum, lineWriter, totalLine, type WantedLine } from './missing.js';
export { holdsDigest } from './nearHeaders.js';
export {
  type OptionReading,
  optionSpan,
  optionsAt,
  readOption,
  shownValue,
  wordsOrHex,
} from './optionReading.js';
export { protectedPlaces } from './protected.js';
export { isReadBack, whyNotReadBack } from './readBack.js';
export { type MemoryRegion, regionsOf } from './regions.js';
export { type Role, type RoleRun, rolesIn } from './roles.js';
export { canHaveRowsAsLines } from './rowsAsLines.js';
export { sameRecords } from './seal.js';
export { slotAt } from './slots.js';
export { SPACINGS, type Spacing } from './spacing.js';
export { byteAtColumn, bytesSpan, cellSpan, labelSpanOf } from './spans.js';
export { toLoadName } from './toLoadName.js';
export { readTotal, sumAsWritten, wrongTotals } from './totalReading.js';
export { byteAt, soundRecord, storedValue } from './totals.js';
export { isForComparison, isMasked, isWrongUse, USES, whyForComparison, whySetAside } from './useHeader.js';
export { namesVehicle, sameVehicle } from './vehicle.js';
export { withRecords } from './whole.js';
