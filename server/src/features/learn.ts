import { boundBy, explainsWhole, hasPlaceForHeaders, textNaming } from '../../../shared-core/src/actions/index.js';
import { listed, oddsInWords, type Phrase, phrase, SURE } from '../../../shared-core/src/base/index.js';
import { FORMS, formOf, textOfRows } from '../../../shared-core/src/format/index.js';
import {
  chanceAsOneIn,
  draftText,
  type Finding,
  fitsAsWell,
  isSure,
  type LearnCandidate,
  learnSteps,
  likelyModuleName,
  lineSumInWords,
  namedDraft,
  oddsOfParts,
  patternInWords,
  type TextToLearn,
  totalInWords,
  type WorkedSum,
  workedSum,
} from '../../../shared-core/src/learn/index.js';
import {
  bindText,
  canHaveRowsAsLines,
  type Dump,
  headerOf,
  headerValue,
  isSealed,
  labelOfRow,
} from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import type { DumpParams, Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  type FoundInBytes,
  LEARN,
  LEARN_FROM,
  type LearnedRule,
  type LearnFromResult,
  type LearnParams,
  type LearnResult,
} from '../../../shared-core/src/protocol/learning.js';
import { canonicalUri, fileName } from '../../../shared-core/src/workspace/index.js';
import { dumpNames } from '../dumpNames.js';
import { wordsOfDump } from '../dumpWords.js';
import type { Feature } from '../feature.js';
import { explainingProfiles } from '../fittingProfiles.js';
import type { CancellationToken } from '../lsp.js';
import type { Session } from '../session.js';
import { inSlices, pauses } from '../slices.js';
import { toRefusal } from '../toChange.js';
import { namingOf, readUnbound } from '../unboundDumps.js';

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
  if (!own.ok) return toRefusal(session, own);
  const { dumps } = await session.list();
  const found: { uri: string; dump: Dump }[] = [];
  const remarks: Phrase[] = [];
  const pause = pauses();
  for (const other of dumps) {
    if (other === canonicalUri(uri)) continue;
    await pause();
    const read = await readUnbound(session, other);
    if (!read.ok) {
      remarks.push(phrase('Left out: {0}.', read.why));
      continue;
    }
    const { dump } = read.value;
    if (dump.notation.id !== own.value.dump.notation.id) continue;
    if (headerOf(dump, 'profile') === undefined && !isSealed(dump)) found.push({ uri: other, dump });
  }
  const names = dumpNames([uri, ...found.map((one) => one.uri)]).slice(1);
  return {
    dumps: found.map(({ uri: other, dump }, i) => ({
      uri: other,
      name: names[i] ?? other,
      words: wordsOfDump(dump),
      alike: isAlike(dump, own.value.dump),
    })),
    profiles: await explainingProfiles(session, uri, own.value.dump, pause),
    naming: namingOf(own.value),
    remarks: remarks.map(session.say),
  };
}

function isAlike(one: Dump, other: Dump): boolean {
  return shapeOf(one) === shapeOf(other) && headerValue(one, 'part') === headerValue(other, 'part');
}

function shapeOf({ layout, rows }: Dump): string {
  return Array.from(layout.order, (row) => {
    const record = rows[row];
    return `${labelOfRow(record)}:${record?.kind === 'record' ? record.count : 0}`;
  }).join(' ');
}

async function learned(
  session: Session,
  { uri, others: more }: LearnParams,
  token: CancellationToken,
): Promise<LearnResult | Refusal> {
  const own = await readUnbound(session, uri);
  if (!own.ok) return toRefusal(session, own);
  const names = dumpNames([uri, ...more]);
  const dumps: [NamedDump, ...NamedDump[]] = [{ name: names[0] ?? uri, dump: own.value.dump }];
  const unread: Phrase[] = [];
  const pause = pauses();
  for (const [i, one] of more.entries()) {
    await pause();
    const other = await readUnbound(session, one);
    if (other.ok) dumps.push({ name: names[i + 1] ?? one, dump: other.value.dump });
    else unread.push(phrase('Left out: {0}.', other.why));
  }
  const texts = dumps.map(({ name, dump }): TextToLearn => ({ name, text: textOfRows(dump.rows) }));
  const { candidates, remarks, findings } = await inSlices(learnSteps(texts, names[0]), token);
  const title = likelyModuleName(own.value.dump, fileName(uri));
  const usable = candidates.filter((candidate) => isReadOnceNamed(candidate, own.value.dump, uri));
  if (usable.length < candidates.length)
    unread.push(
      phrase(
        'Rules were left out that read {0} in a form without a place for headers, which its name does not promise. Give it another ending, such as ".txt", then choose "Treat as a Dump".',
        fileName(uri),
      ),
    );
  return {
    name: fileName(uri),
    wantsMore: usable[0] !== undefined && !isSure(usable[0]),
    title,
    rules: usable.map((candidate) => ruleOf(session, candidate, findings, { title, uri, dumps, best: usable[0] })),
    findings:
      findings === undefined
        ? null
        : findings
            .filter((one) => usable.length === 0 || !isOnlySum(one, findings))
            .map((one) => foundInBytes(session, one)),
    remarks: [...unread, ...learnedFrom(usable[0], dumps), ...remarks].map(session.say),
    naming: namingOf(own.value),
  };
}

