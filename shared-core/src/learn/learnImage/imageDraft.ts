import { hex } from '../../base/hex.js';
import { SURE } from '../../base/odds.js';
import { sumAsJson } from '../../checksum/sumAsJson.js';
import type { DraftProfile } from '../draftProfile.js';
import type { StoredSum } from './chosenSums.js';
import { addressAt, type Images } from './images.js';
import type { Repeat } from './repeats.js';
import type { FoundInImages } from './searchImages.js';

/** More options than these would be a list that nobody reads. */
const MOST_OPTIONS = 24;

/** A text or a date is named in a draft only where it is surer than this. */
const LIKELY = 1e-2;

/** What goes into a draft of what was found; what is not sure is a guess. */
export function imageDraft(
  images: Images,
  { sums, repeats, texts, dates }: FoundInImages,
): Pick<DraftProfile, 'totals' | 'copies' | 'options'> {
  const at = (place: number) => written(addressAt(images, place));
  const sure = apart(repeats.filter(({ chance }) => chance <= SURE));
  const copies = sure.map(({ first, at: others, isInverted }, i) => ({
    name: sure.length === 1 ? 'copies' : `copies ${i + 1}`,
    place: { address: at(first.from), length: first.end - first.from },
    at: others.map(at),
    ...(isInverted ? { as: 'inverted' } : {}),
  }));
  const isCopied = (from: number, end: number) =>
    sure.some(({ first, at: others }) => others.some((start) => from < start + first.end - first.from && start < end));
  const totals = sums.map((sum, i) => ({
    name: sums.length === 1 ? 'file sum' : `sum ${i + 1}`,
    address: at(sum.place),
    ...sumAsJson(sum.spec, sum.order),
    over: [{ from: at(sum.range.from), to: written(addressAt(images, sum.range.end - 1)) }],
    ...(sum.kept ? { keep: true } : {}),
    ...(isSure(sum) ? {} : { confidence: 'guess' }),
  }));
  const isOfSum = (from: number, end: number) => sums.some(({ place, width }) => from < place + width && place < end);
  const free = ({ from, end, chance }: { readonly from: number; readonly end: number; readonly chance: number }) =>
    chance <= LIKELY && !isCopied(from, end) && !isOfSum(from, end);
  const named = (kind: string, from: number) => `${kind}-${hex(addressAt(images, from), 4)}`;
  const options = [
    ...dates
      .filter((date) => free(date) && date.others.length === 0)
      .map(({ from, end, form }) => ({
        ...{ id: named('date', from), title: `Date at ${at(from)}`, address: at(from), length: end - from },
        ...{ date: form, coding: 'bcd', confidence: 'guess' },
      })),
    ...texts.filter(free).map(({ from, end }) => ({
      ...{ id: named('text', from), title: `Text at ${at(from)}`, address: at(from), length: end - from },
      ...{ text: 'ascii', confidence: 'guess' },
    })),
  ].slice(0, MOST_OPTIONS);
  return {
    ...(totals.length === 0 ? {} : { totals }),
    ...(copies.length === 0 ? {} : { copies }),
    ...(options.length === 0 ? {} : { options }),
  };
}

/** The longest first, without those that share a byte with one before: in a profile each byte is a copy of others once. */
function apart(repeats: readonly Repeat[]): readonly Repeat[] {
  const placesOf = ({ first, at }: Repeat) =>
    [first.from, ...at].map((from) => ({ from, end: from + first.end - first.from }));
  const taken: Repeat[] = [];
  const size = ({ first }: Repeat) => first.end - first.from;
  for (const repeat of [...repeats].sort((a, b) => size(b) - size(a) || Number(a.isInverted) - Number(b.isInverted))) {
    const places = placesOf(repeat);
    const isShared = taken
      .flatMap(placesOf)
      .some((one) => places.some((other) => one.from < other.end && other.from < one.end));
    if (!isShared) taken.push(repeat);
  }
  return taken.sort((a, b) => a.first.from - b.first.from);
}

/** Whether nothing else could be meant: images that store different values confirm it, and no other rule fits. */
function isSure({ chance, values, rivals }: StoredSum): boolean {
  return chance <= SURE && values > 1 && rivals.length === 0;
}

export function written(address: number): string {
  return `0x${address.toString(16).toUpperCase()}`;
}
