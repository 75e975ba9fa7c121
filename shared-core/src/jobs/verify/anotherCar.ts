import { type Phrase, phrase } from '../../base/phrase.js';
import { type ByteDifference, type Comparison, compareDumps, type LineDifference } from '../../compare/compareDumps.js';
import { cellsOfOption } from '../../model/cell.js';
import { type Dump, readBy } from '../../model/dump.js';
import { headerValue } from '../../model/headers.js';
import { anotherInWords, otherIdentity } from '../../model/identity.js';
import { readOption, shownValue } from '../../model/optionReading.js';
import { isForComparison } from '../../model/useHeader.js';
import { namesVehicle, otherVehicle } from '../../model/vehicle.js';
import { statedBy, timeOf } from '../record/timeline.js';
import { lineSumHolds } from './cause.js';

/** A dump that is kept beside the plan, under its name. */
export interface DumpBeside {
  readonly name: string;
  readonly dump: Dump;
}

/** The dumps that are kept beside a plan, for whoever has to look at them. */
export type Others = () => readonly DumpBeside[];

/** What tells that a reading is of another vehicle, module or software level than the plan. */
export interface Origin {
  /** Why it probably is. */
  readonly foreign?: Phrase | undefined;
  /** Why it may be; nothing where it probably is. */
  readonly doubt?: Phrase | undefined;
}

/** More lines than these, no module changes by itself between two readings without anyone wondering. */
const MOST_BY_ITSELF = 2;

/** Nor more bytes of data than these, where every sum of what was read fits: no byte was read wrongly then. */
const MOST_BYTES_BY_ITSELF = 4;

/** A dump beside the plan is nearly what was read where so many times more differs from the plan. */
const NEARER = 3;

/**
 * Where a reading is probably from, as far as that is not the module of the plan; `wrong` are its lines other than planned.
 * The `others` are only asked for where they may tell.
 */
export function originOf(
  {
    planned,
    read,
    found,
    work,
    sumsFit,
  }: {
    readonly planned: Dump;
    readonly read: Dump;
    /** The backup of the plan. */
    readonly found: Dump | undefined;
    readonly work: Comparison | undefined;
    /** Whether the sums in what was read fit. */
    readonly sumsFit: boolean;
  },
  { guarded }: Comparison,
  wrong: readonly LineDifference[],
  others: Others,
): Origin {
  const identity = otherIdentity(planned, read);
  if (identity !== undefined)
    return {
      foreign: phrase(
        'What was read is of {0}: "@{1}" is "{2}" in the plan and "{3}" there.',
        anotherInWords(identity[0]),
        ...identity,
      ),
    };
  const ofBackup = found && otherIdentity(found, read);
  if (ofBackup !== undefined)
    return {
      foreign: phrase(
        'What was read is of {0}: "@{1}" is "{2}" in the backup and "{3}" there.',
        anotherInWords(ofBackup[0]),
        ...ofBackup,
      ),
    };
  const touched = new Set(work?.lines.map(({ label }) => label));
  const beyond = wrong.filter((line) => !touched.has(line.label) && isSound(read, line));
  const twin = twinOf(planned, read, beyond, others);
  if (twin !== undefined) return twin;
  const other = guarded.find(({ before, after }) => [...before, ...after].every((byte) => byte !== undefined));
  if (other !== undefined)
    return {
      foreign: phrase(
        '{0} differs, which no work changes ({1}): probably another vehicle, module or software level.',
        other.bytes,
        other.name,
      ),
    };
  if (wrong.length > 3 && wrong.length * 2 > read.layout.order.length)
    return {
      foreign: phrase('More than half of the lines differ: probably another vehicle, module or software level.'),
    };
  // Of a dump that is to be as its backup again, the module may still hold all that was written earlier.
  const isWayBack = work !== undefined && touched.size === 0;
  const text = sumsFit && !isWayBack ? otherText(planned, read, beyond) : undefined;
  if (text !== undefined) return { foreign: text };
  if (isWayBack) return {};
  if (beyond.length <= MOST_BY_ITSELF) {
    const bytes = beyond.reduce((all, line) => all + dataOf(line), 0);
    return sumsFit && bytes > MOST_BYTES_BY_ITSELF
      ? { doubt: phrase('{0} bytes differ that the work does not touch, and all sums fit.', bytes) }
      : {};
  }
  return {
    doubt:
      work === undefined
        ? phrase('{0} lines differ, and nothing is wrong with their sums.', beyond.length)
        : phrase('{0} lines differ that the work does not touch, and nothing is wrong with their sums.', beyond.length),
  };
}

