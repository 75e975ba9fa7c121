/** Where a text goes that may be too long for one string: bytes of ASCII, which hold only during the call, and other text. */
export interface TextSink {
  readonly ascii: (bytes: Uint8Array) => void;
  readonly text: (text: string) => void;
}

/** Writes lines of hex a page at a time. */
export interface PageWriter {
  readonly character: (code: number) => void;
  /** Two hex digits. */
  readonly byte: (value: number) => void;
  /** Two hex digits for each of some bytes, behind a character where one is given; in capitals, unless told otherwise. */
  readonly bytes: (bytes: Uint8Array, before?: number, small?: 'small') => void;
  /** A number in so many bytes, most significant first. */
  readonly number: (value: number, bytes: number) => void;
  /** Any text, also such that is not ASCII. */
  readonly text: (text: string) => void;
  /** Hands on what is still on the page. */
  readonly flush: () => void;
}

const PAGE = 1 << 16;

/** As many bytes are written without a look at the room that is left. */
const MOST = 256;

/** For each byte the codes of its two digits. */
const CAPITALS = digitPairs('0123456789ABCDEF');
const SMALL = digitPairs('0123456789abcdef');

function digitPairs(digits: string): Uint16Array {
  return Uint16Array.from(
    { length: 256 },
    (_, byte) => (digits.charCodeAt(byte >> 4) << 8) | digits.charCodeAt(byte & 15),
  );
}

export function pageWriter(sink: TextSink): PageWriter {
  const page = new Uint8Array(PAGE);
  let used = 0;
  const flush = () => {
    if (used > 0) sink.ascii(page.subarray(0, used));
    used = 0;
  };
  const bytes: PageWriter['bytes'] = (values, before, small) => {
    const pairs = small === undefined ? CAPITALS : SMALL;
    const step = before === undefined ? 2 : 3;
    for (let from = 0; from < values.length; from += MOST) {
      const end = Math.min(values.length, from + MOST);
      if (used + step * (end - from) > PAGE) flush();
      let put = used;
      for (let i = from; i < end; i++) {
        if (before !== undefined) page[put++] = before;
        const pair = pairs[values[i] as number] as number;
        page[put] = pair >> 8;
        page[put + 1] = pair & 0xff;
        put += 2;
      }
      used = put;
    }
  };
  const byte = (value: number) => {
    if (used + 2 > PAGE) flush();
    const pair = CAPITALS[value & 0xff] as number;
    page[used++] = pair >> 8;
    page[used++] = pair & 0xff;
  };
  return {
    flush,
    byte,
    bytes,
    character: (code) => {
      if (used === PAGE) flush();
      page[used++] = code;
    },
    number: (value, bytes) => {
      for (let i = bytes - 1; i >= 0; i--) byte((value >>> (8 * i)) & 0xff);
    },
    text: (text) => {
      flush();
      sink.text(text);
    },
  };
}
