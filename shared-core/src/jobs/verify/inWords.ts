import { digitsOf, hex } from '../../base/hex.js';
import { boldName, bullets, pageOf, plain, section, table } from '../../base/markdown.js';
import { listed, type Phrase, phrase } from '../../base/phrase.js';
import type { ByteDifference, Comparison, LineDifference } from '../../compare/compareDumps.js';
import { isReadWhole, reasonInWords } from '../../compare/comparisonInWords.js';
import { type Dump, readBy } from '../../model/dump.js';
import { lineHead } from '../../model/lineName.js';
import type { Say } from '../card/input.js';
import { bytesOfRow, lineText } from '../card/lineText.js';
import { lineSumHolds } from './cause.js';
import type { Verification, WrongLine } from './verify.js';

/** More lines than these are not named in one sentence. */
const MOST_LABELS = 8;

/** The answer in one sentence. */
export function verdictInWords(verification: Verification): Phrase {
  const { matches, foreign, doubt, lines, unmatched, ignored, wrongSums, otherRecords, comparison } = verification;
  if (foreign !== undefined) return phrase('{0} This is not the read-back of this plan.', foreign);
  if (doubt !== undefined)
    return phrase(
      'What was read is NOT what was planned, and may be of another car or module: {0} Make sure of that first.',
      doubt,
    );
  const addresses = addressesOf(lines.map(({ line }) => line));
  if (addresses !== undefined)
    return addresses.length <= MOST_LABELS
      ? phrase('What was read is NOT what was planned. Other than planned: at {0}.', listed(addresses))
      : phrase(
          'What was read is NOT what was planned. Other than planned: {0} bytes, the first are at {1}.',
          addresses.length,
          listed(addresses.slice(0, MOST_LABELS)),
        );
  if (lines.length > 0) {
    const labels = listed(lines.slice(0, MOST_LABELS).map(({ line }) => line.called));
    return lines.length <= MOST_LABELS
      ? phrase('What was read is NOT what was planned. Other than planned: line {0}.', labels)
      : phrase(
          'What was read is NOT what was planned. Other than planned: {0} lines, the first are {1}.',
          lines.length,
          labels,
        );
  }
  if (!matches) {
    const first = unmatched[0] ?? '';
    if (wrongSums.length + otherRecords.length > 0 || isOtherwiseMade(comparison))
      return phrase('What was read is NOT what was planned: {0}', first);
    if (!isReadWhole(comparison)) return phrase('This cannot be verified, as not everything was read: {0}', first);
    return ignored.length === 0
      ? phrase('Both hold the same bytes, but this proves nothing more: {0}', first)
      : phrase('This cannot be verified: {0}', first);
  }
  return ignored.length === 0 ? phrase('What was read is what was planned, byte for byte.') : onlyAside(ignored);
}

function onlyAside(ignored: Verification['ignored']): Phrase {
  const addresses = addressesOf(ignored);
  return addresses !== undefined && addresses.length <= MOST_LABELS
    ? phrase(
        'What was read is what was planned. Only places that the module changes by itself differ, at {0}.',
        listed(addresses),
      )
    : phrase(
        'What was read is what was planned. Only places that the module changes by itself differ, in line {0}.',
        listed(ignored.map(({ called }) => called)),
      );
}

/** The addresses of all bytes of a memory image that differ: it has no lines. Undefined where one has none, or there are none. */
function addressesOf(lines: readonly Pick<LineDifference, 'bytes'>[]): readonly string[] | undefined {
  const bytes = lines.flatMap((line) => line.bytes);
  const addresses = bytes.flatMap(({ address }) => (address === undefined ? [] : hex(address, 4)));
  return addresses.length === 0 || addresses.length < bytes.length ? undefined : addresses;
}

/** Why what was read is probably, or may be, of another vehicle or module. */
export function doubtInWords({ foreign, doubt }: Verification): Phrase | undefined {
  return foreign ?? (doubt && phrase('It may be of another car or module: {0}', doubt));
}

/** Whether lines or addresses are missing or new, or the image starts elsewhere. */
function isOtherwiseMade({ onlyBefore, onlyAfter, start }: Comparison): boolean {
  return onlyBefore.length + onlyAfter.length > 0 || start !== undefined;
}

/** The answer, and each line that was read other than planned with its likely cause. */
export function verificationInWords(verification: Verification): readonly Phrase[] {
  const { lines, unmatched, caveats, foreign, doubt } = verification;
  // Where that is all there is to say, the answer names the first of them itself.
  const isNamed = (foreign ?? doubt) === undefined && lines.length === 0;
  return [
    verdictInWords(verification),
    ...lines.map(lineInWords),
    ...(isNamed ? unmatched.slice(1) : unmatched),
    ...caveats,
  ];
}

