import { basename } from 'node:path';
import { hex, type Phrase, phrase } from '../../../shared-core/src/base/index.js';
import {
  draftText,
  type Finding,
  findingsSaid,
  fitsAsWell,
  type LearnCandidate,
  learnSteps,
  likelyModuleName,
  namedDraft,
  oddsOfParts,
  oddsWithFigures,
  type TextToLearn,
  type WorkedSum,
  workedSum,
} from '../../../shared-core/src/learn/index.js';
import { bindWithHeaders } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE, readProfile } from '../../../shared-core/src/profile/index.js';
import { type Call, command, type Outcome } from './command.js';
import { FROM, OUT, text } from './options.js';
import { finishShown } from './progress.js';
import { say } from './say.js';

const OPTIONS = {
  title: text('TEXT', phrase('what the module is called; else the name of the file says it')),
  ...FROM,
  ...OUT,
};

/** Works out how undocumented dumps are written and summed; prints the best draft of a profile, or writes it. */
export const learn = command({
  name: 'learn',
  arguments: 'FILE…',
  does: phrase('work out how undocumented dumps are written and summed: a draft profile'),
  options: OPTIONS,
  run: learnFiles,
});

async function learnFiles({ files, disk, title }: Call<typeof OPTIONS>): Promise<Outcome> {
  const texts: TextToLearn[] = [];
  for (const name of await disk.expand(files)) texts.push({ name, text: await disk.readText(name) });
  const { candidates, remarks, findings } = finishShown(learnSteps(texts));
  const [best] = candidates;
  const named = title ?? nameFor(texts);
  const shown = candidates.map((candidate) => ({
    ...candidate,
    profile: namedDraft(candidate.profile, named),
    worked: worked(candidate, texts),
  }));
  const [first] = shown;
  return {
    // A draft that explains no byte of the dump's own is a beginning, not an answer.
    status: best === undefined || best.chance >= 1 ? 1 : 0,
    ...(first !== undefined && { document: { content: draftText(first.profile) } }),
    notes: [
      ...(best === undefined || (findings !== undefined && best.chance >= 1)
        ? []
        : [summary(candidates, best, findings)]),
      ...findingsSaid(findings ?? []),
      ...(first?.worked === undefined ? [] : workedInWords(first.worked)),
      ...remarks,
    ],
    json: {
      candidates: shown.map(
        ({ from: _, totalExplained = null, damaged, unread, unmarked, worked: sum, ...candidate }) => ({
          ...candidate,
          totalExplained,
          damaged: damaged.map(({ name, label }) => ({ file: name, label: String(label) })),
          unread: unread.map(({ name, row }) => ({ file: name, row })),
          unmarked: unmarked.map(({ name, row }) => ({ file: name, row })),
          worked: sum === undefined ? null : { of: say(sum.of), steps: say(sum.steps) },
        }),
      ),
      ...(findings !== undefined && {
        findings: findings.map(({ said, from, to, ...finding }) => ({
          ...finding,
          ...{ from: inHex(from), to: inHex(to), text: say(said) },
        })),
      }),
      remarks: remarks.map((remark) => say(remark)),
    },
  };
}

function inHex(address: number): string {
  return `0x${hex(address, 4)}`;
}

/** What the module may be called, by the first dump. */
function nameFor([first]: readonly TextToLearn[]): string {
  if (first === undefined) return '';
  return likelyModuleName(bindWithHeaders(first.name, first.text, EMPTY_PROFILE), basename(first.name));
}

/** One sum of the first text in which one is right by the rule. */
function worked({ profile }: LearnCandidate, texts: readonly TextToLearn[]): WorkedSum | undefined {
  const { profile: read } = readProfile(JSON.stringify(profile));
  for (const { name, text } of texts) {
    const sum = workedSum(bindWithHeaders(name, text, read));
    if (sum !== undefined) return sum;
  }
  return undefined;
}

function workedInWords({ of, steps, hint }: WorkedSum): readonly Phrase[] {
  return [phrase('{0}; worked out: {1}', of, steps), ...(hint === undefined ? [] : [hint])];
}

/** What the best draft explains. A chance is given only where nothing is undecided. */
function summary(
  candidates: readonly LearnCandidate[],
  best: LearnCandidate,
  findings: readonly Finding[] | undefined,
): Phrase {
  const decided = !candidates.some(({ undecided }) => undecided);
  const hasRivals = candidates.some((one) => fitsAsWell(one, best));
  const { linesExplained, lines, totalExplained, chance } = best;
  const sums = (findings ?? []).filter(({ kind }) => kind === 'sum').length;
  if (sums > 0) {
    const odds = decided ? oddsWithFigures(chance) : phrase('undecided');
    return sums === 1
      ? phrase('1 sum over the bytes found; {0}.', odds)
      : phrase('{0} sums over the bytes found; {1}.', sums, odds);
  }
  if (linesExplained === 0 && totalExplained)
    return decided
      ? phrase('The file sum is explained; {0}.', oddsWithFigures(chance))
      : phrase('The file sum is explained, but undecided: other rules explain it as well.');
  const odds = decided ? oddsWithFigures(chance, oddsOfParts(best)) : phrase('undecided');
  const known = hasRivals
    ? phrase('{0} of {1} lines explained, but undecided: other rules fit as well.', linesExplained, lines)
    : phrase('{0} of {1} lines explained; {2}.', linesExplained, lines, odds);
  return totalExplained ? phrase('{0} The file sum is explained too.', known) : known;
}