interface NamedDump {
  readonly name: string;
  readonly dump: Dump;
}

/** Which dumps a rule is from, those that were left out aside, and whether it holds in all of them; nothing of one alone. */
function learnedFrom(best: LearnCandidate | undefined, dumps: readonly NamedDump[]): readonly Phrase[] {
  const used = dumps.filter(({ name }) => best?.from.includes(name));
  if (best === undefined || used.length < 2) return [];
  const { profile } = readProfile(JSON.stringify(best.profile));
  const names = listed(used.map(({ name }) => name));
  return used.every(({ name, dump }) => explainsWhole(profile, dump, name))
    ? [phrase('The rule holds in all {0} dumps: {1}.', used.length, names)]
    : [phrase('Worked out from {0} dumps: {1}.', used.length, names)];
}

/** One sum is said with the rule; several are found each by itself. */
function isOnlySum(one: Finding, findings: readonly Finding[]): boolean {
  return one.kind === 'sum' && findings.filter(({ kind }) => kind === 'sum').length === 1;
}

/** Whether a dump that comes to name a rule as its profile is read by it, with that header. */
function isReadOnceNamed({ profile }: LearnCandidate, dump: Dump, uri: string): boolean {
  const { profile: read } = readProfile(JSON.stringify(profile));
  const name = fileName(uri);
  if (!hasPlaceForHeaders(dump) || headerOf(dump, 'profile') !== undefined) return true;
  return headerOf(bindText(name, textNaming(dump, 'p'), read), 'profile') !== undefined;
}

function ruleOf(
  session: Session,
  candidate: LearnCandidate,
  findings: readonly Finding[] | undefined,
  {
    title,
    uri,
    dumps,
    best,
  }: {
    readonly title: string;
    readonly uri: string;
    readonly dumps: readonly [NamedDump, ...NamedDump[]];
    readonly best: LearnCandidate | undefined;
  },
): LearnedRule {
  const { say } = session;
  const [{ dump }] = dumps;
  const { profile, lines, linesExplained, damaged, chance, undecided } = candidate;
  const { profile: read } = readProfile(JSON.stringify(profile));
  const [total] = read.totals;
  const sums = (findings ?? []).flatMap(({ kind, said }) => (kind === 'sum' ? said : []));
  // Rows that are lines themselves are in the form of the file, which the profile need not name.
  const own = canHaveRowsAsLines(dump.notation) && profile.lines !== undefined ? dump.notation.id : FORMS[0].id;
  const { notation = own } = profile;
  const said = sums.length > 1 ? phrase('{0} sums, found in the bytes below', sums.length) : sums[0];
  const bound = boundBy(read, dump, fileName(uri));
  const worked = workedSum(bound);
  return {
    form: say(
      typeof notation === 'string'
        ? (formOf(notation)?.title ?? phrase('{0}', notation))
        : patternInWords(notation.pattern, bound),
    ),
    pattern: typeof notation === 'string' ? null : notation.pattern,
    lineSum: profile.addresses === undefined ? say(lineSumInWords(read)) : '',
    total: say(said ?? (total === undefined ? phrase('none found') : totalInWords(total, bound))),
    lines,
    linesExplained,
    damaged: damaged.map(({ name, called }) => say(phrase('line {0} of {1}', called, name))),
    odds: say(oddsOfParts(candidate)),
    // Which of two rules is right, or whether any is, no figure says.
    chance: undecided ? '' : figureOf(session, chance),
    undecided: fitsAsWell(candidate, best),
    worked: worked === undefined ? null : inText(worked, say),
    profile: draftText(namedDraft(profile, title)),
  };
}

function foundInBytes(session: Session, { said, chance, undecided }: Finding): FoundInBytes {
  const { say } = session;
  return { what: say(said), odds: say(oddsInWords(chance, undecided)), chance: figureOf(session, chance) };
}

/** A chance in figures, where the words do not say it; else nothing. */
function figureOf({ say }: Session, chance: number): string {
  return chance > SURE && chance <= 0.5 ? '' : say(chanceAsOneIn(chance));
}

function inText({ of, steps, hint }: WorkedSum, say: Session['say']): NonNullable<LearnedRule['worked']> {
  return { of: say(of), steps: say(steps), hint: hint === undefined ? null : say(hint) };
}
