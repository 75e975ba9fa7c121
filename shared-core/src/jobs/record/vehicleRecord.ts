import { bullets, fileLink, folded, pageOf, plain, section, table } from '../../base/markdown.js';
import { type Phrase, phrase } from '../../base/phrase.js';
import { notSealed } from '../../checks/backup.js';
import { byVehicle } from '../../checks/otherModules.js';
import type { Problem } from '../../checks/problem.js';
import { mostUrgent } from '../../checks/shownProblems.js';
import { type HeaderName, headerValue, isSealed } from '../../model/headers.js';
import { isForComparison } from '../../model/useHeader.js';
import { whyNotWhole } from '../../model/whole.js';
import { timeInWords } from '../card/identity.js';
import type { NamedDump, Say } from '../card/input.js';
import { severalDumps } from '../plan.js';
import type { Others } from '../verify/anotherCar.js';
import { notCarriedOut, type OpenMatter, type RecordedRetrofit } from './carriedOut.js';
import { changesInWords, heldAgainst, ofAnotherCar, unexplainedChange, writtenOf } from './changes.js';
import { whyToCome } from './laterReading.js';
import { backupAmong, type ModuleTimeline, namelessOf, type RecordedDump, type Role, timelinesOf } from './timeline.js';

/** What lies in a vehicle folder. Names are those of the files. */
export interface RecordInput {
  readonly dumps: readonly NamedDump[];
  readonly retrofits: readonly RecordedRetrofit[];
  /** Job cards that were saved. */
  readonly cards: readonly string[];
  /** ISO 8601. */
  readonly now: string;
}

/** More problems of one file than these are a matter for its own list. */
const MOST_PROBLEMS = 3;

const NO_DUMP = phrase('There is no dump in this folder yet.');

export interface VehicleRecord {
  /** Markdown. */
  readonly text: string;
  /** What it is the record of. */
  readonly title: Phrase;
  /** What is still to be put right or proved; the page says it too. */
  readonly open: readonly Phrase[];
  /** Whether there are dumps, and all files were read whole, so that nothing that changed between them goes unseen. */
  readonly isWhole: boolean;
}

/** The record of a vehicle folder, computed from what lies there and from nothing else. */
export function vehicleRecord({ dumps, retrofits, cards, now }: RecordInput, say: Say): VehicleRecord {
  const text = (said: Phrase) => plain(say(said));
  const vehicles = vehiclesIn(dumps, now, () => dumps);
  const page = pageOf([
    ...vehicles.flatMap((vehicle) =>
      vehiclePage(vehicle, [...openOf(vehicle, retrofits), ...unsound(retrofits)], text),
    ),
    ...(vehicles.length === 0 ? [`# ${text(phrase('Vehicle record'))}`, text(NO_DUMP)] : []),
    ...section(
      text(phrase('Retrofits')),
      bullets(
        retrofits.map(({ name, file }) => {
          if (file.kind !== 'sound') return text(file.why);
          const { title } = file.retrofit;
          return title === undefined ? plain(name) : `${plain(title)} (${plain(name)})`;
        }),
      ),
    ),
    ...section(text(phrase('Job cards')), bullets(cards.map(fileLink))),
    ...section(
      text(phrase('For comparison only')),
      bullets(dumps.filter(({ dump }) => isForComparison(dump)).map(({ name }) => plain(name))),
    ),
    text(phrase('This page is made anew from the files of the folder each time; nothing else is kept.')),
  ]);
  const [only, ...others] = vehicles;
  return {
    text: page,
    title: only !== undefined && others.length === 0 ? recordTitle(only.dumps) : phrase('Vehicle record'),
    open: openIn(vehicles, retrofits).map(({ says }) => says),
    isWhole:
      dumps.length > 0 &&
      dumps.every(({ dump }) => whyNotWhole(dump).length === 0) &&
      retrofits.every(({ file }) => file.kind !== 'unreadable'),
  };
}

/** What is open in the record of these, and what of them was not read whole: where there is nothing, the record is done. */
export function openInRecord(
  { dumps, retrofits, now }: Pick<RecordInput, 'dumps' | 'retrofits' | 'now'>,
  others: Others = () => dumps,
): readonly OpenMatter[] {
  const unread = dumps.flatMap((of) =>
    isForComparison(of.dump) ? [] : whyNotWholeInWords(of).map((says) => ({ says, of })),
  );
  return [...openIn(vehiclesIn(dumps, now, others), retrofits), ...unread];
}

function openIn(vehicles: readonly Vehicle[], retrofits: RecordInput['retrofits']): readonly OpenMatter[] {
  return [
    ...(vehicles.length === 0 ? [{ says: NO_DUMP }] : vehicles.flatMap((vehicle) => openOf(vehicle, retrofits))),
    ...unsound(retrofits),
  ];
}

