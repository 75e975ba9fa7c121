import * as vscode from 'vscode';
import {
  asKept,
  dayFirst,
  localMoment,
  localTime,
  type NamedTime,
  readIsoTime,
  rowAgainstOrder,
  rowOfReading,
  type StatedTimes,
  saysSeconds,
  type TimeSpan,
  timeNamedIn,
  timesIn,
  zoneAt,
} from '../../shared-core/src/base/index.js';
import { looksLikeDump } from './looksLikeDump.js';
import { askText, type Verdict } from './ui.js';

/** What a person says of a dump: of which vehicle it is, and when it was read. */
export interface Said {
  readonly vehicle?: string;
  readonly taken?: string;
}

/** A file that may be a dump: its headers are part of its text. */
export interface ChosenFile {
  readonly name: string;
  readonly text: string;
  /** When it was last saved. */
  readonly saved: Date | undefined;
}

/** What a dump is here for: one to compare with is of another vehicle as a rule, and its time says nothing. */
export type Purpose = 'work' | 'comparison';

/** The vehicles that are worked on, and what the dump is for. */
export interface AskingVehicle {
  readonly vehicles: readonly string[];
  readonly purpose: Purpose;
  /** The file lies in the folder and nobody has said yet why: it may be of another vehicle than those that are worked on. */
  readonly isUnsaid?: true;
  /** Nothing depends on it, so it may be left open. */
  readonly mayBeUnknown?: true;
}

/** Asks what a dump does not say itself; undefined where the person goes away. */
export async function askMissing(file: ChosenFile, asking: AskingVehicle): Promise<Said | undefined> {
  const says = (names: string) => new RegExp(`@(?:${names})\\s+\\S`, 'i').test(file.text);
  const isNamed = says('vehicle|vin');
  const vehicle = isNamed ? undefined : await askVehicle(asking, file.name);
  if (!isNamed && vehicle === undefined) return undefined;
  const isDated = asking.purpose === 'comparison' || says('taken|backup');
  const taken = isDated ? undefined : await askTime(timeOffered(file));
  if (!isDated && taken === undefined) return undefined;
  return { ...(vehicle !== undefined && { vehicle }), ...(taken !== undefined && { taken }) };
}

export async function askVehicle(
  { vehicles, purpose, isUnsaid, mayBeUnknown }: AskingVehicle,
  file?: string,
): Promise<string | undefined> {
  const [only, ...more] = vehicles;
  const isOther = purpose === 'comparison';
  const isDoubted = isUnsaid === true && only !== undefined;
  return askText({
    title:
      file === undefined ? vscode.l10n.t('Which vehicle is it of?') : vscode.l10n.t('Which vehicle is {0} of?', file),
    prompt: mayBeUnknown
      ? vscode.l10n.t('What tells that vehicle from yours and from other donors. Leave it empty if it is not known.')
      : isDoubted
        ? vscode.l10n.t(
            'The file does not say it. Worked on here: {0}. Write that only where it was read from that vehicle, not from a donor.',
            only,
          )
        : isOther
          ? vscode.l10n.t('Stock number, plate, whatever tells that vehicle from yours and from other donors.')
          : vscode.l10n.t('Stock number, plate, whatever tells it from others. All its dumps are to say the same.'),
    value: !isOther && !isDoubted && only !== undefined && more.length === 0 ? only : '',
    placeHolder: isOther ? vscode.l10n.t('Such as: first donor') : vscode.l10n.t('Such as: stock no. 77'),
    ignoreFocusOut: true,
    check: async (text) => {
      if (text.trim() === '' && mayBeUnknown) return undefined;
      if (text.trim() === '')
        return {
          says: vscode.l10n.t('Write what tells the vehicle from others, or press Escape to leave.'),
          takes: false,
        };
      if (looksLikeDump(text)) return file === undefined ? pastedTooEarly() : noName();
      return isOther && vehicles.includes(text.trim())
        ? { says: vscode.l10n.t('This is the vehicle that is worked on here.'), takes: true }
        : undefined;
    },
  });
}

/** Why a dump is no name where a text to paste it into opens later. */
export function pastedTooEarly(): Verdict {
  const later = vscode.l10n.t('The text to paste it into opens after these questions.');
  return { says: `${noName().says} ${later}`, takes: false };
}

function noName(): Verdict {
  return { says: vscode.l10n.t('This looks like a dump, not like a name.'), takes: false };
}

