import type { PageWriter } from '../base/pageWriter.js';
import type { Phrase } from '../base/phrase.js';
import type { Span } from '../base/span.js';
import type { ImageForm } from './imageForm.js';
import type { Label, RecordRow, Row } from './row.js';
import type { ContentsToWrite } from './toWrite.js';
import type { Word } from './word.js';

/** How the lines of a dump are read: how one line becomes a row, and where its bytes stand in it. */
export interface Notation {
  readonly id: string;
  /** What a line that is a comment begins with; headers stand behind it in forms that know none. */
  readonly commentSign: string;
  /** What begins a comment behind the bytes of a record, where there can be one. */
  readonly commentBehind: string | undefined;
  /**
   * Whether headers have lines of their own as in dump text, stand behind the sign of a comment, or are not to be put in,
   * as programs that read the form would take such lines for data.
   */
  readonly headers: 'own' | 'commented' | 'none';
  /** Blanks: free between bytes; fixed, but for those at the ends of lines; or all kept. */
  readonly blanks: 'free' | 'fixed' | 'kept';
  /** Of a memory image: records that carry addresses. */
  readonly image: ImageForm | undefined;
  /** The words in which it shows or stores its bytes, where these are no single ones in the order of addresses. */
  readonly word?: Word;
  /** The same with words of several bytes, in forms that may be written so. */
  readonly inWords?: (word: Word) => Notation;
  /** Reads one line. Never throws; bytes are added to the store, which has room for half as many as the line has units. */
  readonly readRow: (text: string, store: ByteStore) => Row;
  /** For each byte of the record, where its first and its second hex digit stand in the row's text (two entries a byte). */
  readonly digitPlaces: (row: RecordRow) => readonly number[];
  /** Where the label (of an image: the address) stands. */
  readonly labelSpan: (row: Row) => Span | undefined;
  /** How many numbers each label has, where it is no word. */
  readonly numbers?: number;
  /** Letters among digits are capitals, whatever the editor's settings. */
  readonly capitals?: true;
  /** Digits are in lower case where the row does not show one. */
  readonly smallDigits?: true;
  /** Where the character of each of a record's bytes is, in forms that show them beside the digits. */
  readonly characters?: (row: RecordRow) => ((byte: number) => number | undefined) | undefined;
  /** Reads rows that stand for others near them; gives the same list where there are none. */
  readonly complete?: (rows: readonly Row[]) => readonly Row[];
  /** The record in the plainest spelling of this notation, without a line end; `widths` as `labelWidths` gives them. */
  readonly print: (record: PrintedRecord, widths?: readonly number[]) => string;
  /** How many digits each number of the labels has at least, in notations of the user's own. */
  readonly labelWidths?: (rows: readonly Row[]) => readonly number[];
}

/** Whether a text is written in a form: surely, or as it may be in another form too. */
export type Fit = 'yes' | 'maybe' | 'no';

/** A written form of dumps, with all that is known of it; `forms.ts` lists them. */
export interface WrittenForm<Id extends string = string> extends Notation {
  readonly id: Id;
  /** What people call it. */
  readonly title: Phrase;
  /** The same for those who choose one in a profile. */
  readonly about: string;
  /** The editor's language of such texts. */
  readonly language: string;
  /** Endings of the names of such files, without the dot; the first is given to new ones. */
  readonly endings: readonly [string, ...string[]];
  /** Whether a text (or its first lines and its last ones) is written in it. */
  readonly fits: (text: string) => Fit;
  readonly inWords?: (word: Word) => WrittenForm;
  /** The words in which such a text may be written, where nothing but a person can say which. */
  readonly wordsThatFit?: (text: string) => readonly Word[];
  /** What there is a place for besides bytes and addresses. */
  readonly keeps: {
    /** Whether data may lie anywhere; else they begin at 0 and have no gaps. */
    readonly addresses: boolean;
    /** Whether data with addresses may have gaps, as in all but one. */
    readonly gaps?: false;
    /** The address behind the last one that it has room for, where that is less than in all others. */
    readonly top?: number;
    readonly comments: boolean;
    /** Where the program starts; some forms cannot tell 0 from none. */
    readonly start: 'any' | 'not-zero' | 'none';
  };
  /** Writes a whole dump. */
  readonly write: (contents: ContentsToWrite, page: PageWriter) => void;
}

export interface PrintedRecord {
  readonly label: Label;
  readonly type: number | undefined;
  readonly data: Uint8Array;
  readonly sum: Uint8Array;
}

/** Room for the bytes of rows that are read together. */
export interface ByteStore {
  readonly bytes: Uint8Array;
  used: number;
}

export function byteStore(capacity: number): ByteStore {
  return { bytes: new Uint8Array(capacity), used: 0 };
}
