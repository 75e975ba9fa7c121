import { hexBytes, oneLine, phrase, type RowSpan } from '../../../shared-core/src/base/index.js';
import { contentOf, type RecordRow } from '../../../shared-core/src/format/index.js';
import {
  bytesSpan,
  type Dump,
  type OptionReading,
  readLineSum,
  readOption,
  readTotal,
  ruleOf,
  shownValue,
  soundRecord,
  sumAsWritten,
} from '../../../shared-core/src/model/index.js';
import { caution } from '../../../shared-core/src/options/index.js';
import { evidenceInWords } from '../../../shared-core/src/profile/index.js';
import { answer, type Feature } from '../feature.js';
import { toJsonRange } from '../jsonFile.js';
import { type InlayHint, InlayHintKind, type InlayHintLabelPart, type Range } from '../lsp.js';
import { descriptionsOf } from '../optionPlaces.js';
import type { Analysis, Session } from '../session.js';
import type { Settings } from '../settings.js';

/** What the lines on the screen mean, in words beside them: options at the end of a line, and at each sum whether it is right. */
export const inlayHints: Feature = {
  capabilities: (session) => ({ inlayHintProvider: leadsOn(session) ? { resolveProvider: true } : true }),
  register: (connection, session) => {
    connection.languages.inlayHint.on(async ({ textDocument: { uri }, range }) => {
      const settings = await session.settings(uri);
      return answer(session, uri, (explained) => hintsIn(session, explained, range, settings), []);
    });
    connection.languages.inlayHint.resolve((hint) => withLocations(session, hint));
  },
};

/** Whether the client asks where a part of a hint leads to, once somebody points at it. */
function leadsOn({ client }: Session): boolean {
  const asked = client.capabilities.textDocument?.inlayHint?.resolveSupport?.properties;
  return asked?.includes('label.location') === true;
}

/** The options that the parts of a hint speak of. */
interface HintData {
  readonly profileFile: string;
  readonly ids: readonly string[];
}

/** The hint with each part leading to its option in the profile. */
async function withLocations(session: Session, hint: InlayHint): Promise<InlayHint> {
  const data = hint.data as HintData | undefined;
  if (data === undefined || typeof hint.label === 'string') return hint;
  const label: InlayHintLabelPart[] = [];
  for (const [i, part] of hint.label.entries()) {
    const [found] = await descriptionsOf(session, { profileUri: data.profileFile, id: data.ids[i] ?? '' });
    const location = found && { uri: found.file.uri, range: toJsonRange(found.file, found.span) };
    label.push(location === undefined ? part : { ...part, location });
  }
  return { ...hint, label };
}

/** All hints of the lines from the first to the last of a range. */
function hintsIn(
  session: Session,
  { dump, profileFile }: Pick<Analysis, 'dump' | 'profileFile'>,
  { start, end }: Range,
  settings: Pick<Settings, 'hints.options' | 'hints.sums'>,
): InlayHint[] {
  const shown = (row: number) => row >= start.line && row <= end.line;
  return [
    ...(settings['hints.sums'] ? sumHints(session, dump, start.line, end.line) : []),
    ...(settings['hints.options'] ? optionHints(session, dump, profileFile, shown) : []),
  ];
}

/** One hint a line, behind everything that is written there. */
function optionHints(
  session: Session,
  dump: Dump,
  profileFile: string | undefined,
  shown: (row: number) => boolean,
): InlayHint[] {
  const byRow = new Map<number, OptionReading[]>();
  for (const option of dump.profile.options) {
    const reading = readOption(dump, option);
    const row = reading?.cells.at(-1)?.row;
    if (reading !== undefined && row !== undefined && shown(row)) byRow.set(row, [...(byRow.get(row) ?? []), reading]);
  }
  return [...byRow].map(([row, readings]) => ({
    position: { line: row, character: contentOf(dump.rows[row]?.text ?? '').trimEnd().length },
    label: readings.map((reading, i) => optionPart(session, reading, i > 0)),
    paddingLeft: true,
    ...(profileFile !== undefined && { data: { profileFile, ids: readings.map(({ option }) => option.id) } }),
  }));
}

function optionPart(session: Session, { option, raw }: OptionReading, follows: boolean): InlayHintLabelPart {
  const says = caution(option.hazards);
  const tooltip =
    says === undefined ? option.evidence && session.say(evidenceInWords(option.evidence)) : session.say(says);
  return {
    value: `${follows ? ' · ' : ' '}${oneLine(option.title)}: ${session.say(phrase('{0}', shownValue(option, raw)))}`,
    ...(tooltip === undefined ? {} : { tooltip }),
  };
}

function sumHints(session: Session, dump: Dump, first: number, last: number): InlayHint[] {
  const hints: InlayHint[] = [];
  for (let row = first; row <= Math.min(last, dump.rows.length - 1); row++) {
    const record = soundRecord(dump.layout, dump.rows, row);
    const rule = ruleOf(dump, row);
    if (record === undefined || rule === undefined) continue;
    const { stored, computed } = readLineSum(rule, record);
    hints.push(...sumHint(session, lineSumSpan(dump, row, record, rule.width), hexBytes(stored), hexBytes(computed)));
  }
  for (const [index, { stored: cells }] of dump.totals.entries()) {
    const cell = cells?.at(-1);
    const reading = readTotal(dump, index);
    if (cell === undefined || reading === undefined || cell.row < first || cell.row > last) continue;
    const span = bytesSpan(dump, cell.row, cell.byte, 1);
    hints.push(
      ...sumHint(
        session,
        span,
        sumAsWritten(reading.bound, reading.stored),
        sumAsWritten(reading.bound, reading.computed),
      ),
    );
  }
  return hints;
}

function lineSumSpan(dump: Dump, row: number, { count }: RecordRow, width: number): RowSpan | undefined {
  return bytesSpan(dump, row, count - width, width);
}

function sumHint(session: Session, span: RowSpan | undefined, stored: string, computed: string): InlayHint[] {
  if (span === undefined) return [];
  const right = stored === computed;
  return [
    {
      position: { line: span.row, character: span.end },
      label: right ? '✓' : `≠ ${computed}`,
      kind: InlayHintKind.Type,
      paddingLeft: true,
      paddingRight: true,
      tooltip: session.say(
        right ? phrase('This sum is right.') : phrase('The sum is {0}; its bytes make {1}.', stored, computed),
      ),
    },
  ];
}