/** Why retrofits of the folder cannot be gone by: nobody can tell what they ask of a module. */
function unsound(retrofits: RecordInput['retrofits']): readonly OpenMatter[] {
  return retrofits.flatMap(({ file }) => (file.kind === 'sound' ? [] : { says: file.why }));
}

function openOf({ open, timelines }: Vehicle, retrofits: RecordInput['retrofits']): readonly OpenMatter[] {
  return [...open, ...notCarriedOut(timelines, retrofits)];
}

function vehiclesIn(all: readonly NamedDump[], now: string, others: Others): readonly Vehicle[] {
  const dumps = all.filter(({ dump }) => !isForComparison(dump));
  const nameless = namelessOf(dumps);
  return byVehicle(dumps).map((ofVehicle) => {
    const timelines = timelinesOf(
      ofVehicle,
      now,
      nameless.filter((one) => !ofVehicle.includes(one)),
    );
    return { dumps: ofVehicle, timelines, open: openMatters(timelines, others), others };
  });
}

type Text = (said: Phrase) => string;

interface Vehicle {
  readonly dumps: readonly NamedDump[];
  readonly timelines: readonly ModuleTimeline[];
  readonly open: readonly OpenMatter[];
  readonly others: Others;
}

function recordTitle(dumps: readonly NamedDump[]): Phrase {
  const [name] = (['vehicle', 'vin'] as const).flatMap((header) =>
    dumps.flatMap(({ dump }) => headerValue(dump, header) ?? []),
  );
  return phrase('Vehicle record: {0}', name ?? phrase('unnamed vehicle'));
}

function vehiclePage(
  { dumps, timelines, others }: Vehicle,
  open: readonly OpenMatter[],
  text: Text,
): readonly string[] {
  const value = (name: HeaderName) => dumps.map(({ dump }) => headerValue(dump, name)).find((one) => one !== undefined);
  const head = [phrase('Vehicle'), phrase('VIN'), phrase('Modules'), phrase('Dumps')];
  return [
    `# ${text(recordTitle(dumps))}`,
    table(head.map(text), [
      [plain(value('vehicle') ?? '–'), plain(value('vin') ?? '–'), String(timelines.length), String(dumps.length)],
    ]),
    ...timelines.flatMap((timeline) => modulePage(timeline, others, text)),
    ...section(
      text(phrase('Open problems')),
      open.length === 0 ? text(phrase('None.')) : bullets(open.map(({ says }) => text(says))),
    ),
  ];
}

/** The time line of a module: what was done and when; which lines that changed is folded away. */
function modulePage({ title, dumps, strays }: ModuleTimeline, others: Others, text: Text): readonly string[] {
  const [common = ''] = dumps.map(levelOf);
  const entries = inOrderOfWork(dumps).map((one) => {
    const written = writtenOf(one, dumps, strays);
    const another = ofAnotherCar(one, dumps, others);
    const { said, details } =
      another === undefined ? changesInWords(heldAgainst(one, dumps)) : { said: [another], details: [] };
    const done = [...said, ...(written?.isOpen === false ? [written.said] : [])];
    const level = levelOf(one) === common ? '' : levelOf(one);
    return {
      lines: [entryLine(one, level, text), ...done.map((phrase) => `  - ${text(phrase)}`)].join('\n'),
      details: details.map(text),
    };
  });
  const details = entries.flatMap((entry) => entry.details);
  return [
    `## ${plain(title)}`,
    common,
    entries.map(({ lines }) => lines).join('\n'),
    ...(details.length === 0 ? [] : folded(text(phrase('Changed lines')), bullets(details))),
  ];
}

/** What is in work has no time of its own: it comes after the backup that it began from. */
function inOrderOfWork(dumps: readonly RecordedDump[]): readonly RecordedDump[] {
  const isPlaced = ({ role, since, taken }: RecordedDump) =>
    role === 'work' && taken === undefined && dumps.some(({ name }) => name === since?.name);
  return dumps
    .filter((one) => !isPlaced(one))
    .flatMap((one) => [one, ...dumps.filter((other) => isPlaced(other) && other.since?.name === one.name)]);
}

/** Part and software level, as Markdown. */
function levelOf({ dump }: RecordedDump): string {
  const level = (['part', 'software'] as const).flatMap((header) => headerValue(dump, header) ?? []);
  return level.map(plain).join(' · ');
}

function entryLine({ name, role, taken, problems }: RecordedDump, level: string, text: Text): string {
  const isWork = role === 'work' && taken === undefined;
  const parts = [
    ...(isWork ? [] : [text(roleInWords(role))]),
    ...(level === '' ? [] : [level]),
    ...(problems.some(isError) ? [`**${text(phrase('has problems'))}**`] : []),
    plain(name),
  ];
  const when = isWork
    ? text(roleInWords(role))
    : taken === undefined
      ? text(phrase('not dated'))
      : plain(timeInWords(taken));
  return `- **${when}** · ${parts.join(' · ')}`;
}

