import { resolve } from 'node:path';
import { type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import { textOfRows } from '../../../shared-core/src/format/index.js';
import { planTrials, trialSheet } from '../../../shared-core/src/jobs/index.js';
import {
  addOption,
  aloneInWords,
  bindLearnedSteps,
  calledBy,
  candidateInWords,
  comparedDump,
  FOUND,
  findOptionSteps,
  type LabelledDump,
  labelledByTag,
  nextInWords,
  type OptionCandidate,
  type OptionSearch,
  optionOf,
  pairIn,
  pairInWords,
  type TextToLearn,
  whyNotAdded,
} from '../../../shared-core/src/learn/index.js';
import { bindWithHeaders, type Dump } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, editedProfile, HAZARDS } from '../../../shared-core/src/profile/index.js';
import { asRead } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { candidateToJson, nextToJson, pairToJson } from './findOptionJson.js';
import { type Disk, pathOf, uriOf } from './load.js';
import { choices, FROM, flag, group, OUT, PROFILE, text } from './options.js';
import { finishShown } from './progress.js';
import { say } from './say.js';

const GROUPS = ['with', 'without'] as const;

const GROUP_NAMES = { with: phrase('with'), without: phrase('without') };

/** More lines than these help nobody on a terminal; `--json` has them all. */
const MOST_SHOWN = 10;

const OPTIONS = {
  with: group('FILE…', phrase('dumps of cars with the equipment')),
  without: group('FILE…', phrase('dumps of cars without it')),
  tag: text('TAG', phrase('group the dumps by TAG in their "@fitted" and "@absent"')),
  trials: text('FILE', phrase('a sheet of single trials on this dump')),
  add: text('ID', phrase('the best place as an option of the profile')),
  digit: flag(phrase('with --add: the whole hex digit that the bits are part of')),
  title: text('TEXT', phrase('with --add: what the option is called')),
  words: text('WITH,WITHOUT', phrase('with --add: what its values mean, such as 13-pin,none')),
  hazard: choices(HAZARDS, phrase('with --add: what a wrong setting affects')),
  write: flag(phrase('with --add: write the profile itself')),
  ...OUT,
  ...FROM,
  ...PROFILE,
};

type Among = Parameters<typeof asRead>[1];

type FindCall = Call<typeof OPTIONS>;

/**
 * Which bits tell dumps with some equipment from dumps without it: those named after `--with` and `--without`, or those
 * whose headers say so of `--tag`. Other files are asked about. One dump each is a pair, before and after.
 */
export const findOption = command({
  name: 'find-option',
  arguments: '[FILE…]',
  does: phrase('which bits tell the two groups apart: --with FILE… --without FILE…; a FILE before both is asked about'),
  options: OPTIONS,
  exclusive: [
    ['write', 'out'],
    ['trials', 'add'],
  ],
  run: findIn,
});

async function findIn(call: FindCall): Promise<Outcome> {
  if (call.write && call.add === undefined) throw new Failure(phrase('"--write" goes with "--add" only.'));
  if (call.out !== undefined && call.add === undefined && call.trials === undefined)
    throw new Failure(phrase('"--out" goes with "--add" or "--trials" only.'));
  if (call.add === undefined && ((call.title ?? call.words ?? call.hazard) !== undefined || call.digit))
    throw new Failure(phrase('"--title", "--words", "--hazard" and "--digit" go with "--add" only.'));
  const { labelled, own, notes } = await labelledDumps(call);
  const found = finishShown(
    findOptionSteps(labelled, call.json ? GROUPS : GROUPS.map((name) => say(GROUP_NAMES[name]))),
  );
  const said = [...notes, ...found.remarks];
  if (call.trials !== undefined) return trials(call, found, said);
  if (call.add !== undefined) return add(call, found, said, own);
  const pair = pairIn(labelled);
  return {
    status: found.candidates.length === 0 ? 1 : 0,
    says: pair === undefined ? inWords(found, own) : pairInWords(pair, own),
    notes: pair === undefined ? said : [...notes, ...pair.remarks],
    json: {
      candidates: found.candidates.map((candidate) => candidateToJson(candidate, found)),
      nextDump: nextToJson(found),
      remarks: found.remarks.map((remark) => say(remark)),
      ...(pair !== undefined && { pair: pairToJson(pair) }),
    },
  };
}

