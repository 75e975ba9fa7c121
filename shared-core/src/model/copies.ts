import { type Phrase, phrase } from '../base/phrase.js';
import { bytesInCopy, sharedBytes, sizeOf } from '../profile/copiedPlaces.js';
import type { Copies, Place } from '../profile/profile.js';
import type { ByteWrite } from './byteWrite.js';
import { type Cell, cellKey, placeCells } from './cell.js';
import type { Dump } from './dump.js';
import { calledLine } from './lineName.js';
import { bytesOfPlace, type Protected, protectedPlaces } from './protected.js';
import { byteAt } from './totals.js';

type Readable = Pick<Dump, 'rows' | 'layout' | 'profile' | 'notation'>;

/** What a dump holds for one byte of copies: in each place its cell and its value, undefined where that cannot be read. */
export interface CopiedByte {
  /** Which byte of each place it is, from 0. */
  readonly at: number;
  readonly cells: readonly (Cell | undefined)[];
  /** As the first place would hold them, so that inverted copies compare with it. */
  readonly values: readonly (number | undefined)[];
}

/** All bytes of copies; those that change by themselves in the module change in all places together. */
export function readCopies(dump: Readable, copies: Copies): readonly CopiedByte[] {
  const cells = copies.places.map((runs) => runs.flatMap((run) => placeCells(dump.layout, run)));
  return Array.from({ length: sizeOf(copies) }, (_, at) => {
    const own = cells.map((place) => place[at]);
    const values = own.map((cell, copy) => cell && inFirst(copies, copy, byteAt(dump.rows, cell)));
    return { at, cells: own, values };
  });
}

/** A byte of a copy as the first place would hold it, and the other way round. */
function inFirst({ isInverted }: Copies, copy: number, value: number | undefined): number | undefined {
  return isInverted && copy > 0 && value !== undefined ? value ^ 0xff : value;
}

/** Whether what can be read of a byte is the same in all places. */
export function doesAgree({ values }: CopiedByte): boolean {
  const known = values.filter((value) => value !== undefined);
  return known.every((value) => value === known[0]);
}

/** The value that more than half of the places hold; undefined where there is none. */
function majorityOf({ values }: CopiedByte): number | undefined {
  return values.find(
    (value) => value !== undefined && 2 * values.filter((one) => one === value).length > values.length,
  );
}

/** What people call bytes of one of the copies. */
export function byteOfCopy(
  dump: Parameters<typeof calledLine>[0],
  { places }: Copies,
  copy: number,
  at: number,
  count = 1,
): Phrase {
  const runs = bytesInCopy(places[copy] ?? [], at, count);
  const [first, last] = [runs[0], runs.at(-1)];
  if (first === undefined || last === undefined) return phrase('');
  return first.kind === 'line' && last.kind === 'line' && first.line !== last.line
    ? phrase('Lines {0} to {1}', calledLine(dump, first.line), calledLine(dump, last.line))
    : bytesOfPlace(first, 0, first.count, dump);
}

/** Writes with those that change the same bytes in all other places; what is written there anyway stays as it is. */
export function withCopies(dump: Readable, writes: readonly ByteWrite[]): readonly ByteWrite[] {
  if (dump.profile.copies.length === 0) return writes;
  const given = new Map(writes.map((write) => [cellKey(write), write.value]));
  const copied = dump.profile.copies.flatMap((copies) =>
    readCopies(dump, copies).flatMap(({ cells, values }): readonly ByteWrite[] => {
      const wanted = cells.map((cell, copy) => cell && inFirst(copies, copy, given.get(cellKey(cell))));
      const from = wanted.findIndex((value, copy) => value !== undefined && value !== values[copy]);
      const value = wanted[from];
      if (value === undefined) return [];
      return cells.flatMap((cell, copy) =>
        cell === undefined || given.has(cellKey(cell))
          ? []
          : [{ ...cell, value: inFirst(copies, copy, value) ?? value, reason: 'copy' as const }],
      );
    }),
  );
  return [...writes, ...copied];
}

/** Bytes that hold what another byte holds, as it is or inverted. */
export interface TiedCells {
  readonly same: readonly Cell[];
  readonly inverted: readonly Cell[];
}

