import type { Refusal } from './common.js';

/** Client to server: raw bytes as the text of a dump, behind the headers from the file beside them. */
export const RAW_TEXT = 'countersum/rawText';
export interface RawTextParams {
  readonly base64: string;
  readonly headers: string;
}
export type RawTextResult = { readonly text: string } | Refusal;

/** Client to server: the raw bytes and the headers of such a text. */
export const RAW_BYTES = 'countersum/rawBytes';
export interface RawBytesParams {
  readonly text: string;
  /** The bytes that the file has, which a text of another number is not written over; `null` where there is none. */
  readonly size: number | null;
}
export type RawBytesResult =
  | {
      readonly base64: string;
      readonly headers: string;
      /** Whether the headers hold a seal, in whatever spelling. */
      readonly isSealed: boolean;
    }
  | Refusal;

/** Server to client: a file was read that holds raw bytes, or does so no more. */
export const RAW_FILE = 'countersum/rawFile';
export interface RawFileParams {
  readonly uri: string;
  readonly isRaw: boolean;
}

/** Client to server: the ways to read a text whose name says nothing of its form; only one where that is sure. */
export const READINGS = 'countersum/readings';
export interface ReadingsParams {
  readonly text: string;
}
export interface ReadingsResult {
  readonly isCertain: boolean;
  readonly readings: readonly TextReading[];
  /** Whether the text holds bytes all the same where no form reads it. */
  readonly looksLikeDump: boolean;
}

/** Client to server: whether a file of a name holds raw bytes, by the rule of the command line, or the form that it is in for sure. */
export const FORM_OF_FILE = 'countersum/formOfFile';
export interface FormOfFileParams {
  readonly name: string;
  readonly base64: string;
  /** The headers beside it, which say that it is a dump whatever it looks like; `null` where these cannot be read. */
  readonly headers: string | null;
  /** Whether the person says that it was read back from a module. */
  readonly isReadBack: boolean;
}
export interface FormOfFile {
  readonly isRaw: boolean;
  /** `null` where it is dump text, its name promises its form, or nothing is sure. */
  readonly reading: TextReading | null;
}
/** Refused where it is no dump, or none that was read back. */
export type FormOfFileResult = FormOfFile | Refusal;

export interface TextReading {
  /** The language that the editor has for the form. */
  readonly language: string;
  readonly title: string;
  /** The words in which it would be read, where these are not single bytes: for the header `@word`. */
  readonly word?: string;
  /** The first record that there would be; of numbered lines its bytes alone. */
  readonly sample: string;
  /** The number of that line, where lines of a form that is yet to be worked out have one. */
  readonly line?: string;
}
