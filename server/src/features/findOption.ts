import { phrase } from '../../../shared-core/src/base/index.js';
import { planTrialsInSteps, trialSheet } from '../../../shared-core/src/jobs/index.js';
import {
  alikeCandidates,
  aloneInWords,
  calledBy,
  exceptionNames,
  FOUND,
  findOptionSteps,
  isOfImages,
  nextInWords,
  type OptionCandidate,
  type OptionSearch,
  optionOf,
  pairIn,
  pairInWords,
  placeInWords,
  rounded,
  tagCounts,
  titleAt,
  valuesInHex,
} from '../../../shared-core/src/learn/index.js';
import { bind, type Dump, headerOf, isSealed } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, fitsAll, sureInShort } from '../../../shared-core/src/profile/index.js';
import type { DumpParams, Refusal } from '../../../shared-core/src/protocol/common.js';
import {
  FIND_OPTION,
  type FindOptionParams,
  type FindOptionResult,
  type FoundPlace,
  OPTION_GROUPS,
  type OptionGroupsResult,
  PLAN_TRIALS,
  type PlanTrialsResult,
} from '../../../shared-core/src/protocol/learning.js';
import { canonicalUri, fileName } from '../../../shared-core/src/workspace/index.js';
import { dumpNames } from '../dumpNames.js';
import { wordsOfDump } from '../dumpWords.js';
import type { Feature } from '../feature.js';
import type { CancellationToken } from '../lsp.js';
import { dumpsOfModule, gatherDumps, type ModuleDumps, withoutBackups } from '../moduleDumps.js';
import { optionMap } from '../optionMap.js';
import type { Session } from '../session.js';
import { inSlices } from '../slices.js';
import { namingOf } from '../unboundDumps.js';
import { hazardChoices } from './newOption.js';

/** Which place of a module's dumps is a piece of equipment, and how to try where they do not say. */
export const findOption: Feature = {
  capabilities: () => ({}),
  register: (connection, session) => {
    connection.onRequest<OptionGroupsResult | Refusal, void>(OPTION_GROUPS, ({ uri }: DumpParams) =>
      groupsFor(session, uri),
    );
    connection.onRequest<FindOptionResult | Refusal, void>(
      FIND_OPTION,
      async (params: FindOptionParams, token: CancellationToken) => {
        const found = await searchFor(session, params, token);
        return 'refused' in found ? found : resultOf(session, params, found);
      },
    );
    connection.onRequest<PlanTrialsResult | Refusal, void>(
      PLAN_TRIALS,
      async (params: FindOptionParams, token: CancellationToken) => {
        const found = await searchFor(session, params, token);
        return 'refused' in found ? found : trialsOf(session, params, found, token);
      },
    );
  },
};