/** A time that is offered, and what says it. */
export interface OfferedTime {
  readonly written: string;
  readonly why: string;
  /** Why what is read then does not count as read back, whatever time a person writes. */
  readonly early?: string | undefined;
}

/** When a file was read, as its text or its name says, else when it was saved. */
export function timeOffered({ name, text, saved }: ChosenFile, before?: ReadBefore): OfferedTime | undefined {
  const named = timeNamedIn(text, name, new Date());
  const early = whyRowTooEarly(timesIn(text), before);
  if (named !== undefined) return { written: named.written, why: saidWhere(named), early };
  return (
    saved && { written: localTime(saved, true), why: vscode.l10n.t('The file was last saved at this time.'), early }
  );
}

function saidWhere({ row }: NamedTime): string {
  return row === undefined
    ? vscode.l10n.t('The name of the file says this time.')
    : vscode.l10n.t('Row {0} of the dump says this time.', row + 1);
}

/** A dump and when it was read: what is read back from its module is read later. */
export interface ReadBefore extends StatedTimes {
  readonly name: string;
  readonly taken: TimeSpan;
}

/**
 * When a dump was read, in the one form that is kept: to the minute or the second, as it is written; a day alone, or a
 * time with its zone, stays as it is. Where nothing is offered, it is the time now.
 */
export async function askTime(offer?: OfferedTime, before?: ReadBefore): Promise<string | undefined> {
  const now = new Date();
  const examples = [localTime(now), dayFirst(now)] as const;
  const early = offer && (offer.early ?? whyTooEarly(kept(offer.written), before));
  const written = await askText({
    title: vscode.l10n.t('When was it read?'),
    prompt: [
      offer?.early === undefined
        ? (offer?.why ?? vscode.l10n.t('This is the time now: change it where the dump was read earlier.'))
        : [],
      early ?? [],
      vscode.l10n.t(
        'Day and time by the clock of this computer ({0}), such as {1} or {2}. It tells which of two dumps was read first.',
        zoneAt(now),
        ...examples,
      ),
    ]
      .flat()
      .join(' '),
    value: offer?.written ?? localTime(now, true),
    ignoreFocusOut: true,
    check: async (text) => {
      const time = kept(text);
      if (time === undefined)
        return {
          says: vscode.l10n.t('This is no day and time. Write it such as {0} or {1}.', ...examples),
          takes: false,
        };
      const tooEarly = offer?.early ?? whyTooEarly(time, before);
      if (tooEarly !== undefined) return { says: tooEarly, takes: true };
      const moment = localMoment(text);
      return moment && { says: vscode.l10n.t('Kept as {0} ({1} here)', time, zoneAt(moment)), takes: true };
    },
  });
  return written === undefined ? undefined : kept(written);
}

/** That a time is not after another reading, so that what was read then does not count as read back; undefined where it is. */
export function whyTooEarly(time: string | undefined, before: ReadBefore | undefined): string | undefined {
  const at = time === undefined ? undefined : readIsoTime(time);
  if (before === undefined || at === undefined || at > before.taken.first) return undefined;
  return vscode.l10n.t(
    '{0} was read at {1}: what was read before that does not count as read back.',
    before.name,
    localTime(new Date(before.taken.first)),
  );
}

/** The same of a row that says when a dump was read, which its "@taken" does not alter. */
function whyRowTooEarly(rows: readonly NamedTime[], before: ReadBefore | undefined): string | undefined {
  const against = before && rowAgainstOrder({ rows, taken: undefined }, before);
  if (before === undefined || against === undefined) return undefined;
  const at = (against.row.row ?? 0) + 1;
  if (!against.isKnown)
    return vscode.l10n.t(
      'Row {0} of the dump ({1}) does not tell when it was read, so it proves nothing.',
      at,
      against.row.written,
    );
  return vscode.l10n.t(
    'Row {0} of the dump says {1}, which is not after {2} ({3}): it does not count as read back.',
    at,
    against.row.written,
    before.name,
    rowOfReading(before)?.written ?? localTime(new Date(before.taken.first)),
  );
}

function kept(written: string): string | undefined {
  const text = written.trim();
  const moment = localMoment(text);
  if (moment !== undefined) return asKept(moment, saysSeconds(text));
  return /^\d{4}-\d\d-\d\d(?:T.*(?:Z|[+-]\d\d:?\d\d))?$/i.test(text) && readIsoTime(text) !== undefined
    ? text
    : undefined;
}
