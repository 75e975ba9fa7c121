import {
  bindText,
  type Dump,
  hex,
  type LabelledDump,
  learn,
  type OptionCandidate,
  type OptionPlace,
  type OptionSearch,
  phrase,
  readProfile,
  findOption as search,
} from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { Failure } from './failure.js';
import { expandFolders, readText } from './files.js';
import { type Loaded, load } from './load.js';
import { say } from './say.js';

const GROUPS = ['with', 'without'] as const;

/** More lines than these help nobody on a terminal; `--json` has them all. */
const MOST_SHOWN = 10;

/** Which bits tell dumps with some equipment from dumps without it. Files named before `--with` are asked about. */
export function findOption({ files, groups, profile }: Call): Outcome {
  const groupOf = new Map(
    GROUPS.flatMap((name, group) => expandFolders(groups[name]).map((file) => [file, group] as const)),
  );
  for (const file of expandFolders(groups.with)) {
    if (groupOf.get(file) !== 0) throw new Failure(phrase('{0} is named both with and without the equipment.', file));
  }
  if (groupOf.size === 0) throw new Failure(phrase('Use: countersum find-option --with FILE… --without FILE…'));
  const names = [...new Set([...groupOf.keys(), ...expandFolders(files)])];
  const { dumps, notes } = bound(names.map((name) => load(name, profile)));
  const labelled = names.map((name, i): LabelledDump => ({ name, dump: dumps[i] as Dump, group: groupOf.get(name) }));
  const found = search(labelled, GROUPS);
  return {
    status: found.candidates.length === 0 ? 1 : 0,
    text: inWords(found),
    notes: [...notes, ...found.remarks.map((remark) => say(remark))],
    json: {
      candidates: found.candidates.map((candidate) => candidateToJson(candidate, found)),
      nextDump: nextToJson(found),
      remarks: found.remarks.map((remark) => say(remark)),
    },
  };
}

/** Without any profile the sums are learned first, so that they are not taken for options. */
function bound(loaded: readonly Loaded[]): { readonly dumps: readonly Dump[]; readonly notes: readonly string[] } {
  const dumps = loaded.map(({ dump }) => dump);
  if (loaded.some(({ profile }) => profile.kind !== 'none')) return { dumps, notes: [] };
  const texts = loaded.map(({ file }) => ({ name: file, text: readText(file) }));
  const [best] = learn(texts).candidates;
  if (best === undefined)
    return {
      dumps,
      notes: [say(phrase('No profile was given and no sums were learned, so sums may come up as candidates.'))],
    };
  const { profile } = readProfile(JSON.stringify(best.profile));
  return {
    dumps: texts.map(({ name, text }) => bindText(name, text, profile)),
    notes: [say(phrase('No profile was given; the sums were learned from these dumps and left out.'))],
  };
}

function candidateToJson(
  { place, values, p, q, exceptions, sameAs }: OptionCandidate,
  { matrix }: OptionSearch,
): object {
  const [marks = [], others = []] = values;
  return {
    ...placeToJson(place),
    with: marks.map((value) => digits(place, value)),
    without: others.map((value) => digits(place, value)),
    p,
    q,
    separates: exceptions.length === 0,
    exceptions: exceptions.map((dump) => matrix.dumps[dump]?.name ?? ''),
    sameAs: sameAs.map(placeToJson),
  };
}

function placeToJson({ line, byte, count, bits }: OptionPlace): object {
  return count === 2 ? { line, bytes: `${byte}-${byte + 1}` } : { line, byte, bits: bitsText(bits) };
}

function nextToJson({ next, matrix }: OptionSearch): object | null {
  if (next === undefined) return null;
  if (next.kind === 'unlabelled') return { file: matrix.dumps[next.dump]?.name ?? '', gain: next.bits };
  const { first, firstValue, second, secondValue, bits } = next;
  const side = ({ place }: OptionCandidate, value: number) => ({ ...placeToJson(place), value: digits(place, value) });
  return { wanted: [side(first, firstValue), side(second, secondValue)], gain: bits };
}

function inWords({ candidates, next, matrix }: OptionSearch): string {
  const lines = candidates.slice(0, MOST_SHOWN).map(({ place, values, p, q, exceptions, sameAs }) => {
    const [marks = '', others = ''] = values.map((list) => list.map((value) => digits(place, value)).join(' '));
    const said = phrase(
      '{0}: with {1}, without {2}; p = {3}, q = {4}',
      inPlace(place),
      marks,
      others,
      rounded(p),
      rounded(q),
    );
    const more = [
      ...(exceptions.length > 0
        ? [say(phrase('not as labelled: {0}', exceptions.map((dump) => matrix.dumps[dump]?.name ?? '').join(', ')))]
        : []),
      ...(sameAs.length > 0 ? [say(phrase('together with {0}', sameAs.map(inPlace).join(', ')))] : []),
    ];
    return [say(said), ...more].join('; ');
  });
  if (next?.kind === 'unlabelled') {
    lines.push(
      say(phrase('Next: find out whether {0} has it. That settles most.', matrix.dumps[next.dump]?.name ?? '')),
    );
  } else if (next !== undefined) {
    const { first, firstValue, second, secondValue } = next;
    lines.push(
      say(
        phrase(
          'Next: read a car in which {0} is {1} and {2} is {3}, and see whether it has the equipment. That settles most.',
          inPlace(first.place),
          digits(first.place, firstValue),
          inPlace(second.place),
          digits(second.place, secondValue),
        ),
      ),
    );
  }
  return lines.join('\n');
}

function inPlace({ line, byte, count, bits }: OptionPlace): string {
  if (count === 2) return say(phrase('line {0}, bytes {1}-{2}', line, byte, byte + 1));
  if (bits.high - bits.low === 7) return say(phrase('line {0}, byte {1}', line, byte));
  return say(phrase('line {0}, byte {1}, bits {2}', line, byte, bitsText(bits)));
}

function bitsText({ high, low }: OptionPlace['bits']): string {
  return high === low ? String(low) : `${high}-${low}`;
}

/** A value in as many hex digits as its place has. */
function digits({ count, bits }: OptionPlace, value: number): string {
  return hex(value, count === 2 ? 4 : Math.ceil((bits.high - bits.low + 1) / 4));
}

function rounded(number: number): string {
  return String(Number(number.toPrecision(2)));
}