interface Labelled {
  readonly labelled: readonly LabelledDump[];
  /** The first of the dumps, which says what its lines are called. */
  readonly own: Dump | undefined;
  readonly notes: readonly Phrase[];
}

async function labelledDumps({ files, profile, tag, disk, ...groups }: FindCall): Promise<Labelled> {
  const groupOf = new Map<string, number>();
  for (const [group, name] of GROUPS.entries())
    for (const file of await disk.expand(groups[name])) groupOf.set(resolve(file), group);
  for (const file of await disk.expand(groups.with)) {
    if (groupOf.get(resolve(file)) !== 0)
      throw new Failure(phrase('{0} is named both with and without the equipment.', file));
  }
  if (groupOf.size === 0 && tag === undefined) {
    throw new Failure(phrase('Use: countersum find-option --with FILE… --without FILE…, or --tag TAG FILE…'));
  }
  const names = await disk.expand([...groups.with, ...groups.without, ...files]);
  const pair = groups.with.length === 1 && groups.without.length === 1 ? [...groups.with, ...groups.without] : [];
  const among: Among = { isThere: (file) => names.map(uriOf).includes(file), pair: pair.map(uriOf) };
  const { dumps: named, own, notes } = await comparedDumps(disk, names, profile, among);
  if (tag === undefined)
    return { labelled: named.map((one) => ({ ...one, group: groupOf.get(resolve(one.name)) })), own, notes };
  const tagged = labelledByTag(named, tag);
  return {
    labelled: tagged.dumps.map((one) => ({ ...one, group: groupOf.get(resolve(one.name)) ?? one.group })),
    own,
    notes: [...notes, ...tagged.remarks],
  };
}

interface Compared {
  readonly own: Dump | undefined;
  readonly dumps: readonly Omit<LabelledDump, 'group'>[];
  readonly notes: readonly Phrase[];
}

/**
 * What is compared of each dump, without its rows as soon as it is read. Without any profile the sums are learned first, so that
 * they are not taken for options.
 */
async function comparedDumps(
  disk: Disk,
  names: readonly string[],
  profile: string | undefined,
  among: Among,
): Promise<Compared> {
  const dumps: Omit<LabelledDump, 'group'>[] = [];
  let own: Dump | undefined;
  const remarks: Phrase[] = [];
  const add = (name: string, dump: Dump) => {
    if (dumps.length === 0) own = dump;
    dumps.push({ name, dump: comparedDump(dump, dumps.at(-1)?.dump) });
  };
  let texts: TextToLearn[] | undefined = [];
  for (const name of names) {
    const loaded = await disk.load(name, profile);
    const { dump, remarks: said } = asRead(loaded, among);
    remarks.push(...said);
    if (loaded.profile.kind !== 'none') texts = undefined;
    if (dump === undefined) continue;
    add(name, dump);
    texts?.push({ name, text: textOfRows(dump.rows) });
  }
  if (texts === undefined) return { dumps, own, notes: remarks };
  const learned = finishShown(bindLearnedSteps(texts));
  if (learned === undefined)
    return {
      dumps,
      own,
      notes: [...remarks, phrase('No profile was given and no sums were learned, so sums may come up as candidates.')],
    };
  const read = dumps.splice(0);
  for (const [i, { name }] of read.entries()) add(name, learned.dumps[i] as Dump);
  const { lineSum, totals = [] } = learned.profile;
  return {
    dumps,
    own,
    notes: [
      ...remarks,
      lineSum === undefined && totals.length === 0
        ? phrase('No profile was given and no sums were learned, so sums may come up as candidates.')
        : phrase('No profile was given; the sums were learned from these dumps and left out.'),
    ],
  };
}

