import type { CancellationToken } from 'vscode-languageserver';
import {
  bindText,
  type Dump,
  type DumpParams,
  EMPTY_PROFILE,
  headerOf,
  headerValue,
  LEARN,
  LEARN_FROM,
  type LearnCandidate,
  type LearnedRule,
  type LearnFromResult,
  type LearnParams,
  type LearnResult,
  learnSteps,
  lineSumInWords,
  phrase,
  type Refusal,
  readProfile,
  rounded,
  type TextToLearn,
  totalInWords,
} from '../../../shared-core/src/index.js';
import { dumpNames } from '../dumpNames.js';
import type { Feature } from '../feature.js';
import { placeForHeader } from '../headerPlace.js';
import type { Session } from '../session.js';
import { inSlices } from '../slices.js';
import { fileName } from '../uri.js';

/** How a dump that nobody has described is written and summed, as draft profiles to choose from. */
export const learnSums: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<LearnFromResult | Refusal, void>(LEARN_FROM, ({ uri }: DumpParams) => others(session, uri));
    connection.onRequest<LearnResult | Refusal, void>(LEARN, (params: LearnParams, token: CancellationToken) =>
      learned(session, params, token),
    );
  },
};

/** Dumps without a profile, sealed copies aside: they hold what another dump holds. */
async function others(session: Session, uri: string): Promise<LearnFromResult | Refusal> {
  const own = await readUnbound(session, uri);
  if (own === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const found: { uri: string; dump: Dump }[] = [];
  for (const other of (await session.workspace()).dumps) {
    if (other === uri) continue;
    const dump = await readUnbound(session, other);
    if (dump === undefined || dump.notation.id !== own.notation.id) continue;
    if (headerOf(dump, 'profile') === undefined && headerOf(dump, 'seal') === undefined)
      found.push({ uri: other, dump });
  }
  const names = dumpNames([uri, ...found.map((one) => one.uri)]).slice(1);
  return found.map(({ uri: other, dump }, i) => ({
    uri: other,
    name: names[i] ?? other,
    alike: shapeOf(dump) === shapeOf(own) && headerValue(dump, 'part') === headerValue(own, 'part'),
  }));
}

async function readUnbound(session: Session, uri: string): Promise<Dump | undefined> {
  const text = await session.readText(uri);
  return text === undefined ? undefined : bindText(fileName(uri), text, EMPTY_PROFILE);
}

function shapeOf({ layout, rows }: Dump): string {
  return Array.from(layout.order, (row, i) => {
    const record = rows[row];
    return `${layout.keys[i]}:${record?.kind === 'record' ? record.count : 0}`;
  }).join(' ');
}

async function learned(
  session: Session,
  { uri, others: more }: LearnParams,
  token: CancellationToken,
): Promise<LearnResult | Refusal> {
  const own = await readUnbound(session, uri);
  if (own === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const version = session.documents.get(uri)?.version ?? null;
  const uris = [uri, ...more];
  const names = dumpNames(uris);
  const texts: TextToLearn[] = [];
  for (const [i, one] of uris.entries()) {
    const text = await session.readText(one);
    if (text !== undefined) texts.push({ name: names[i] ?? one, text });
  }
  const { candidates, remarks } = await inSlices(learnSteps(texts), token);
  return {
    name: fileName(uri),
    rules: candidates.map((candidate) => ruleOf(session, candidate)),
    remarks: remarks.map(session.say),
    naming: headerOf(own, 'profile') === undefined ? { ...placeForHeader(own, 'profile'), version } : null,
  };
}

function ruleOf(
  { say }: Session,
  { profile, lines, linesExplained, damaged, chance, undecided }: LearnCandidate,
): LearnedRule {
  const { profile: read } = readProfile(JSON.stringify(profile));
  const [total] = read.totals;
  const { notation = 'dump-text' } = profile;
  return {
    form: typeof notation === 'string' ? notation : notation.pattern,
    lineSum: profile.addresses === undefined ? say(lineSumInWords(read)) : say(phrase('as the notation says')),
    total: total === undefined ? say(phrase('none found')) : say(totalInWords(total)),
    lines,
    linesExplained,
    damaged: damaged.map(({ name, label }) => say(phrase('line {0} of {1}', label, name))),
    chance: rounded(chance),
    undecided,
    profile: `${JSON.stringify(profile, null, 2)}\n`,
  };
}