/** For each byte of copies, by its key: the bytes that hold the same in the other places. */
export function tiedCells(dump: Readable): ReadonlyMap<number, TiedCells> {
  const tied = new Map<number, TiedCells>();
  for (const copies of dump.profile.copies) {
    for (const { cells } of readCopies(dump, copies)) {
      for (const [copy, cell] of cells.entries()) {
        if (cell === undefined) continue;
        const isTurned = (other: number) => copies.isInverted && other > 0 !== copy > 0;
        const others = [...cells.entries()].flatMap(([i, at]) => (at === undefined || i === copy ? [] : [{ i, at }]));
        tied.set(cellKey(cell), {
          same: others.filter(({ i }) => !isTurned(i)).map(({ at }) => at),
          inverted: others.filter(({ i }) => isTurned(i)).map(({ at }) => at),
        });
      }
    }
  }
  return tied;
}

/** Bytes with all that hold the same. */
export function withTied(dump: Readable, cells: readonly Cell[], tied = tiedCells(dump)): readonly Cell[] {
  if (tied.size === 0) return cells;
  return cells.flatMap((cell) => {
    const { same = [], inverted = [] } = tied.get(cellKey(cell)) ?? {};
    return [cell, ...same, ...inverted];
  });
}

/** The first byte in which copies that share one with a place do not agree, or cannot all be read; undefined where they do. */
export function copiesInDoubt(dump: Readable, places: readonly Place[]): Phrase | undefined {
  if (dump.profile.copies.length === 0) return undefined;
  for (const copies of dump.profile.copies) {
    if (!places.some((place) => sharedBytes(copies, place).length > 0)) continue;
    const found = readCopies(dump, copies).find((byte) => !doesAgree(byte) || byte.values.includes(undefined));
    if (found !== undefined) return whyInDoubt(dump, copies, found);
  }
  return undefined;
}

function whyInDoubt(dump: Readable, copies: Copies, byte: CopiedByte): Phrase {
  const unread = byte.values.indexOf(undefined);
  if (unread >= 0)
    return phrase(
      'The copies "{0}" cannot all be read ({1}), so they cannot be kept the same. Correct that first.',
      copies.name,
      byteOfCopy(dump, copies, unread, byte.at),
    );
  const apart = [copies.name, byteOfCopy(dump, copies, differing(byte), byte.at)] as const;
  switch (keptAsIs(dump, byte)) {
    case undefined:
      return phrase(
        'The copies "{0}" do not agree ({1}), so nobody can tell which is right. First make them the same: the editor has quick fixes for that at this byte.',
        ...apart,
      );
    case 'volatile':
      return phrase(
        'The copies "{0}" do not agree ({1}), and the module changes that byte by itself, so it is not written here. Restore its line from the backup of this dump, where they agree there, or let the module write its copies and read the module again.',
        ...apart,
      );
    default:
      return phrase(
        'The copies "{0}" do not agree ({1}), and that byte may only go back to what the sealed backup of this dump holds. Restore its line from there, where they agree in it, or read the module again.',
        ...apart,
      );
  }
}

/** What keeps a byte of copies from being written, where something does: then no fix can make the copies the same. */
function keptAsIs({ layout, profile }: Readable, { cells }: CopiedByte): Protected['kind'] | undefined {
  const keys = new Set(cells.flatMap((cell) => (cell === undefined ? [] : cellKey(cell))));
  return protectedPlaces(profile).find(({ place }) =>
    placeCells(layout, place).some((cell) => cell && keys.has(cellKey(cell))),
  )?.kind;
}

/** The first place that holds another value than the first one, or than most. */
function differing(byte: CopiedByte): number {
  const right = majorityOf(byte) ?? byte.values[0];
  return byte.values.findIndex((value) => value !== right);
}

/**
 * Why a change cannot be written that leaves bytes of copies different: the first one that changes and does not agree
 * afterwards. Bytes may go back to what the dump's `own` sealed backup holds, whatever that is.
 */
export function whyCopiesDiffer(before: Dump, after: Dump, own: Dump | undefined): Phrase | undefined {
  for (const copies of after.profile.copies) {
    const [was, kept] = [readCopies(before, copies), own === undefined ? [] : readCopies(own, copies)];
    const [old, back] = [byIndex(was), byIndex(kept)];
    for (const byte of readCopies(after, copies)) {
      const then = old.get(byte.at);
      const changed = byte.values.flatMap((value, copy) => (value !== then?.values[copy] ? [copy] : []));
      if (changed.length === 0 || changed.every((copy) => byte.values[copy] === back.get(byte.at)?.values[copy]))
        continue;
      // A line that is put back changes nothing that can be read; where one is still missing, no other byte may change.
      const isRewritten = changed.some((copy) => then?.values[copy] !== undefined);
      if (doesAgree(byte) && !(isRewritten && byte.values.includes(undefined))) continue;
      if (then !== undefined && (!doesAgree(then) || then.values.includes(undefined)))
        return whyInDoubt(before, copies, then);
      return phrase(
        '{0} is a copy ("{1}") and would no longer be the same as the others after this change.',
        byteOfCopy(after, copies, differing(byte), byte.at),
        copies.name,
      );
    }
  }
  return undefined;
}

