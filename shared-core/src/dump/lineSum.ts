import { bytesOfNumber } from '../bytes/number.js';
import type { Checksum } from '../checksum/checksum.js';
import type { Notation } from '../notation/notation.js';
import { bytesOf, type RecordRow } from '../notation/row.js';
import type { LineSum, Profile } from '../profile/profile.js';

/** How the lines of a dump are summed. */
export interface LineSumRule {
  readonly checksum: Checksum;
  /** Bytes of a stored sum, the last ones of each record. */
  readonly width: number;
  /** A finished sum as the bytes that a line stores. */
  readonly bytesOfValue: (value: bigint) => Uint8Array;
  /** All bytes that the sum of a record covers. */
  readonly runOf: (row: RecordRow) => LineRun;
}

export interface LineRun {
  readonly bytes: Uint8Array;
  /** Where the record's data bytes begin in the run. */
  readonly dataAt: number;
}

/** A line's own sum: the bytes stored in the line and the bytes they should be. */
export interface LineSumReading {
  readonly stored: Uint8Array;
  readonly computed: Uint8Array;
}

/** The rule by which a dump's lines are summed, or undefined where they have no sum that is known. */
export function lineSumRule(profile: Profile, _notation: Notation): LineSumRule | undefined {
  const { lineSum, geometry } = profile;
  if (lineSum === undefined || geometry?.kind !== 'lines' || geometry.sum === 0) return undefined;
  const width = geometry.sum;
  return {
    checksum: lineSum.checksum,
    width,
    bytesOfValue: (value) => bytesOfNumber(value, width, lineSum.order),
    runOf: (row) => concatenate(lineSum, profile.module ?? 0, row, bytesOf(row, 0, row.count - width)),
  };
}

export function readLineSum(rule: LineSumRule, row: RecordRow): LineSumReading {
  return { stored: bytesOf(row, row.count - rule.width), computed: computeLineSum(rule, row) };
}

export function computeLineSum(rule: LineSumRule, row: RecordRow): Uint8Array {
  return rule.bytesOfValue(rule.checksum.valueOf(rule.checksum.stateOf(rule.runOf(row).bytes)));
}

/** The parts of a line that its sum covers, in the order in which the profile names them. */
function concatenate({ over, labelBytes }: LineSum, module: number, row: RecordRow, data: Uint8Array): LineRun {
  const run: number[] = [];
  let dataAt = 0;
  for (const part of over) {
    if (part === 'data') {
      dataAt = run.length;
      for (const byte of data) run.push(byte);
    } else if (part === 'length') run.push(data.length & 0xff);
    else if (part === 'module') run.push((module >> 8) & 0xff, module & 0xff);
    else run.push(...bytesOfNumber(BigInt(Number(row.label)), labelBytes, 'big'));
  }
  return { bytes: Uint8Array.from(run), dataAt };
}
