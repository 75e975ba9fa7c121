import type { CancellationToken } from 'vscode-languageserver';
import {
  bind,
  bindText,
  canonicalUri,
  type Dump,
  type DumpParams,
  EMPTY_PROFILE,
  fileName,
  type HeaderPlace,
  headerOf,
  headerValue,
  inNotationOf,
  isSealed,
  LEARN,
  LEARN_FROM,
  type LearnCandidate,
  type LearnedRule,
  type LearnFromResult,
  type LearnParams,
  type LearnResult,
  learnSteps,
  lineSumInWords,
  notationOf,
  type Profile,
  phrase,
  type Refusal,
  readProfile,
  relativePath,
  rounded,
  type TextToLearn,
  totalInWords,
  valueIn,
  wrongTotals,
} from '../../../shared-core/src/index.js';
import { dumpNames } from '../dumpNames.js';
import type { Feature } from '../feature.js';
import { placeForHeader } from '../headerPlace.js';
import type { Session } from '../session.js';
import { inSlices, pauses } from '../slices.js';

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

/** Dumps without a profile, sealed copies aside, which hold what another dump holds; and profiles that fit. */
async function others(session: Session, uri: string): Promise<LearnFromResult | Refusal> {
  const own = await readUnbound(session, uri);
  if (own === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const { dumps, profiles } = await session.list();
  const found: { uri: string; dump: Dump }[] = [];
  const pause = pauses();
  for (const other of dumps) {
    if (other === canonicalUri(uri)) continue;
    await pause();
    const dump = await readUnbound(session, other);
    if (dump === undefined || dump.notation.id !== own.notation.id) continue;
    if (headerOf(dump, 'profile') === undefined && !isSealed(dump)) found.push({ uri: other, dump });
  }
  const fitting: string[] = [];
  for (const profile of profiles) {
    const reading = valueIn(await session.files.readProfile(profile));
    const path = relativePath(uri, profile);
    if (reading !== undefined && path !== undefined && fits(own, uri, reading.profile)) fitting.push(path);
  }
  const names = dumpNames([uri, ...found.map((one) => one.uri)]).slice(1);
  return {
    dumps: found.map(({ uri: other, dump }, i) => ({
      uri: other,
      name: names[i] ?? other,
      alike: shapeOf(dump) === shapeOf(own) && headerValue(dump, 'part') === headerValue(own, 'part'),
    })),
    profiles: fitting,
    naming: namingOf(session, uri, own),
  };
}

/** Whether a profile explains every line of a dump and every sum is right by it; one without sums explains nothing. */
function fits(unbound: Dump, uri: string, profile: Profile): boolean {
  if (profile.lineSum === undefined && profile.totals.length === 0) return false;
  const { rows, notation } = inNotationOf(profile, (head) => notationOf(fileName(uri), head), unbound);
  const dump = bind(rows, notation, profile);
  const { missing, unknown, repeated, order } = dump.layout;
  const lines = missing.length + unknown.length + repeated.length + dump.invalidRows.length + dump.wrongLengths.length;
  return order.length > 0 && lines + dump.wrongSums.length + wrongTotals(dump).length === 0;
}

function namingOf(session: Session, uri: string, dump: Dump): HeaderPlace | null {
  if (headerOf(dump, 'profile') !== undefined) return null;
  return { ...placeForHeader(dump, 'profile'), version: session.documents.get(uri)?.version ?? null };
}

async function readUnbound(session: Session, uri: string): Promise<Dump | undefined> {
  const text = await session.files.readText(uri);
  return text.ok ? bindText(fileName(uri), text.value, EMPTY_PROFILE) : undefined;
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
  const naming = namingOf(session, uri, own);
  const uris = [uri, ...more];
  const names = dumpNames(uris);
  const texts: TextToLearn[] = [];
  const pause = pauses();
  for (const [i, one] of uris.entries()) {
    await pause();
    const text = await session.files.readText(one);
    if (text.ok) texts.push({ name: names[i] ?? one, text: text.value });
  }
  const { candidates, remarks } = await inSlices(learnSteps(texts, names[0]), token);
  return {
    name: fileName(uri),
    rules: candidates.map((candidate) => ruleOf(session, candidate)),
    remarks: remarks.map(session.say),
    naming,
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
    chance: say(rounded(chance)),
    undecided,
    profile: `${JSON.stringify(profile, null, 2)}\n`,
  };
}