function inWords(found: OptionSearch, own: Dump | undefined): readonly Phrase[] {
  const next = nextInWords(found);
  const sure = found.candidates.filter(({ q }) => q <= FOUND);
  const inLines = (some: readonly OptionCandidate[]) =>
    some.slice(0, MOST_SHOWN).map((candidate) => candidateInWords(found, calledBy(own, candidate)));
  const rest = found.candidates.length - sure.length;
  return [
    // Where no place is sure, the best there are.
    ...inLines(sure.length > 0 ? sure : found.candidates),
    ...(sure.length > 0 && rest > 0 ? [phrase('Places that could be chance: {0} ("--json" has them)', rest)] : []),
    ...(next === undefined ? [] : [next]),
  ];
}

/** The sheet of trials on one dump, printed or written. */
async function trials(
  { trials: file = '', profile, tag, disk }: FindCall,
  found: OptionSearch,
  notes: readonly Phrase[],
): Promise<Outcome> {
  const loaded = await disk.load(file, profile);
  const known = loaded.profile.kind === 'none' ? (found.matrix.dumps[0]?.dump.profile ?? EMPTY_PROFILE) : undefined;
  const dump = known === undefined ? loaded.dump : bindWithHeaders(file, textOfRows(loaded.dump.rows), known);
  const name = tag ?? say(phrase('the equipment'));
  const words = [say(phrase('with')), say(phrase('without'))];
  const plan = planTrials(found, dump, { name, words });
  return {
    status: plan.trials.length === 0 ? 1 : 0,
    document: { content: trialSheet(plan, { name, file, dump }, say), inJson: true },
    notes,
    json: { trials: plan.trials.length, leftOut: plan.leftOut.length },
  };
}

/** The best candidate as an option of the profile: printed, or with `--write` or `--out` written. */
async function add(
  { add: id = '', digit, title = id, words, hazard, profile, files, disk, ...groups }: FindCall,
  found: OptionSearch,
  notes: readonly Phrase[],
  own: Dump | undefined,
): Promise<Outcome> {
  const [best] = found.candidates;
  if (best === undefined) throw new Failure(phrase('No place tells these dumps apart, so there is nothing to add.'));
  const [first] = await disk.expand([...groups.with, ...groups.without, ...files]);
  const file = profile ?? (first === undefined ? undefined : await profileOf(disk, first));
  if (file === undefined) throw new Failure(phrase('These dumps name no profile. Name one with --profile FILE.'));
  if (digit && best.digit === undefined)
    throw new Failure(
      phrase('The best place is no part of one digit, or the digit holds more than it. Leave "--digit" out.'),
    );
  const place = digit && best.digit !== undefined ? { ...best, ...best.digit } : best;
  const named = optionOf(found, place, { id, title, words: wordsIn(words) }, own);
  const [only, ...others] = hazard ?? [];
  const hazards = others.length === 0 ? only : hazard;
  const option = hazards === undefined ? named : { ...named, hazard: hazards };
  const before = await disk.readText(file);
  const refused = whyNotAdded(before, option, await disk.workspace.basesOf(uriOf(file), before));
  if (refused !== undefined) throw new Failure(phrase('{0}: {1} Nothing was changed.', file, refused));
  const edits = addOption(before, option);
  if (edits.length === 0) throw new Failure(phrase('{0} is no profile, so nothing can be added to it.', file));
  const document = { content: editedProfile(before, edits), of: { file, before } };
  const alone = aloneInWords(found, calledBy(own, best));
  return {
    status: 0,
    document,
    notes: alone === undefined ? notes : [...notes, alone],
    json: { option, profile: file },
  };
}

async function profileOf(disk: Disk, name: string): Promise<string | undefined> {
  const { profileFile } = await disk.load(name);
  return profileFile === undefined ? undefined : pathOf(profileFile);
}

/** What the values of both groups are called. */
function wordsIn(given: string | undefined): readonly string[] {
  if (given === undefined) return [say(phrase('with')), say(phrase('without'))];
  const words = given.split(',').map((word) => word.trim());
  if (words.length === 2 && words.every((word) => word !== '')) return words;
  throw new Failure(phrase('"--words" wants two texts with a comma between them, such as 13-pin,none.'));
}
