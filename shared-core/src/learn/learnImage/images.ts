/** Images of one kind: the same addresses, each with bytes of its own, written one after the other without the gaps. */
export interface Images {
  readonly names: readonly string[];
  /** Of each image its bytes, all as many. */
  readonly bytes: readonly Uint8Array[];
  readonly length: number;
  /** Stretches of addresses without a gap, in rising order. */
  readonly segments: readonly Segment[];
}

export interface Segment {
  readonly address: number;
  /** Where its bytes begin in those of an image. */
  readonly from: number;
  readonly count: number;
}

/** Bytes of one image at an address. */
export interface PlacedBytes {
  readonly address: number;
  readonly bytes: Uint8Array;
}

export interface ImageToLearn {
  readonly name: string;
  readonly parts: readonly PlacedBytes[];
}

/** The images that have the addresses of most of them, and the names of the others. */
export function imagesAlike(given: readonly ImageToLearn[]): {
  readonly images: Images;
  readonly others: readonly string[];
} {
  const groups = new Map<string, { readonly segments: readonly Segment[]; readonly list: ImageToLearn[] }>();
  for (const image of given) {
    const segments = segmentsOf(image.parts);
    const key = segments.map(({ address, count }) => `${address} ${count}`).join(',');
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { segments, list: [image] });
    else group.list.push(image);
  }
  const [best] = [...groups.values()].sort((a, b) => b.list.length - a.list.length);
  const { segments, list } = best ?? { segments: [], list: [] };
  const length = segments.reduce((sum, { count }) => sum + count, 0);
  return {
    images: { names: list.map(({ name }) => name), bytes: list.map((one) => gathered(one, length)), length, segments },
    others: given.filter((one) => !list.includes(one)).map(({ name }) => name),
  };
}

function segmentsOf(parts: readonly PlacedBytes[]): readonly Segment[] {
  const found: { address: number; from: number; count: number }[] = [];
  let from = 0;
  for (const { address, bytes } of sorted(parts)) {
    const last = found.at(-1);
    if (last !== undefined && last.address + last.count === address) last.count += bytes.length;
    else if (bytes.length > 0) found.push({ address, from, count: bytes.length });
    from += bytes.length;
  }
  return found;
}

function gathered({ parts }: ImageToLearn, length: number): Uint8Array {
  const all = new Uint8Array(length);
  let at = 0;
  for (const { bytes } of sorted(parts)) {
    all.set(bytes, at);
    at += bytes.length;
  }
  return all;
}

/** Parts in rising order, without those that overlap one before them. */
function sorted(parts: readonly PlacedBytes[]): readonly PlacedBytes[] {
  let end = Number.NEGATIVE_INFINITY;
  return [...parts]
    .sort((a, b) => a.address - b.address)
    .filter(({ address, bytes }) => {
      if (address < end) return false;
      end = address + bytes.length;
      return true;
    });
}

/** The stretch in which a byte lies. */
export function segmentAt({ segments }: Images, at: number): Segment | undefined {
  return segments.find(({ from, count }) => at >= from && at < from + count);
}

/** The address of a byte; one behind the last byte of a stretch has the address behind it. */
export function addressAt(images: Images, at: number): number {
  const segment = segmentAt(images, at) ?? segmentAt(images, at - 1);
  return segment === undefined ? at : segment.address + at - segment.from;
}

/** Whether bytes from one to before another lie in one stretch. */
export function isInOne(images: Images, from: number, end: number): boolean {
  const segment = segmentAt(images, from);
  return segment !== undefined && end <= segment.from + segment.count && from < end;
}

/** The number that is stored in some bytes of an image. */
export function storedAt(bytes: Uint8Array, at: number, width: number, order: 'big' | 'little'): number {
  let value = 0;
  for (let i = 0; i < width; i++)
    value = (value << 8) | (bytes[order === 'big' ? at + i : at + width - 1 - i] as number);
  return value;
}
