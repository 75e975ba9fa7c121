/**
 * Client to server: checks a memory image as it is saved, as the command line does, and keeps its bytes at hand for a
 * view until that is closed. May take long; can be cancelled.
 */
export const OPEN_IMAGE = 'countersum/openImage';
export interface OpenImageParams extends ImageViewParams {
  readonly uri: string;
  readonly linesOnPage: number;
}
export interface ImageViewParams {
  /** A number that the client gives to this view alone; where it is opened again, its file is read anew. */
  readonly view: number;
}
export interface OpenImageResult {
  /** What it is written in, in words. */
  readonly form: string;
  /** Bytes of the file, and how many bytes it holds at addresses. */
  readonly size: number;
  readonly held: number;
  /** What its `@profile` header says. */
  readonly profile: string | null;
  /** All problems, or of many those that are worth showing. */
  readonly problems: readonly { readonly row: number; readonly character: number; readonly message: string }[];
  /** What the check came to, in the words of the command line. */
  readonly summary: readonly string[];
  /** Addresses of the files that it was checked with. */
  readonly checkedWith: readonly string[];
  /** How many regions there are; the first of them follow. */
  readonly regionCount: number;
  readonly regions: readonly ImageRegion[];
  readonly first: ImagePage;
}
/** Addresses that follow each other without a gap, both ends included. */
export interface ImageRegion {
  readonly from: number;
  readonly to: number;
  /** CRC-32/ISO-HDLC as eight hex digits; `null` where some bytes cannot be read. */
  readonly crc32: string | null;
}

/** Client to server: a page of an open view; `null` where the server holds no such view, as after a restart. */
export const IMAGE_PAGE = 'countersum/imagePage';
export interface ImagePageParams extends ImageViewParams {
  readonly linesOnPage: number;
  /** A page, counted from 0, or the address that it holds, as a person writes it. */
  readonly at: { readonly page: number } | { readonly address: string };
}
export interface ImagePage {
  /** The page that is nearest to the one asked for, and how many there are. */
  readonly page: number;
  readonly pages: number;
  /** Lines of 16 bytes, those that hold anything. */
  readonly text: string;
  /** The line of the page that holds the address, or else the next one that holds anything. */
  readonly line?: number;
  /** Why no address was found. */
  readonly refused?: string;
}

/** Client to server, a notification: a view is closed. */
export const CLOSE_IMAGE = 'countersum/closeImage';
