import { oddsInWords } from '../base/odds.js';
import { listed, type Phrase, type PhrasePart, phrase, say } from '../base/phrase.js';

// What speaks for an option that nobody has tried: as it is written into a profile, in English whoever writes it, and read
// again for whoever looks. What a person wrote there stays as it is.

/** How far a place tells the dumps of a search apart. */
export interface PlaceFigures {
  readonly p: number;
  readonly q: number;
  /** In how many different ways the dumps fall apart. */
  readonly tried: number;
  /** How many dumps are not as labelled, if this is the place. */
  readonly exceptions: number;
}

/** Whether a place is as labelled in all dumps, and not because nearly each of them holds a value of its own there. */
export function fitsAll({ p, exceptions }: Pick<PlaceFigures, 'p' | 'exceptions'>): boolean {
  return exceptions === 0 && p <= 0.5;
}

/** How sure a place is, without a figure that wants to be explained. */
export function sureInWords(figures: PlaceFigures): Phrase {
  const { q, tried } = figures;
  const fits = fitsAll(figures);
  if (!fits) return q <= 0.5 ? oddsInWords(q) : phrase('only varies');
  const odds =
    q <= 0.5 ? oddsInWords(q) : phrase('could well be chance, as the bits that vary show {0} patterns', tried);
  return phrase('fits all dumps; {0}', odds);
}

/** The same beside others of which it is said once that they could well be chance. */
export function sureInShort(figures: PlaceFigures): Phrase {
  return fitsAll(figures) && figures.q > 0.5 ? phrase('fits all dumps') : sureInWords(figures);
}

export interface SearchEvidence extends Omit<PlaceFigures, 'exceptions'> {
  readonly groups: readonly { readonly count: number; readonly name: string; readonly dumps: string }[];
  /** The names of the dumps that are not as labelled. */
  readonly exceptions: string;
  /** The places that change together with it. */
  readonly together: readonly string[];
  /** How many more of them are not named. */
  readonly unnamed: number;
}

/** As it is written into a profile. */
export function evidenceText(found: SearchEvidence): string {
  return say(inWords(found, (text) => text));
}

export function evidenceByHand(file: string, digits: string): Phrase {
  return phrase('Named by hand in {0}, which held {1} there when it was named.', file, digits);
}

/** Evidence for a person to read, in full. */
export function evidenceInWords(text: string): Phrase {
  const found = readEvidence(text);
  return found === undefined ? (readByHand(text) ?? phrase('{0}', text)) : inWords(found, placeSaid);
}

/** The same in a sentence without figures; what a person wrote stays whole. */
export function evidenceInShort(text: string): Phrase {
  const found = readEvidence(text);
  if (found === undefined) return evidenceInWords(text);
  const { groups, exceptions, together } = found;
  const parts = [
    phrase(
      'Found by comparing dumps ({0})',
      listed(groups.map(({ count, name }) => phrase('{0} {1}', count, groupSaid(name)))),
    ),
    sureInWords({ ...found, exceptions: exceptions === '' ? 0 : 1 }),
    ...(exceptions === '' ? [] : [phrase('not as labelled: {0}', exceptions)]),
    ...(together.length === 0 ? [] : [phrase('other places change with it')]),
  ];
  return phrase('{0}.', listed(parts, '; '));
}

/** The name of a group in a search; another one is a person's. */
export function groupSaid(name: string): PhrasePart {
  if (name === 'with') return phrase('with');
  return name === 'without' ? phrase('without') : name;
}

function inWords(found: SearchEvidence, placeIn: (text: string) => PhrasePart): Phrase {
  const { groups, p, q, tried, exceptions, together, unnamed } = found;
  const places = fewPlaces(together.map(placeIn), unnamed);
  const count = together.length + unnamed;
  const counts = groups.map(({ count, name, dumps }) => phrase('{0} {1} ({2})', count, groupSaid(name), dumps));
  const sure = sureInWords({ p, q, tried, exceptions: exceptions === '' ? 0 : 1 });
  return listed(
    [
      phrase('{0}; {1} (p = {2}, q = {3} over {4} patterns).', listed(counts), sure, p, q, tried),
      ...(exceptions === '' ? [] : [phrase('Not as labelled: {0}.', exceptions)]),
      ...(count === 0
        ? []
        : [
            count === 1
              ? phrase('Moves together with {0}.', places)
              : phrase('Moves together with {0} places: {1}.', count, places),
          ]),
    ],
    ' ',
  );
}

/** More places than these nobody reads in a sentence. */
const MOST_PLACES = 3;

/** The first of some places, and how many more there are, with those that nobody named. */
export function fewPlaces(places: readonly PhrasePart[], unnamed = 0): Phrase {
  const named = places.slice(0, MOST_PLACES);
  const left = places.length - named.length + unnamed;
  return listed(left === 0 ? named : [...named, phrase('and {0} more', left)], '; ');
}

const SEARCH =
  /^(?<groups>\d.*\)); (?:.*\()?p = (?<p>\S+), q = (?<q>\S+) over (?<tried>\d+) (?:places|patterns)\)?\.(?: Not as labelled: (?<exceptions>.+?)\.(?= Moves together with |$))?(?: Moves together with (?:\d+ places: )?(?<together>.+?)(?:; and (?<unnamed>\d+) more)?\.)?$/s;

/** Undefined where no search wrote it; one of an older version names all places, and calls patterns places. */
function readEvidence(text: string): SearchEvidence | undefined {
  const found = SEARCH.exec(text)?.groups ?? {};
  const { groups = '', p, q, tried, exceptions = '', together, unnamed = 0 } = found;
  const read = [...groups.matchAll(/(\d+) ([^()]+) \((.*?)\)(?:, (?=\d)|$)/gs)].map(
    ([, count, name = '', dumps = '']) => ({
      count: Number(count),
      name,
      dumps,
    }),
  );
  const figures = { p: Number(p), q: Number(q), tried: Number(tried), unnamed: Number(unnamed) };
  return read.length === 0 || Object.values(figures).some(Number.isNaN)
    ? undefined
    : { groups: read, ...figures, exceptions, together: together?.split('; ') ?? [] };
}

function readByHand(text: string): Phrase | undefined {
  const [, file, digits] = /^Named by hand in (.+), which held (\S+) there when it was named\.$/.exec(text) ?? [];
  return file === undefined || digits === undefined ? undefined : evidenceByHand(file, digits);
}

/** A place as a search writes it. */
function placeSaid(text: string): PhrasePart {
  for (const [form, said] of PLACES) {
    const parts = form.exec(text)?.slice(1);
    if (parts !== undefined) return { pattern: said.pattern, parts };
  }
  return text;
}

const PLACES: readonly (readonly [RegExp, Phrase])[] = [
  [/^line (.+), bytes (\d+)-(\d+)$/, phrase('line {0}, bytes {1}-{2}')],
  [/^line (.+), byte (\d+), bits (\d-\d)$/, phrase('line {0}, byte {1}, bits {2}')],
  [/^line (.+), byte (\d+), bit (\d)$/, phrase('line {0}, byte {1}, bit {2}')],
  [/^line (.+), byte (\d+)$/, phrase('line {0}, byte {1}')],
  [/^addresses (\w+)-(\w+)$/, phrase('addresses {0}-{1}')],
  [/^address (\w+), bits (\d-\d)$/, phrase('address {0}, bits {1}')],
  [/^address (\w+), bit (\d)$/, phrase('address {0}, bit {1}')],
  [/^address (\w+)$/, phrase('address {0}')],
];