async function groupsFor(session: Session, uri: string): Promise<OptionGroupsResult | Refusal> {
  const found = await dumpsOfModule(session, uri);
  if (found === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const all = { ...found, dumps: withoutBackups(found.dumps, canonicalUri(uri)) };
  const tags = (dump: Dump, header: 'fitted' | 'absent') =>
    dump.rows.flatMap((row) => (row.kind === 'header' && row.name === header ? row.value : [])).join(' ');
  const names = dumpNames([...all.others, ...all.dumps].map(({ uri: one }) => one));
  return {
    tags: tagCounts(all.dumps.map(({ dump }) => dump)),
    dumps: all.dumps.map(({ uri: one, name, dump }) => ({
      uri: one,
      name,
      words: wordsOfDump(dump),
      fitted: tags(dump, 'fitted'),
      absent: tags(dump, 'absent'),
    })),
    others: all.others.map(({ uri: one, why, isUnnamed, isOther }, i) => ({
      uri: one,
      name: names[i] ?? one,
      why: session.say(why),
      isUnnamed,
      isOther,
    })),
    profile: all.profileUri ?? null,
  };
}

interface Found extends ModuleDumps {
  readonly search: OptionSearch;
}

async function searchFor(
  session: Session,
  params: FindOptionParams,
  token: CancellationToken,
): Promise<Found | Refusal> {
  const gathered = await gatherDumps(session, params, token);
  if (gathered === undefined) return { refused: session.say(phrase('Open the dump first.')) };
  const search = await inSlices(findOptionSteps(gathered.labelled, GROUPS), token);
  return { ...gathered, search };
}

/** As they are written into a profile, in whatever language the editor is. */
const GROUPS = ['with', 'without'];

function resultOf(session: Session, { tag }: FindOptionParams, found: Found): FindOptionResult {
  const { search, labelled, own, version, draft, profileUri, remarks } = found;
  const next = nextInWords(search);
  const pair = pairIn(labelled);
  return {
    name: tag,
    sizes: search.groups.map((_, group) => search.matrix.dumps.filter((dump) => dump.group === group).length),
    candidates: worthShowing(search).map((candidate) => foundPlace(session, found, candidate)),
    map: optionMap(search, own, session.say),
    remarks: [...remarks, ...(pair === undefined ? search.remarks : pair.remarks)].map(session.say),
    next: next === undefined ? null : session.say(next),
    pair: pair === undefined ? [] : pairInWords(pair, own).map(session.say),
    profile: profileUri !== undefined ? { uri: profileUri } : (draft ?? null),
    naming: profileUri === undefined ? namingOf({ dump: own, version }) : null,
    hazards: hazardChoices(session),
  };
}

/** A page of more candidates than these hides the good ones; the map has all. */
const MOST_CANDIDATES = 25;

/** Beyond this q a place is among noise; the first few are shown all the same. */
const NOISE = 0.5;
const FIRST = 3;

function worthShowing({ candidates }: OptionSearch): readonly OptionCandidate[] {
  return candidates.slice(0, MOST_CANDIDATES).filter(({ q }, rank) => rank < FIRST || q <= NOISE);
}

function foundPlace({ say }: Session, { search, own }: Found, candidate: OptionCandidate): FoundPlace {
  const isImage = isOfImages(search);
  const { p, q, digit } = candidate;
  const words = [say(phrase('fitted')), say(phrase('not fitted'))];
  const aloneOf = (one: OptionCandidate) => {
    const why = aloneInWords(search, calledBy(own, one));
    return why === undefined ? null : say(why);
  };
  const known = search.matrix.dumps[0]?.dump.profile ?? EMPTY_PROFILE;
  const asFound = (one: OptionCandidate) => ({
    place: say(placeInWords(calledBy(own, one).place, isImage)),
    inProfile: titleAt(known, one.place, isImage) ?? null,
    values: search.groups.map((_, group) => valuesInHex(one, group)),
    option: optionOf(search, one, { id: '', title: '', words }, own),
    alone: aloneOf(one),
  });
  return {
    ...asFound(candidate),
    odds: say(sureInShort({ p, q, tried: search.tried, exceptions: candidate.exceptions.length })),
    p: say(rounded(p)),
    q: say(rounded(q)),
    found: q <= FOUND,
    fits: fitsAll({ p, exceptions: candidate.exceptions.length }),
    exceptions: exceptionNames(search, candidate),
    sameAs: alikeCandidates(search, candidate).map(asFound),
    digit: digit === undefined ? null : asFound({ ...candidate, ...digit }),
  };
}

async function trialsOf(
  session: Session,
  { uri, tag }: FindOptionParams,
  { search, own }: Found,
  token: CancellationToken,
): Promise<PlanTrialsResult> {
  const profile = search.matrix.dumps[0]?.dump.profile ?? EMPTY_PROFILE;
  const dump = own.profile.geometry === undefined ? bind(own.rows, own.notation, profile) : own;
  const words = [session.say(phrase('fitted')), session.say(phrase('not fitted'))];
  const plan = await inSlices(planTrialsInSteps(search, dump, { name: tag, words }), token);
  return {
    title: session.say(phrase('Trials: {0}', tag)),
    page: trialSheet(plan, { name: tag, file: fileName(uri), dump }, session.say),
    lacksBackup: headerOf(own, 'backup') === undefined && !isSealed(own),
  };
}
