import { hasPlaceForHeaders, headersToAdd } from '../../../shared-core/src/actions/index.js';
import { phrase, readIsoTime, valueIn } from '../../../shared-core/src/base/index.js';
import type { LoadedDump } from '../../../shared-core/src/checks/index.js';
import {
  type HeaderName,
  headersOf,
  headerValue,
  isMasked,
  isSealed,
  isWrongUse,
  whyForComparison,
} from '../../../shared-core/src/model/index.js';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import { DESCRIBE, type DescribeParams, type DescribeResult } from '../../../shared-core/src/protocol/jobs.js';
import { isUnsaved, relativePath } from '../../../shared-core/src/workspace/index.js';
import { answerOrRefuse, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';

/** Headers that say in a dump what it is of: which vehicle, when it was read, and the profile of its module. */
export const describeDump: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<DescribeResult | Refusal, void>(DESCRIBE, (params: DescribeParams) =>
      answerOrRefuse(session, params.uri, (analysis) => describe(session, params, analysis)),
    );
  },
};

async function describe(
  session: Session,
  { like, vehicle, taken, use }: DescribeParams,
  { dump, name, file, version }: Analysis,
): Promise<DescribeResult | Refusal> {
  const isBeside = !hasPlaceForHeaders(dump);
  if (isBeside && isUnsaved(file))
    return { refused: session.say(phrase('{0} is not saved yet, so no file can be beside it. Save it first.', name)) };
  if (isSealed(dump) && use !== undefined)
    return { refused: session.say(phrase('{0} is a sealed backup and stays as it is.', name)) };
  if (use !== undefined && isMasked(dump)) return { refused: session.say(whyForComparison(dump)) };
  if (taken !== undefined && readIsoTime(taken) === undefined) {
    const why = phrase('"{0}" is no day and time. Write it such as 2026-03-02T09:14:00Z.', taken);
    return { refused: session.say(why) };
  }
  const other = like === undefined ? undefined : valueIn(await session.analyzeFile(like));
  const headers: (readonly [HeaderName, string])[] = [
    ...(other === undefined ? [] : identityOf(file, other)),
    ...(vehicle === undefined ? [] : [['vehicle', vehicle] as const]),
    ...(taken === undefined ? [] : [['taken', taken] as const]),
    ...(use === undefined || use === 'work' ? [] : [['use', use] as const]),
  ];
  const added = headersToAdd(dump, headers);
  const drops =
    use === undefined
      ? []
      : headersOf(dump).flatMap(({ row, header }) => (header.name === 'use' || isWrongUse(header) ? row : []));
  return { ...(added ?? { line: 0, column: 0, text: '' }), drops, isBeside, version };
}

/**
 * What a person says of a dump who brings it in as one of a module: its profile and its vehicle. Part and software level
 * are only known from the module itself.
 */
function identityOf(file: string, { dump, profileFile }: LoadedDump): readonly (readonly [HeaderName, string])[] {
  const written = headerValue(dump, 'profile');
  const profile = (profileFile && relativePath(file, profileFile)) ?? written;
  const [vehicle] = (['vehicle', 'vin'] as const).flatMap((name) => {
    const value = headerValue(dump, name);
    return value === undefined ? [] : [[name, value] as const];
  });
  return [
    ...(written === undefined || profile === undefined ? [] : [['profile', profile] as const]),
    ...(vehicle === undefined ? [] : [vehicle]),
  ];
}
