import { numberOf } from '../base/number.js';
import type { Row } from '../format/row.js';
import type { Profile, Slots } from '../profile/profile.js';
import { profileInForce } from '../profile/slotPlaces.js';
import { type Cell, placeCells } from './cell.js';
import { type Layout, labelOfRow } from './layout.js';
import { byteAt, isInDoubt } from './totals.js';

interface Readable {
  readonly rows: readonly Row[];
  readonly layout: Layout;
}

/** What one slot of a dump holds. */
export interface SlotReading {
  /** Which slot it is, from 0. */
  readonly slot: number;
  /**
   * A record that was written whole, one that was not, no record (all bytes are 00, or all are FF), or bytes that cannot
   * be read.
   */
  readonly kind: 'sound' | 'torn' | 'empty' | 'unread';
  /** The number that rises with each record. */
  readonly number: number;
  /** The check that is stored, and that of the bytes that are there. */
  readonly stored: bigint;
  readonly computed: bigint;
}

/** Which slot is in force, from 0, or why nobody can tell. */
export type InForce =
  | { readonly slot: number }
  | {
      readonly slot: undefined;
      readonly why: 'none' | 'tied' | 'apart' | 'unread' | 'empty';
      readonly slots: readonly number[];
    };

/** What each slot holds. */
export function readSlots(dump: Readable, slots: Slots): readonly SlotReading[] {
  return slots.places.map((_, slot) => readSlot(dump, slots, slot));
}

function readSlot(dump: Readable, slots: Slots, slot: number): SlotReading {
  const bytes = isTwice(dump, slots, slot)
    ? [undefined]
    : cellsOfSlot(dump, slots, slot).map((cell) => readableByte(dump, cell));
  const known = bytes.filter((byte) => byte !== undefined);
  const { sequence, check } = slots;
  if (known.length < bytes.length) return { slot, kind: 'unread', number: 0, stored: 0n, computed: 0n };
  const width = Math.ceil(check.checksum.bits / 8);
  const part = (from: number, count: number) => Uint8Array.from(known.slice(from, from + count));
  const number = Number(numberOf(part(sequence.offset, sequence.bytes), sequence.order));
  const stored = numberOf(part(check.offset, width), check.order);
  const covered = [...known.slice(0, check.offset), ...known.slice(check.offset + width)];
  const computed = check.checksum.valueOf(check.checksum.stateOf(Uint8Array.from(covered)));
  const isEmpty = (known[0] === 0 || known[0] === 0xff) && known.every((byte) => byte === known[0]);
  const kind = isEmpty ? 'empty' : stored === computed ? 'sound' : 'torn';
  return { slot, kind, number, stored, computed };
}

/** Whether a line of a slot, or some address of the image, is there twice. */
function isTwice({ layout, rows }: Readable, { places }: Slots, slot: number): boolean {
  if (layout.imageProblems.some(({ code }) => code === 'overlap')) return true;
  const twice = new Set(layout.repeated.map((row) => labelOfRow(rows[row])));
  return (places[slot] ?? []).some((run) => run.kind === 'line' && twice.has(run.line));
}

function readableByte({ rows }: Readable, cell: Cell | undefined): number | undefined {
  return cell === undefined || isInDoubt(rows[cell.row]) ? undefined : byteAt(rows, cell);
}

/** The bytes of a slot; undefined for each that the dump does not have. */
export function cellsOfSlot(
  { layout }: Pick<Readable, 'layout'>,
  { places }: Slots,
  slot: number,
): readonly (Cell | undefined)[] {
  return (places[slot] ?? []).flatMap((run) => placeCells(layout, run));
}

/**
 * The slot that holds the newest sound record. Numbers go round, so of two of them the newer one is ahead of the other by
 * less than half of all numbers (RFC 1982). Where a slot cannot be read, nobody can tell that it is not the newest.
 */
export function slotInForce(slots: Slots, all: readonly SlotReading[]): InForce {
  const unread = all.filter(({ kind }) => kind === 'unread');
  if (unread.length > 0) return inDoubt('unread', unread);
  const round = roundOf(slots);
  const ahead = (one: SlotReading, other: SlotReading) => aheadOf(one, other, round);
  const sound = all.filter(({ kind }) => kind === 'sound');
  if (sound.length === 0) return inDoubt('none', []);
  const newest = sound.filter((one) => sound.every((other) => ahead(one, other) < round / 2));
  const [found] = newest;
  if (found === undefined) return inDoubt('apart', sound);
  if (newest.length > 1) return inDoubt('tied', newest);
  // A record whose bytes are all the same could be just the one that follows.
  const next = all.filter((one) => one.kind === 'empty' && one.stored === one.computed && isNext(slots, one, found));
  return next.length > 0 ? inDoubt('empty', [found, ...next]) : { slot: found.slot };
}

/** Whether the number of one slot is the one that follows that of another; numbers go round. */
export function isNext(slots: Slots, one: SlotReading, other: SlotReading): boolean {
  const round = roundOf(slots);
  return aheadOf(one, other, round) === 1 % round;
}

function roundOf({ sequence }: Slots): number {
  return 2 ** (8 * sequence.bytes);
}

function aheadOf(one: SlotReading, other: SlotReading, round: number): number {
  return (one.number - other.number + round) % round;
}

function inDoubt(why: 'none' | 'tied' | 'apart' | 'unread' | 'empty', slots: readonly SlotReading[]): InForce {
  return { slot: undefined, why, slots: slots.map(({ slot }) => slot) };
}

/** A profile with the slots in force that the bytes of a dump say: the same one where they are those it has. */
export function inForceIn(dump: Readable, profile: Profile): Profile {
  if (profile.slots.length === 0) return profile;
  return profileInForce(
    profile,
    profile.slots.map((slots) => slotInForce(slots, readSlots(dump, slots)).slot),
  );
}