function roleInWords(role: Role): Phrase {
  switch (role) {
    case 'backup':
      return phrase('sealed backup');
    case 'work':
      return phrase('in work');
    case 'reading':
      return phrase('read from the module');
    case 'toLoad':
      return phrase('to be loaded into the module');
    case 'unread':
      return phrase('holds nothing that can be read');
  }
}

/** What is still to be put right or proved of some modules. */
export function openMatters(
  timelines: readonly Omit<ModuleTimeline, 'title'>[],
  others: Others,
): readonly OpenMatter[] {
  return timelines.flatMap(({ dumps, strays }) => [
    ...severalIn(dumps).map((says) => ({ says })),
    ...dumps.flatMap((one, index): readonly OpenMatter[] => {
      const { role } = one;
      // What was wrong with a reading is history once the module was read again.
      const isPast = role === 'reading' && dumps.slice(index + 1).some((later) => later.role === 'reading');
      const written = writtenOf(one, dumps, strays);
      const another = ofAnotherCar(one, dumps, others);
      return [
        ...(another === undefined ? [] : [phrase('{0}: {1}', one.name, another)]),
        ...(one.isToCome ? [whyToCome(one)] : []),
        ...unreadOf(one),
        ...(isPast ? [] : problemsOf(one)),
        ...(isPast || role === 'backup' || another !== undefined ? [] : unexplainedChange(heldAgainst(one, dumps))),
        ...(written?.isOpen ? [written.said] : []),
        ...(role === 'work' ? backupOpen(one, dumps) : []),
      ].map((says) => ({ says, of: one }));
    }),
  ]);
}

function severalIn(dumps: readonly RecordedDump[]): readonly Phrase[] {
  const works = dumps.filter(({ role }) => role === 'work');
  return works.length > 1 ? [severalDumps(works)] : [];
}

/** Why the backup that a dump names is no proof of how the module was found, where no problem of the dump says so. */
function backupOpen(work: RecordedDump, dumps: readonly RecordedDump[]): readonly Phrase[] {
  const backup = backupAmong(dumps, work);
  if (backup === undefined)
    return [
      phrase(
        '{0}: its backup "{1}" is not among the dumps of this module here, so nobody can tell what was changed.',
        work.name,
        headerValue(work.dump, 'backup') ?? '',
      ),
    ];
  return isSealed(backup.dump) ? [] : [notSealed(backup.name)];
}

/** What keeps a dump from having been read whole, where no problem of it says so anyway. */
function unreadOf({ name, dump, problems }: RecordedDump): readonly Phrase[] {
  const [unread] = whyNotWhole(dump);
  return unread === undefined || (unread.what !== 'records' && problems.some(isError))
    ? []
    : whyNotWholeInWords({ name, dump, problems }).slice(0, 1);
}

/** What of a dump could not be read; of one in an unknown form that is all there is to say. */
function whyNotWholeInWords({
  name,
  dump,
  problems,
}: Pick<RecordedDump, 'name' | 'dump' | 'problems'>): readonly Phrase[] {
  const unread = whyNotWhole(dump);
  return unread.length > 0 && problems.some(({ code }) => code === 'form-unknown')
    ? [phrase('{0} is written in a form that is not known yet. Run "Work Out the Checksum Rule" on it.', name)]
    : unread.map(({ why }) => phrase('{0} was not read whole: {1}', name, why));
}

/** The first problems of a dump, and what was not checked. What was open in a dump as it was found, the work may just put right. */
function problemsOf({ name, problems, role, unchecked }: RecordedDump): readonly Phrase[] {
  const errors = problems.filter(isError);
  const warnings = role === 'backup' ? [] : problems.filter(({ severity }) => severity === 'warning');
  const listOf = (list: readonly Problem[]) =>
    mostUrgent(list, MOST_PROBLEMS).map(({ message, row }) => phrase('{0}, row {1}: {2}', name, row + 1, message));
  const more = (list: readonly Problem[]) => list.length - MOST_PROBLEMS;
  return [
    ...listOf(errors),
    ...(more(errors) > 0 ? [phrase('{0}: {1} more errors.', name, more(errors))] : []),
    ...listOf(warnings),
    ...(more(warnings) > 0 ? [phrase('{0}: {1} more warnings.', name, more(warnings))] : []),
    ...(role === 'backup' ? [] : unchecked.map((said) => phrase('{0}: {1}', name, said))),
  ];
}

function isError({ severity }: Problem): boolean {
  return severity === 'error';
}
