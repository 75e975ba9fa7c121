import { done, type Result } from '../base/result.js';
import { finish } from '../base/steps.js';
import { roleOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import { holdsData, type RawBytes, rawHeaderRows, rawRow } from '../format/rawBytes.js';
import type { Row } from '../format/row.js';
import { lineEndOf as lineEndOfRows } from '../format/rows.js';
import { forEachLine, STOP } from '../image/forEachLine.js';
import type { Dump } from '../model/dump.js';
import type { Profile } from '../profile/profile.js';
import { type ImageFile, type Pass, problemsInSteps } from '../scan/imageScan.js';
import {
  type Contents,
  doubtOf,
  imageStart,
  noData,
  type Part,
  startOf,
  whyNoAddresses,
  writtenPart,
} from './contents.js';

/**
 * The contents of a memory image of any size from one pass over its file that gathered all bytes and kept what `isContent` says:
 * as `contentsOf` gives them for the whole dump by its profile. Undefined where only all rows together tell what it holds.
 */
export function contentsOfPass(
  file: ImageFile,
  { kept, state, wrongSums, asked }: Pass,
  profile: Profile,
): Result<Contents> | undefined {
  const { notation } = file;
  const { bytes } = state;
  if (asked !== undefined || bytes === undefined) return undefined;
  const invalidRows = [...kept].flatMap(([row, { problems }]) => (problems.length > 0 ? [row] : []));
  const problems = finish(problemsInSteps(file, state));
  const doubt = doubtOf({ invalidRows, wrongSums, problems }) ?? whyNoAddresses(notation, profile);
  if (doubt !== undefined) return doubt;
  if (bytes.runs.length === 0) return noData();
  const start = state.start === undefined ? undefined : imageStart(notation, state.start, kept.get(state.start));
  const written = [...kept].flatMap(([row, one]) => (row === start?.row ? [] : writtenPart(notation, row, one)));
  const data = bytes.runs.map(
    ({ row, address, from, count }): Part => ({
      kind: 'data',
      row,
      address,
      bytes: { store: bytes.store, from, count },
    }),
  );
  const parts = written.length === 0 ? data : [...data, ...written].sort((a, b) => a.row - b.row);
  return done({ parts, start, lineEnd: lineEndOf(file) });
}

/**
 * The contents of raw bytes, as `contentsOf` gives them for the dump that their lines make. Undefined where there are lines of
 * data among the headers.
 */
export function contentsOfRaw(raw: RawBytes, dump: Dump): Result<Contents> | undefined {
  const above = rawHeaderRows(raw);
  if (above.some(holdsData)) return undefined;
  const refused = whyNoAddresses(dump.notation, dump.profile);
  if (refused !== undefined) return refused;
  if (raw.bytes.length === 0) return noData();
  const start = startOf(dump);
  const written = above.flatMap((one, row) => (row === start?.row ? [] : writtenPart(dump.notation, row, one)));
  const bytes = { store: raw.bytes, from: 0, count: raw.bytes.length };
  const data: Part = { kind: 'data', row: above.length, address: raw.offset, bytes };
  return done({ parts: [...written, data], start, lineEnd: lineEndOfRows([...above, rawRow(raw, 0)]) });
}

/** Rows that are more than data: what people wrote, and where the program starts. */
export function isContent(notation: Notation): (row: Row) => boolean {
  return (row) => {
    const role = row.kind === 'record' ? roleOf(notation, row.type) : undefined;
    return role === 'end' || writtenPart(notation, 0, row).length > 0;
  };
}

function lineEndOf({ chunks }: ImageFile): Contents['lineEnd'] {
  let lineEnd: Contents['lineEnd'] = '\n';
  forEachLine(chunks(), undefined, (line) => {
    if (line.at(-1) === 0x0a && line.at(-2) === 0x0d) lineEnd = '\r\n';
    else if (line.at(-1) === 0x0d) lineEnd = '\r';
    return STOP;
  });
  return lineEnd;
}