/** A text, such as a serial number, that no work touches and that is another one in what was read. */
function otherText(planned: Dump, read: Dump, beyond: readonly LineDifference[]): Phrase | undefined {
  const rows = new Set(beyond.map(({ afterRow }) => afterRow));
  for (const option of read.profile.options) {
    if (option.meaning.kind !== 'text') continue;
    if (!cellsOfOption(read.layout, option).some((cell) => rows.has(cell.row))) continue;
    const [was, now] = [readOption(planned, option), readOption(read, option)];
    if (was === undefined || now === undefined || was.raw === now.raw) continue;
    return phrase(
      '{0} is {1} in what was read and {2} in the plan, and its sums fit: probably another module.',
      option.title,
      shownValue(option, now.raw),
      shownValue(option, was.raw),
    );
  }
  return undefined;
}

/** Whether data of a line differ, and its sum does not speak against them. */
function isSound(read: Dump, line: LineDifference): boolean {
  return dataOf(line) > 0 && lineSumHolds(read, line.afterRow) !== false;
}

/** How many bytes of data differ that do not change by themselves. */
function dataOf({ bytes }: LineDifference): number {
  return bytes.filter((one) => !one.volatile && !isSum(one)).length;
}

function isSum({ reason }: ByteDifference): boolean {
  return reason === 'line-sum' || reason === 'total';
}

/** The dump beside the plan, of another vehicle or only to compare with, that a reading is a copy of, or nearly so. */
function twinOf(planned: Dump, read: Dump, beyond: readonly LineDifference[], others: Others): Origin | undefined {
  const fromPlan = beyond.reduce((all, line) => all + dataOf(line), 0);
  if (fromPlan === 0) return undefined;
  const near = others().flatMap((other) => {
    const vehicle = otherVehicle(planned, other.dump) ? otherIdentity(planned, other.dump) : undefined;
    if (vehicle === undefined && !isForComparison(other.dump)) return [];
    const found = compareDumps(readBy(other.dump, planned.profile), read);
    // Dumps of which one holds more are no copies of each other.
    if (found.onlyBefore.length + found.onlyAfter.length + found.uncompared.length + found.unplaced > 0) return [];
    const bytes = found.lines.reduce((all, line) => all + line.bytes.filter((one) => !isSum(one)).length, 0);
    return bytes * NEARER <= fromPlan ? { ...other, vehicle, bytes } : [];
  });
  const [nearest] = near.sort((a, b) => a.bytes - b.bytes);
  if (nearest === undefined) return undefined;
  const { name, vehicle, bytes } = nearest;
  if (vehicle === undefined)
    return {
      doubt:
        bytes === 0
          ? phrase('it is byte for byte {0}, which is only here to compare with.', name)
          : phrase(
              'it is nearly {0}, which is only here to compare with: {1}, and {2} from the plan.',
              name,
              differing(bytes),
              bytesInWords(fromPlan),
            ),
    };
  return {
    foreign:
      bytes === 0
        ? phrase(
            'What was read is byte for byte {0}, which is of another car ("@{1}" is "{2}" in the plan and "{3}" there).',
            name,
            ...vehicle,
          )
        : phrase(
            'What was read is nearly {0}, which is of another car ("@{1}" is "{2}" in the plan and "{3}" there): {4}, and {5} from the plan.',
            name,
            ...vehicle,
            differing(bytes),
            bytesInWords(fromPlan),
          ),
  };
}

function differing(bytes: number): Phrase {
  return bytes === 1 ? phrase('1 byte differs') : phrase('{0} bytes differ', bytes);
}

function bytesInWords(bytes: number): Phrase {
  return bytes === 1 ? phrase('1 byte') : phrase('{0} bytes', bytes);
}

/** That nothing says when what was read was read, or from which vehicle, where the plan says that. */
export function originUnsaid(planned: Dump, read: Dump): readonly Phrase[] {
  const isDated = timeOf({ dump: read }) !== undefined;
  return [
    ...(isDated
      ? []
      : [
          statedBy({ dump: read }).rows.some(({ isOfReading }) => isOfReading)
            ? phrase('"@taken" is missing in what was read, so nothing is noted of it.')
            : phrase('What was read does not say when it was read, so it may be from before the work.'),
        ]),
    ...(namesVehicle(read) || (isDated && !namesVehicle(planned))
      ? []
      : [phrase('{0} does not say of which vehicle it is.', phrase('What was read'))]),
  ];
}

/** What only the reading says of its part and software: neither plan nor backup can tell whether it is so. */
export function identityUnsaid(planned: Dump, found: Dump | undefined, read: Dump): readonly Phrase[] {
  return (['part', 'software'] as const).flatMap((name) => {
    const said = headerValue(read, name);
    const isSaid = [planned, found].some((one) => one !== undefined && headerValue(one, name) !== undefined);
    return said === undefined || isSaid
      ? []
      : [phrase('What was read says "@{0}" {1}, which neither the plan nor the backup says.', name, said)];
  });
}
