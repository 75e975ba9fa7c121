import type { RowProblemCode } from '../format/row.js';
import type { ImageProblemCode } from '../image/imageProblems.js';
import type { ProfileProblem } from '../profile/json.js';

export type Severity = 'error' | 'warning' | 'information';

/** What all problems of one code have in common. */
export interface Diagnostic {
  readonly group: 'structure' | 'image' | 'sums' | 'profile' | 'options' | 'backup' | 'identity' | 'retrofit' | 'list';
  readonly severity: Severity;
  /** One line for the documentation. */
  readonly meaning: string;
}

/**
 * Every kind of problem, by the code that users and scripts rely on. The severity of a problem and the table in the
 * README come from here.
 */
export const DIAGNOSTICS = {
  'not-hex': {
    group: 'structure',
    severity: 'error',
    meaning:
      'a character that is no hex digit; the digit that the line sum fits is named, or what a look-alike such as O for 0 probably was',
  },
  'odd-digits': { group: 'structure', severity: 'error', meaning: 'a group with a digit too many or too few' },
  'text-unreadable': {
    group: 'structure',
    severity: 'error',
    meaning:
      'a line that is no record, header or comment; a line of hex that the form of the file would pass over; a file that is no text, or is written otherwise than its name says',
  },
  'form-unknown': {
    group: 'structure',
    severity: 'error',
    meaning: 'a text in a form that nothing describes yet: one problem in place of one for each line',
  },
  'line-not-read': {
    group: 'structure',
    severity: 'warning',
    meaning: 'a line that holds hex digits, is no record by the pattern of the profile and is not marked as a comment',
  },
  'line-length': {
    group: 'structure',
    severity: 'error',
    meaning: 'a line with more or fewer bytes than the profile wants',
  },
  'line-missing': { group: 'structure', severity: 'error', meaning: 'a line of the profile that is not in the dump' },
  'nothing-yet': {
    group: 'structure',
    severity: 'information',
    meaning: 'a file that has headers and waits for the lines of its dump',
  },
  'line-repeated': { group: 'structure', severity: 'error', meaning: 'a line that is in the dump twice' },
  'line-order': { group: 'structure', severity: 'warning', meaning: 'a line in the wrong place' },
  'line-unknown': { group: 'structure', severity: 'warning', meaning: 'a line that is not in the profile' },
  'address-missing': {
    group: 'structure',
    severity: 'error',
    meaning: 'addresses of the profile that the image does not hold, one problem for each gap',
  },
  'copy-differs': {
    group: 'structure',
    severity: 'error',
    meaning: 'bytes that are not what the copies of them hold; of a majority, those that are in the minority',
  },
  'slot-unclear': {
    group: 'structure',
    severity: 'error',
    meaning:
      'slots of a record that moves of which nobody can tell which is in force: none is sound, or two newest have one number',
  },
  'slot-torn': {
    group: 'structure',
    severity: 'information',
    meaning:
      'a slot whose check does not fit: its record was not written whole and is not in force; a warning where it would be the next one',
  },
  'slot-stale': {
    group: 'structure',
    severity: 'information',
    meaning: 'a slot with an older record than that in force',
  },
  'slot-empty': {
    group: 'structure',
    severity: 'information',
    meaning: 'a slot without a record: all its bytes are 00, or all are FF',
  },
  'header-unknown': {
    group: 'structure',
    severity: 'information',
    meaning:
      'a header that has no meaning here; a warning where one is probably meant by which the dump is checked or protected',
  },
  'header-empty': { group: 'structure', severity: 'warning', meaning: 'a header without a value' },
  'header-repeated': {
    group: 'structure',
    severity: 'error',
    meaning: 'a header given twice with different values: nothing is written until one is removed',
  },
  'header-word': {
    group: 'structure',
    severity: 'error',
    meaning:
      'a "@word" that names no word, or is spelled otherwise: nothing is written or proved until it is corrected',
  },
  'header-value': { group: 'structure', severity: 'warning', meaning: 'a header with a value that it cannot have' },
  'record-type': { group: 'image', severity: 'error', meaning: 'a record of a type that its form does not have' },
  'record-length': {
    group: 'image',
    severity: 'error',
    meaning: 'a record whose length byte and digits do not agree, or that is too long or short for its type',
  },
  'no-data': { group: 'image', severity: 'error', meaning: 'an image without any data' },
  'end-missing': { group: 'image', severity: 'error', meaning: 'an image without an end record: it may be cut off' },
  'end-counted': {
    group: 'image',
    severity: 'information',
    meaning: 'S-records without an end record, but with a count that shows that nothing is cut off',
  },
  'end-repeated': { group: 'image', severity: 'error', meaning: 'a second end record' },
  'data-after-end': { group: 'image', severity: 'error', meaning: 'data behind the end record' },
  overlap: { group: 'image', severity: 'error', meaning: 'addresses that two records hold' },
  'address-wrap': {
    group: 'image',
    severity: 'warning',
    meaning: 'a record that runs over the limit of its addresses',
  },
  'address-unknown': {
    group: 'image',
    severity: 'error',
    meaning:
      'bytes whose address or order is not known, an address that no bytes follow, or an end that is not where the data end',
  },
  'record-count': { group: 'image', severity: 'error', meaning: 'a count record that counts wrong' },
  'line-sum': { group: 'sums', severity: 'error', meaning: 'a line sum that is not what its bytes make' },
  'total-sum': { group: 'sums', severity: 'error', meaning: 'a file sum that is not what its bytes make' },
  'total-missing': { group: 'sums', severity: 'error', meaning: 'a file sum whose place is not in the dump' },
  'not-checked': {
    group: 'sums',
    severity: 'error',
    meaning:
      'a sum that could not be computed over all of its bytes, or a place of the profile that the dump does not have',
  },
  'no-profile': { group: 'profile', severity: 'information', meaning: 'no profile explains the dump' },
  'profile-unreadable': {
    group: 'profile',
    severity: 'error',
    meaning: 'a profile that cannot be read, or one that it extends',
  },
  'profile-stale': {
    group: 'profile',
    severity: 'information',
    meaning:
      'a profile that is being changed and has a problem at the moment: its last good version is used to show the dump, and nothing counts as checked',
  },
  'profile-invalid': {
    group: 'profile',
    severity: 'error',
    meaning: 'a profile with a problem: it is for reading only',
  },
  'option-evidence': {
    group: 'profile',
    severity: 'information',
    meaning:
      'an option that the profile calls surer, or less sure, than the modules it lists under "seen" make it, or one there that does not count',
  },
  'profile-other-module': {
    group: 'profile',
    severity: 'error',
    meaning: 'a profile for another part or software level than the dump says',
  },
  'profile-unconfirmed': {
    group: 'profile',
    severity: 'warning',
    meaning: 'a dump that does not say whether it is of a module that the profile is for',
  },
  'option-value': { group: 'options', severity: 'warning', meaning: 'a value that the profile does not know' },
  'option-range': { group: 'options', severity: 'warning', meaning: 'a value out of range' },
  'option-needs': { group: 'options', severity: 'warning', meaning: 'an option whose condition is not met' },
  'backup-unreadable': { group: 'backup', severity: 'error', meaning: 'a backup that is not there or cannot be read' },
  'backup-invalid': { group: 'backup', severity: 'error', meaning: 'a backup that is not whole or not sound' },
  'backup-other-vehicle': {
    group: 'backup',
    severity: 'error',
    meaning: 'a backup of another car, part or software level',
  },
  'backup-unconfirmed': {
    group: 'backup',
    severity: 'error',
    meaning: 'a backup without a VIN, part or other such header that the dump has: no locked byte is taken from it',
  },
  'locked-changed': {
    group: 'backup',
    severity: 'error',
    meaning: 'a locked byte that is not as in the backup, or cannot be compared with it',
  },
  'security-changed': {
    group: 'backup',
    severity: 'error',
    meaning: 'an option of keys, immobiliser or alarm that is not as in the backup: do not write the dump',
  },
  'seal-broken': { group: 'backup', severity: 'error', meaning: 'a sealed backup that was edited' },
  'vin-characters': { group: 'identity', severity: 'error', meaning: 'a VIN that cannot be one' },
  'vin-check-digit': {
    group: 'identity',
    severity: 'information',
    meaning: 'a check digit that does not fit (only cars made for North America need one)',
  },
  'retrofit-unreadable': { group: 'retrofit', severity: 'error', meaning: 'a retrofit that is torn' },
  'retrofit-invalid': {
    group: 'retrofit',
    severity: 'error',
    meaning: 'a retrofit that asks for what its profiles do not know',
  },
  'more-problems': {
    group: 'list',
    severity: 'information',
    meaning: 'there are more problems than are shown',
  },
} as const satisfies Readonly<Record<string, Diagnostic>> &
  Readonly<Record<RowProblemCode | ImageProblemCode | ProfileProblem['code'], Diagnostic>>;

/** The code of a problem; users and scripts rely on these names. */
export type ProblemCode = keyof typeof DIAGNOSTICS;
