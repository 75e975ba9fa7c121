/**
 * A profile as it is written, as far as the oracle reads it. Everything in this folder is written from the description of
 * the files alone and imports nothing of the core: what both got wrong in the same way would else go unseen.
 */
export interface ProfileJson {
  readonly format: 1;
  readonly title?: string;
  readonly module?: Num;
  readonly notation?: string | { readonly pattern: string; readonly otherwise?: 'keep' | 'report' };
  readonly lines?: StretchJson | readonly StretchJson[];
  readonly addresses?: RangeJson;
  readonly absent?: readonly RangeJson[];
  readonly appliesTo?: { readonly part?: readonly string[]; readonly software?: readonly string[] };
  readonly lineSum?: SumJson & {
    readonly over?: readonly ('module' | 'label' | 'label.1' | 'label.2' | 'length' | 'data')[];
    readonly labelBytes?: number;
  };
  readonly totals?: readonly TotalJson[];
  readonly balance?: readonly PlaceJson[];
  readonly options?: readonly OptionJson[];
  readonly locked?: readonly RegionJson[];
  readonly volatile?: readonly RegionJson[];
}

/** A JSON number, or text in decimal or `0x` hex. */
export type Num = number | string;

/** Lines whose last number counts up; labels of several numbers are written "3-10" here. */
export interface StretchJson {
  readonly from: Num;
  readonly to: Num;
  readonly data: Num | Readonly<Record<string, number>>;
  readonly sum?: Num;
}

export interface RangeJson {
  readonly from: Num;
  readonly to: Num;
}

export interface SumJson {
  readonly method: 'add' | 'add-end-around' | 'xor' | 'fletcher' | 'adler' | 'crc';
  readonly bits?: number;
  readonly unit?: number;
  readonly order?: 'big' | 'little';
  readonly complement?: 'none' | 'ones' | 'twos';
  readonly start?: Num;
  readonly model?: string;
}

export interface TotalJson extends SumJson {
  readonly name: string;
  readonly label?: Num;
  readonly line?: Num;
  readonly byte?: number;
  readonly address?: Num;
  readonly lines?: string;
  readonly over?: readonly (string | RangeJson)[];
  readonly keep?: boolean;
}

/** A line with `byte` or `bytes` or as a whole; an address with `bytes` or `length`; or `from` and `to`. */
export interface PlaceJson {
  readonly line?: Num;
  readonly byte?: number;
  readonly bytes?: Num;
  readonly address?: Num;
  readonly length?: Num;
  readonly from?: Num;
  readonly to?: Num;
}

export interface RegionJson extends PlaceJson {
  readonly why?: string;
}

export interface OptionJson extends PlaceJson {
  readonly id: string;
  readonly title: string;
  readonly group?: string;
  readonly bits?: string;
  readonly order?: 'big' | 'little';
  readonly values?: Readonly<Record<string, string>>;
  readonly flags?: Readonly<Record<string, string>>;
  readonly text?: 'ascii';
  readonly date?: string;
  readonly coding?: 'bcd' | 'binary';
  readonly special?: Readonly<Record<string, string>>;
  readonly swapped?: 'nibbles';
  readonly number?: {
    readonly coding?: 'bcd';
    readonly scale?: number;
    readonly offset?: number;
    readonly unit?: string;
    readonly min?: number;
    readonly max?: number;
    readonly signed?: boolean;
  };
  readonly needs?: readonly ConditionJson[];
  readonly excludes?: readonly ConditionJson[];
  readonly hazard?: string | readonly string[];
  readonly confidence?: 'confirmed' | 'likely' | 'guess';
  readonly evidence?: string;
}

export interface ConditionJson {
  readonly profile?: string;
  readonly option: string;
  readonly in: readonly Num[];
}

/** The first and the last number of "3-4", or of a number alone. */
export function endsOf(written: Num): readonly [first: number, last: number] {
  const [first = Number.NaN, last = first] = String(written).split('-').map(Number);
  return [first, last];
}

/** The labels of all lines in rising order: by their first number, then by the next. */
export function labelsOf({ lines }: ProfileJson): readonly Num[] {
  const numbers = (label: Num) => String(label).split('-').map(Number);
  const inOrder = (a: Num, b: Num) => {
    const others = numbers(b);
    return numbers(a).reduce((found, number, i) => found || number - (others[i] ?? 0), 0);
  };
  return [lines ?? []].flat().flatMap(labelsIn).sort(inOrder);
}

function labelsIn({ from, to }: StretchJson): readonly Num[] {
  const [first, last] = [from, to].map((end) => Number(String(end).split('-').at(-1)));
  const head = String(from).split('-').slice(0, -1);
  return Array.from({ length: Number(last) - Number(first) + 1 }, (_, i) => {
    const number = Number(first) + i;
    return head.length === 0 ? number : [...head, number].join('-');
  });
}

function stretchWith({ lines }: ProfileJson, label: Num): StretchJson | undefined {
  return [lines ?? []].flat().find((stretch) => labelsIn(stretch).includes(label));
}

/** How many data bytes a line has; 0 for a line that there is not. */
export function dataBytesOf(profile: ProfileJson, label: Num): number {
  const data = stretchWith(profile, label)?.data ?? 0;
  return typeof data === 'object' ? (data[String(label)] ?? 0) : Number(data);
}

/** How many bytes its sum has. */
export function sumBytesOf(profile: ProfileJson, label: Num): number {
  return Number(stretchWith(profile, label)?.sum ?? 0);
}

/** One byte of a dump: "line/byte", both from 1, or "@address" in decimal. */
export type ByteKey = string;

export const lineKey = (line: Num, byte: number): ByteKey => `${line}/${byte}`;
/** The line of a byte as it is written, which is no address. */
export const lineOfKey = (key: ByteKey): Num => {
  const [line = ''] = key.split('/');
  return line.includes('-') ? line : Number(line);
};
export const addressKey = (address: number): ByteKey => `@${address}`;

/** The bytes of a place, first to last. */
export function bytesOfPlace(profile: ProfileJson, place: PlaceJson): readonly ByteKey[] {
  const count = (from: number, to: number, key: (at: number) => ByteKey) =>
    Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => key(from + i));
  const { line } = place;
  if (line !== undefined) {
    const [first, last] = place.bytes !== undefined ? endsOf(place.bytes) : [place.byte ?? 1, place.byte];
    return count(first, last ?? dataBytesOf(profile, line), (byte) => lineKey(line, byte));
  }
  if (place.from !== undefined) return count(Number(place.from), Number(place.to), addressKey);
  const from = Number(place.address);
  return count(from, from + Number(place.length ?? place.bytes ?? 1) - 1, addressKey);
}

/** The bits of each byte of an option's place. */
export function maskOfOption({ bits }: OptionJson): number {
  if (bits === undefined) return 0xff;
  const [high, low] = endsOf(bits);
  return Array.from({ length: high - low + 1 }, (_, i) => 1 << (low + i)).reduce((all, bit) => all | bit, 0);
}

export function isSecurity({ hazard }: OptionJson): boolean {
  return [hazard].flat().includes('security');
}
