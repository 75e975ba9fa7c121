import { hex } from '../base/hex.js';
import type { Steps } from '../base/steps.js';
import { type GatheredBytes, noBytes } from '../image/imageBytes.js';
import { newImage } from '../image/imageState.js';
import { spanAt } from '../model/byAddress.js';
import { joinedRanges } from '../profile/places.js';
import type { AddressRange } from '../profile/profile.js';
import { type ImageFile, passInSteps } from './imageScan.js';

/** The bytes of a memory image of any size, to be looked at a page at a time. */
export interface ImageBytesView {
  /** Addresses that follow each other without a gap, in rising order. */
  readonly regions: readonly AddressRange[];
  /** Lines of 16 addresses that hold anything. */
  readonly lines: number;
  /** The line that holds an address, or else the next one that holds anything; the last one behind all. */
  readonly lineOf: (address: number) => number;
  /** Lines as people read them: address, bytes, and what these are as ASCII. */
  readonly text: (firstLine: number, count: number) => string;
  /** The bytes of a region; undefined where some of them cannot be read. */
  readonly bytesOf: (region: AddressRange) => Uint8Array | undefined;
}

const WIDTH = 16;

/**
 * Reads the bytes of a file; where several records hold an address, the one that begins lower counts. Undefined where only
 * all rows together tell what it holds.
 */
export function* readImageBytes(file: ImageFile): Steps<ImageBytesView | undefined> {
  const bytes = noBytes(file.size);
  const { asked } = yield* passInSteps(file, newImage(file.notation, undefined, bytes), {});
  if (asked !== undefined) return undefined;
  const regions = joinedRanges(bytes.runs.map(({ address, count }) => ({ from: address, to: address + count - 1 })));
  const held = joinedRanges(
    regions.map(({ from, to }) => ({ from: Math.floor(from / WIDTH), to: Math.floor(to / WIDTH) })),
  );
  const lines = held.reduce((sum, { from, to }) => sum + to - from + 1, 0);
  const digits = (regions.at(-1)?.to ?? 0) > 0xffff ? 8 : 4;
  const spans = disjointSpans(bytes);
  const isUnread = ({ from, to }: AddressRange) =>
    bytes.unread.some(({ address, count }) => address <= to && address + count > from);
  const byteAt = (address: number) => {
    const span = spanAt(spans, address);
    return span === undefined || isUnread({ from: address, to: address })
      ? undefined
      : bytes.store[span.from + address - span.address];
  };
  return {
    regions,
    lines,
    lineOf: (address) => Math.min(lines - 1, linesBefore(held, Math.floor(address / WIDTH))),
    text: (firstLine, count) =>
      Array.from({ length: Math.max(0, Math.min(count, lines - firstLine)) }, (_, i) =>
        lineText(byteAt, lineAt(held, firstLine + i) * WIDTH, digits),
      ).join('\n'),
    bytesOf: (region) => (isUnread(region) ? undefined : bytesWithin(bytes.store, spans, region)),
  };
}

/** How many held lines lie before one. */
function linesBefore(held: readonly AddressRange[], line: number): number {
  return held.reduce((sum, { from, to }) => sum + Math.max(0, Math.min(line, to + 1) - from), 0);
}

/** The number of the held line at an index. */
function lineAt(held: readonly AddressRange[], index: number): number {
  let left = index;
  for (const { from, to } of held) {
    if (left <= to - from) return from + left;
    left -= to - from + 1;
  }
  return 0;
}

function lineText(byteAt: (address: number) => number | undefined, address: number, digits: number): string {
  const bytes = Array.from({ length: WIDTH }, (_, i) => byteAt(address + i));
  const shown = bytes.map((byte) => (byte === undefined ? '  ' : hex(byte)));
  const letters = bytes.map((byte) =>
    byte === undefined ? ' ' : byte >= 0x20 && byte < 0x7f ? String.fromCharCode(byte) : '.',
  );
  return `${hex(address, digits)}  ${shown.slice(0, 8).join(' ')}  ${shown.slice(8).join(' ')}  ${letters.join('')}`;
}

interface Span {
  readonly address: number;
  readonly count: number;
  /** Where its bytes stand in the store. */
  readonly from: number;
}

function disjointSpans({ runs }: GatheredBytes): readonly Span[] {
  const spans: Span[] = [];
  let reached = 0;
  for (const run of [...runs].sort((a, b) => a.address - b.address)) {
    const address = Math.max(run.address, reached);
    const end = run.address + run.count;
    if (address >= end) continue;
    spans.push({ address, count: end - address, from: run.from + address - run.address });
    reached = end;
  }
  return spans;
}

function bytesWithin(store: Uint8Array, spans: readonly Span[], { from, to }: AddressRange): Uint8Array {
  const bytes = new Uint8Array(to - from + 1);
  for (const span of spans) {
    if (span.address >= from && span.address <= to)
      bytes.set(store.subarray(span.from, span.from + span.count), span.address - from);
  }
  return bytes;
}
