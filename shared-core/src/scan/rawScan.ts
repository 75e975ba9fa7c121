import { finish, type Steps } from '../base/steps.js';
import { dumpText } from '../format/dumpText.js';
import { wordInHeaders } from '../format/inWords.js';
import { holdsData, RAW_END, type RawBytes, rawHeaderRows, rawLine, rawLineCount, rawRow } from '../format/rawBytes.js';
import { NO_PROBLEMS, type Row } from '../format/row.js';
import type { IsWanted } from '../image/alikeRows.js';
import type { GatheredBytes } from '../image/imageBytes.js';
import { addPiece, type ImagePieces, noPieces } from '../image/imagePieces.js';
import { placesOf, wantedAddresses } from '../image/profilePlaces.js';
import type { Dump } from '../model/dump.js';
import { sealsOf } from '../model/headers.js';
import { layoutOfImage } from '../model/imageLayout.js';
import { layoutOfLines } from '../model/layout.js';
import { sealer, sealsHold } from '../model/seal.js';
import { inForceIn } from '../model/slotInForce.js';
import type { Profile } from '../profile/profile.js';
import { EMPTY_PROFILE } from '../profile/readProfile.js';
import { canSumGathered, gatheredAgainst, totalsOfGathered } from './imageTotals.js';

/** What stands for a row that nothing is wrong with and nobody asks for. */
const SOUND: Row = { kind: 'blank', text: '', problems: NO_PROBLEMS };

/**
 * Raw bytes as the dump that their lines would make, with only the rows that the profile speaks of and the first. Undefined
 * where all rows are needed: the profile does not go by addresses, or there are lines of data among the headers.
 */
export function scanRaw(raw: RawBytes, profile: Profile): Dump | undefined {
  return finish(scanRawInSteps(raw, profile));
}

/** The same in steps. */
export function* scanRawInSteps(raw: RawBytes, profile: Profile): Steps<Dump | undefined> {
  const isPlain = profile === EMPTY_PROFILE;
  const isByAddress = profile.geometry?.kind === 'addresses' && canSumGathered(profile);
  const above = rawHeaderRows(raw);
  const isInWords = raw.word === undefined && (profile.word ?? wordInHeaders(above)) !== undefined;
  if (above.some(holdsData) || profile.notation !== undefined || isInWords || !(isPlain || isByAddress))
    return undefined;
  const lines = rawLineCount(raw);
  const rows = new Array<Row>(above.length + lines + 1).fill(SOUND);
  for (const [row, one] of above.entries()) rows[row] = one;
  rows[rows.length - 1] = RAW_END;
  const keep = (line: number) => {
    rows[above.length + line] = rawRow(raw, line);
  };
  const bytes = gatheredRaw(raw, above.length);
  const against = gatheredAgainst(profile, bytes, lines === 0 ? -1 : above.length + lines - 1);
  const wanted = rawRowsAt(raw, bytes, wantedAddresses(placesOf(profile)));
  for (const [row, one] of wanted.rows) rows[row] = one;
  if (lines > 0) keep(0);
  for (const { row } of against.gaps) if (row >= above.length && row < above.length + lines) keep(row - above.length);
  const layout = isByAddress
    ? layoutOfImage(rows, { image: undefined }, { pieces: wanted.pieces, problems: [] }, against)
    : layoutOfLines(rows, profile);
  const headers = [...above.keys()].filter((row) => rows[row]?.kind === 'header');
  const wrong = { invalidRows: [], wrongSums: [], wrongLengths: [] };
  const sealHolds = sealsHold(sealsOf({ rows, headers }), () => sealOfRaw(raw));
  const inForce = inForceIn({ rows, layout }, profile);
  const sums = yield* totalsOfGathered(inForce, layout, bytes);
  return { rows, notation: dumpText, profile: inForce, layout, rule: undefined, headers, ...wrong, sealHolds, ...sums };
}

/** Lines that are asked about together before each is by itself. */
const TOGETHER = 1024;

/** The rows of lines that are wanted, and where they lie. */
export function rawRowsAt(
  raw: RawBytes,
  { runs }: GatheredBytes,
  isWanted: IsWanted,
): { readonly rows: ReadonlyMap<number, Row>; readonly pieces: ImagePieces } {
  const rows = new Map<number, Row>();
  const pieces = noPieces();
  const [first, lines] = [runs[0]?.row ?? 0, rawLineCount(raw)];
  for (let begin = 0; begin < lines; begin += TOGETHER) {
    const end = Math.min(begin + TOGETHER, lines);
    const [one, last] = [rawLine(raw, begin), rawLine(raw, end - 1)];
    if (!isWanted(raw.offset + one.from, last.from + last.count - one.from)) continue;
    for (let line = begin; line < end; line++) {
      const { from, count } = rawLine(raw, line);
      if (!isWanted(raw.offset + from, count)) continue;
      rows.set(first + line, rawRow(raw, line));
      addPiece(pieces, first + line, raw.offset + from, count);
    }
  }
  return { rows, pieces };
}

/** Raw bytes whose first line is in a row. */
export function gatheredRaw({ bytes, offset }: RawBytes, row: number): GatheredBytes {
  const runs = bytes.length === 0 ? [] : [{ row, address: offset, from: 0, count: bytes.length }];
  return { store: bytes, used: bytes.length, runs, unread: [], cut: false };
}

function sealOfRaw(raw: RawBytes): string {
  const { take, seal } = sealer();
  for (let line = 0; line < rawLineCount(raw); line++) take(rawRow(raw, line));
  return seal();
}
