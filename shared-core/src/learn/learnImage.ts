import { type Phrase, phrase } from '../base/phrase.js';
import type { Steps } from '../base/steps.js';
import { bytesOf, recordName } from '../format/row.js';
import { readRows } from '../format/rows.js';
import { bind, type Dump } from '../model/dump.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { DRAFT_TITLE, type DraftProfile } from './draftProfile.js';
import type { RecordsOfText } from './learnForm/dumps.js';
import type { LearnedForm } from './learnForm/form.js';
import { findingsOf } from './learnImage/findings.js';
import { imageDraft, written } from './learnImage/imageDraft.js';
import { type Images, type ImageToLearn, imagesAlike } from './learnImage/images.js';
import { type FoundInImages, searchImages } from './learnImage/searchImages.js';
import type { LearnCandidate, Learning, TextToLearn } from './learning.js';
import { totalSaid } from './remarks.js';

/**
 * What is learned of memory images: the range of their addresses and what their bytes show. The records are summed as
 * the written form says, which explains no byte of the image's own.
 */
export function* learnImage(form: LearnedForm, texts: readonly TextToLearn[]): Steps<Learning> {
  const dumps: Dump[] = [];
  for (const { text } of texts) {
    yield;
    dumps.push(bind(readRows(text, form.notation), form.notation, EMPTY_PROFILE));
  }
  const given = dumps.map((dump, i) => imageOf(texts[i]?.name ?? '', dump));
  if (given.every(({ parts }) => parts.length === 0))
    return { candidates: [], remarks: [phrase('These files hold no data records.')] };
  const wrong = dumps.flatMap(({ wrongSums, rows }, i) =>
    wrongSums.map((row) => {
      const record = rows[row];
      const [label, called] = record?.kind === 'record' ? [record.label, recordName(record)] : ['', ''];
      return { name: texts[i]?.name ?? '', label, called };
    }),
  );
  const unread = dumps.flatMap(({ rows }, i) =>
    rows.flatMap((row, at) => (row.kind === 'broken' ? { name: texts[i]?.name ?? '', row: at + 1 } : [])),
  );
  const lines = dumps.reduce((sum, { rows }) => sum + rows.filter(({ kind }) => kind === 'record').length, 0);
  return yield* learnBytes(given, { notation: form.notation.id }, { lines, damaged: wrong, unread });
}

/**
 * The same of lines whose labels are the addresses of their first bytes, one line after the other, as raw bytes are shown.
 * Undefined where they are no addresses.
 */
export function* learnAddresses(dumps: readonly RecordsOfText[]): Steps<Learning | undefined> {
  if (!areAddresses(dumps)) return undefined;
  const images = dumps.map(({ name, lines }) => ({
    name,
    parts: lines.map(({ label, bytes }) => ({ address: Number(label), bytes })),
  }));
  if (imagesAlike(images).others.length > 0) return undefined;
  const lines = dumps.reduce((sum, dump) => sum + dump.lines.length, 0);
  const learning = yield* learnBytes(images, {}, { lines, damaged: [], unread: [] });
  return {
    ...learning,
    remarks: [phrase('The lines are called by the addresses of their bytes.'), ...learning.remarks],
  };
}

/** Whether each line is called by the address of its first byte, one line after the other. */
export function areAddresses(dumps: readonly RecordsOfText[]): boolean {
  const follows = ({ lines }: RecordsOfText) =>
    lines.length > 1 &&
    lines.every(({ label, bytes }, i) => {
      const before = lines[i - 1];
      const isNext = before === undefined || label === Number(before.label) + before.bytes.length;
      return typeof label === 'number' && isNext && (i > 0 || bytes.length > 1);
    });
  return dumps.length > 0 && dumps.every(follows);
}

function* learnBytes(
  given: readonly ImageToLearn[],
  form: Pick<DraftProfile, 'notation'>,
  known: Pick<LearnCandidate, 'lines' | 'damaged' | 'unread'>,
): Steps<Learning> {
  const { images, others } = imagesAlike(given);
  const found = yield* searchImages(images);
  const findings = findingsOf(images, found);
  const profile: DraftProfile = {
    format: 1,
    title: DRAFT_TITLE,
    ...form,
    addresses: rangeOf(images),
    ...imageDraft(images, found),
  };
  // Any of them that is an accident makes the draft wrong.
  const chance = found.sums.reduce((sum, one) => Math.min(1, sum + one.chance), 0);
  const hasSums = found.sums.length > 0;
  const candidate: LearnCandidate = {
    ...{ profile, from: images.names, ...known, linesExplained: 0, unmarked: [] },
    totalExplained: hasSums ? true : undefined,
    chance: hasSums ? chance : 1,
    chances: { lines: null, total: hasSums ? chance : null },
    undecided: found.sums.some(({ rivals }) => rivals.length > 0),
    eitherEnd: false,
  };
  return { candidates: [candidate], remarks: [...remarksOn(images, found, others), ...totalSaid(candidate)], findings };
}

function remarksOn({ names }: Images, { sums, isSearched }: FoundInImages, others: readonly string[]): Phrase[] {
  return [
    ...(others.length === 0 ? [] : [phrase('Left out, as they have other addresses: {0}.', others.join(', '))]),
    ...(isSearched
      ? []
      : [phrase('These images are too large to look for sums over their bytes: add known ones under "totals".')]),
    ...(isSearched && sums.length === 0
      ? [
          names.length === 1
            ? phrase(
                'No sum over the bytes was found that could not be an accident. Several images of the same kind make it easier to tell.',
              )
            : phrase('No sum over the bytes was found that could not be an accident.'),
        ]
      : []),
  ];
}

function imageOf(name: string, { layout, rows }: Dump): ImageToLearn {
  const parts = Array.from(layout.order, (row, i) => {
    const record = rows[row];
    const bytes = record?.kind === 'record' ? bytesOf(record, 0, layout.dataCount[row]) : new Uint8Array(0);
    return { address: layout.keys[i] as number, bytes };
  });
  return { name, parts: parts.filter(({ bytes }) => bytes.length > 0) };
}

function rangeOf({ segments }: Images): { from: string; to: string } {
  const last = segments.at(-1);
  return {
    from: written(segments[0]?.address ?? 0),
    to: written(last === undefined ? 0 : last.address + last.count - 1),
  };
}