function lineInWords({ line: { called, bytes }, cause }: WrongLine): Phrase {
  const places = listed(bytes.map(byteInWords));
  return addressesOf([{ bytes }]) === undefined
    ? phrase('Line {0}: {1}. {2}', called, places, cause)
    : phrase('From {0}: {1}. {2}', called, places, cause);
}

function byteInWords({ byte, address, before, after, reason }: ByteDifference): Phrase {
  const [now, planned] = [digitsOf(after), digitsOf(before)];
  if (address !== undefined) return phrase('address {0} is {1}, not {2}', hex(address, 4), now, planned);
  return reason === 'line-sum'
    ? phrase('byte {0} ({1}) is {2}, not {3}', byte, reasonInWords(reason), now, planned)
    : phrase('byte {0} is {1}, not {2}', byte, now, planned);
}

/** A read-back as a page in Markdown; names are those of the files. */
export function readBackPage(
  verification: Verification,
  planned: { readonly name: string; readonly dump: Dump },
  read: { readonly name: string; readonly dump: Dump },
  say: Say,
): string {
  const { lines, unmatched, ignored, matches, caveats } = verification;
  const text = (said: Phrase) => plain(say(said));
  const rows = lines.map(({ line: { called, beforeRow, afterRow }, cause }) => {
    const [was, now] = [bytesOfRow(planned.dump, beforeRow), bytesOfRow(read.dump, afterRow)];
    return [
      boldName(called),
      lineText(planned.dump, beforeRow, was, now),
      lineText(read.dump, afterRow, now, was),
      text(cause),
    ];
  });
  const head = [lineHead(planned.dump), phrase('Planned'), phrase('Read'), phrase('Likely cause')];
  return pageOf([
    `# ${text(phrase('Read-back: {0}', planned.dump.profile.title ?? planned.name))}`,
    `${matches ? '✓' : '✗'} **${text(verdictInWords(verification))}**`,
    bullets([text(phrase('Planned: {0}', planned.name)), text(phrase('Read: {0}', read.name))]),
    ...(rows.length === 0 ? [] : section(text(phrase('Other than planned')), table(head.map(text), rows))),
    ...section(text(phrase('Not compared')), bullets(unmatched.map(text))),
    ...section(
      text(phrase('Put aside')),
      bullets(
        ignored.map(({ called, bytes: changed }) => {
          const places = listed(changed.map(byteInWords));
          return text(
            addressesOf([{ bytes: changed }]) === undefined
              ? phrase('Line {0}: {1}. It changes by itself in the module.', called, places)
              : phrase('From {0}: {1}. It changes by itself in the module.', called, places),
          );
        }),
      ),
    ),
    bullets(caveats.map(text)),
    text(nextInWords(verification, readBy(read.dump, planned.dump.profile))),
  ]);
}

function nextInWords(verification: Verification, read: Dump): Phrase {
  const { matches, isWayBack, foreign, doubt, lines, hasOutside, isBadlyRead } = verification;
  if (matches) return isWayBack ? phrase('The module is as in the backup.') : phrase('Try the function next.');
  if ((foreign ?? doubt) !== undefined)
    return phrase(
      'Write nothing into the module by this page. Take what was read from the module of this plan, and verify that.',
    );
  if (lines.length === 0) return phrase('Until what is open is settled, the job is not done.');
  const badlyRead = lines.filter(({ line: { afterRow } }) => lineSumHolds(read, afterRow) === false);
  if (badlyRead.length > 0)
    return badlyRead.length === lines.length
      ? phrase(
          'A line whose own sum is wrong was mistyped or badly read: read the module once more and verify that. Until then write nothing into the module by this page.',
        )
      : phrase(
          'Lines whose own sum is wrong were mistyped or badly read. Correct only the others in the module, read it once more and verify again. Until then the job is not done.',
        );
  if (isBadlyRead)
    return phrase(
      'The file sum does not fit what was read: it was mistyped or badly read. Read the module once more and verify that. Until then write nothing into the module by this page.',
    );
  return hasOutside
    ? phrase(
        'Bytes differ that the work does not touch. Make sure that it was read from this module. Then correct these, read it once more and verify again. Until then the job is not done.',
      )
    : phrase('Correct these in the module, read it once more and verify again. Until then the job is not done.');
}