function byIndex(bytes: readonly CopiedByte[]): ReadonlyMap<number, CopiedByte> {
  return new Map(bytes.map((byte) => [byte.at, byte]));
}

/** Bytes of one place that follow each other in a row and are not what others hold. */
export interface CopyDifference {
  readonly cells: readonly [Cell, ...Cell[]];
  /** Which of the places it is, and which byte of it is the first, both from 0. */
  readonly copy: number;
  readonly at: number;
  /** What the other hold, as this place would hold it. */
  readonly right: readonly number[];
  /** The first place that holds it, and how many do. */
  readonly from: number;
  readonly agreeing: number;
  /** Whether most places hold the other value, and a majority says what is right. */
  readonly isMinority: boolean;
}

/** Where copies differ: from what most of them hold where a majority counts, else from the first place. */
export function copyDifferences(dump: Readable, copies: Copies): readonly CopyDifference[] {
  const single = readCopies(dump, copies).flatMap((byte) => (doesAgree(byte) ? [] : differencesIn(copies, byte)));
  const found: CopyDifference[] = [];
  for (const copy of copies.places.keys()) {
    for (const one of single) {
      if (one.copy !== copy) continue;
      const last = found.at(-1);
      if (last !== undefined && isNext(last, one))
        found.splice(-1, 1, { ...last, cells: [...last.cells, one.cells[0]], right: [...last.right, ...one.right] });
      else found.push(one);
    }
  }
  return found;
}

function differencesIn(copies: Copies, byte: CopiedByte): readonly CopyDifference[] {
  const { at, cells, values } = byte;
  const majority = copies.byMajority ? majorityOf(byte) : undefined;
  const wanted = majority ?? values.find((value) => value !== undefined);
  return cells.flatMap((cell, copy) => {
    const right = inFirst(copies, copy, wanted);
    if (cell === undefined || right === undefined || values[copy] === undefined || values[copy] === wanted) return [];
    const agreeing = values.filter((value) => value === wanted).length;
    const from = values.indexOf(wanted);
    return [{ cells: [cell], copy, at, right: [right], from, agreeing, isMinority: majority !== undefined } as const];
  });
}

function isNext(last: CopyDifference, one: CopyDifference): boolean {
  const [cell, next] = [last.cells.at(-1), one.cells[0]];
  return (
    last.copy === one.copy &&
    last.at + last.cells.length === one.at &&
    cell?.row === next.row &&
    cell.byte + 1 === next.byte &&
    last.from === one.from &&
    last.agreeing === one.agreeing &&
    last.isMinority === one.isMinority
  );
}

/** Writes that give all places of copies the bytes of one of them, from byte `at` on; undefined where it cannot be read. */
export function copiedFrom(
  dump: Readable,
  copies: Copies,
  from: number,
  at = 0,
  count = sizeOf(copies),
): readonly ByteWrite[] | undefined {
  const bytes = readCopies(dump, copies).filter((byte) => byte.at >= at && byte.at < at + count);
  if (bytes.some(({ values }) => values[from] === undefined)) return undefined;
  return bytes.flatMap(({ cells, values }) =>
    cells.flatMap((cell, copy) => {
      const value = inFirst(copies, copy, values[from]);
      const isRight = cell === undefined || value === undefined || values[copy] === values[from];
      return isRight ? [] : [{ ...cell, value, reason: 'copy' as const }];
    }),
  );
}

/** The places that hold the same byte as a cell, and the copies that it is one of. */
export function copiesAt(
  dump: Readable,
  cell: Cell,
): readonly { readonly copies: Copies; readonly copy: number; readonly byte: CopiedByte }[] {
  return dump.profile.copies.flatMap((copies) =>
    readCopies(dump, copies).flatMap((byte) => {
      const copy = byte.cells.findIndex((one) => one !== undefined && cellKey(one) === cellKey(cell));
      return copy < 0 ? [] : [{ copies, copy, byte }];
    }),
  );
}
