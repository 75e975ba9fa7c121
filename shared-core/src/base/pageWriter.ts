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
  /** A number in so many bytes, most significant first. */
  readonly number: (value: number, bytes: number) => void;
  /** Any text, also such that is not ASCII. */
  readonly text: (text: string) => void;
  /** Hands on what is still on the page. */
  readonly flush: () => void;
}

const PAGE = 1 << 16;

export function pageWriter(sink: TextSink): PageWriter {
  const page = new Uint8Array(PAGE);
  const digits = Uint8Array.from('0123456789ABCDEF', (digit) => digit.charCodeAt(0));
  let used = 0;
  const flush = () => {
    if (used > 0) sink.ascii(page.subarray(0, used));
    used = 0;
  };
  const byte = (value: number) => {
    if (used + 2 > PAGE) flush();
    page[used++] = digits[value >>> 4] as number;
    page[used++] = digits[value & 15] as number;
  };
  return {
    flush,
    byte,
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
