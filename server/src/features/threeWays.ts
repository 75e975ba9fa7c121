import { digitsOf, hex, phrase } from '../../../shared-core/src/base/index.js';
import {
  compareDumps,
  outcomeInWords,
  type ThreeWays,
  threeWays,
  unmatchedInWords,
} from '../../../shared-core/src/compare/index.js';
import type { Label } from '../../../shared-core/src/format/index.js';
import { isVerified, verdictInWords, verifyReadBack } from '../../../shared-core/src/jobs/index.js';
import { bytesSpan, lineCalled, optionSpan, readOption, withRecords } from '../../../shared-core/src/model/index.js';
import { optionPlaceInWords } from '../../../shared-core/src/options/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  type CompareParams,
  THREE_WAYS,
  type ThreeWaysParams,
  type ThreeWaysResult,
  type ThreeWaysRow,
} from '../../../shared-core/src/protocol/compare.js';
import { fileName } from '../../../shared-core/src/workspace/index.js';
import type { Feature } from '../feature.js';
import { placeOf } from '../placeOf.js';
import type { Analysis, Session } from '../session.js';
import { toRefusal } from '../toChange.js';
import { whatIs } from './changes.js';
import { answerOfPair, type Pair } from './compare.js';

/** A dump as it was found, as it is planned and as it was read back, place by place. */
export const comparisonOfThree: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<ThreeWaysResult | Refusal, void>(THREE_WAYS, (params: ThreeWaysParams) =>
      answerOfPair(session, pairIn(params), (pair) => compareThree(session, params.read, pair)),
    );
  },
};

function pairIn({ uri, found }: ThreeWaysParams): CompareParams {
  return { uri, ...(found !== undefined && { other: found }) };
}

async function compareThree(
  session: Session,
  read: string,
  { explained, other, otherUri }: Pair,
): Promise<ThreeWaysResult | Refusal> {
  const { dump } = explained;
  const back = withRecords(fileName(read), await session.files.readDump(read, dump.profile));
  if (!back.ok) return toRefusal(session, back);
  const readBack = back.value;
  const three = threeWays(other, dump, readBack);
  const verification = verifyReadBack(dump, readBack, other);
  return {
    foundUri: otherUri,
    options: optionRows(session, explained, three),
    bytes: byteRows(session, explained, three, new Set(verification.ignored.map(({ label }) => label))),
    remarks: [
      ...unmatchedInWords(compareDumps(other, dump)).map((words) => phrase('As found and planned: {0}', words)),
      ...unmatchedInWords(compareDumps(dump, readBack)).map((words) => phrase('Planned and read back: {0}', words)),
    ].map(session.say),
    verdict: session.say(verdictInWords(verification)),
    good: isVerified(verification),
  };
}

function optionRows({ say }: Session, { dump }: Analysis, { options }: ThreeWays): ThreeWaysRow[] {
  return options.map(({ option, found, planned, read, isPlanned, outcome }) => {
    const reading = readOption(dump, option);
    const span = reading && optionSpan(dump, reading);
    return {
      title: option.title,
      what: say(optionPlaceInWords(option, dump)),
      found: say(phrase('{0}', found)),
      planned: say(phrase('{0}', planned)),
      read: say(phrase('{0}', read)),
      says: say(outcomeInWords(outcome, isPlanned)),
      outcome,
      range: placeOf(dump, span),
    };
  });
}

/** Sums of lines that change by themselves, whose labels are `aside`, follow them: they were not planned, and not wrong. */
function byteRows(
  { say }: Session,
  { dump }: Analysis,
  { kind, bytes }: ThreeWays,
  aside: ReadonlySet<Label>,
): ThreeWaysRow[] {
  return bytes.map(({ row, label, byte, address, found, planned, read, reason, outcome }) => {
    const span = bytesSpan(dump, row, byte - 1, 1);
    const title =
      address !== undefined
        ? phrase('Address {0}', hex(address, 4))
        : kind === 'image'
          ? phrase('Record at {0}', label)
          : phrase('Line {0}, byte {1}', lineCalled(dump, row), byte);
    const follows = outcome === 'other' && aside.has(label);
    const became = follows ? phrase('follows what changes by itself') : outcomeInWords(outcome, found !== planned);
    return {
      title: say(title),
      what: outcome === 'volatile' ? '' : say(whatIs(dump, row, byte - 1, reason)),
      found: digitsOf(found),
      planned: digitsOf(planned),
      read: digitsOf(read),
      says: say(became),
      outcome: follows ? 'volatile' : outcome,
      range: placeOf(dump, span),
    };
  });
}
