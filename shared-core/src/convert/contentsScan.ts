import { done, type Result } from '../base/result.js';
import { finish } from '../base/steps.js';
import { roleOf } from '../format/imageForm.js';
import type { Notation } from '../format/notation.js';
import type { Row } from '../format/row.js';
import { forEachLine, STOP } from '../image/forEachLine.js';
import { noBytes } from '../image/imageBytes.js';
import { newImage } from '../image/imageState.js';
import type { Profile } from '../profile/profile.js';
import { type ImageFile, passInSteps, problemsInSteps } from '../scan/imageScan.js';
import { type Contents, doubtOf, imageStart, noData, type Part, whyNoAddresses, writtenPart } from './contents.js';

/**
 * The contents of a memory image of any size in one pass over its file: as `contentsOf` gives them for the whole dump by
 * its profile.
 */
export function scanContents(file: ImageFile, profile: Profile): Result<Contents> {
  const { notation } = file;
  const bytes = noBytes();
  const image = newImage(notation, undefined, bytes);
  const { kept, state, wrongSums } = finish(passInSteps(file, image, { keeps: isKept(notation) }));
  const invalidRows = [...kept].flatMap(([row, { problems }]) => (problems.length > 0 ? [row] : []));
  const problems = finish(problemsInSteps(file, state));
  const doubt = doubtOf({ invalidRows, wrongSums, problems }) ?? whyNoAddresses(profile);
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

/** Rows that are more than data: what people wrote, and where the program starts. */
function isKept(notation: Notation): (row: Row) => boolean {
  return (row) => {
    const role = row.kind === 'record' ? roleOf(notation, row.type) : undefined;
    return role === 'end' || writtenPart(notation, 0, row).length > 0;
  };
}

function lineEndOf({ chunks }: ImageFile): Contents['lineEnd'] {
  let lineEnd: Contents['lineEnd'] = '\n';
  forEachLine(chunks(), undefined, (line) => {
    if (line.at(-1) === 0x0a && line.at(-2) === 0x0d) lineEnd = '\r\n';
    return STOP;
  });
  return lineEnd;
}
