import {
  chanceInWords,
  type LearnCandidate,
  learn as learnFrom,
  type Phrase,
  phrase,
  type TextToLearn,
} from '../../../shared-core/src/index.js';
import { type Call, command, type Outcome } from './command.js';
import { OUT } from './options.js';
import { say } from './say.js';

/** Works out how undocumented dumps are written and summed; prints the best draft of a profile, or writes it. */
export const learn = command({
  name: 'learn',
  arguments: 'FILE…',
  does: phrase('work out how undocumented dumps are written and summed: a draft profile'),
  options: OUT,
  run: learnFiles,
});

async function learnFiles({ files, disk }: Call<typeof OUT>): Promise<Outcome> {
  const texts: TextToLearn[] = [];
  for (const name of await disk.expand(files)) texts.push({ name, text: await disk.readText(name) });
  const { candidates, remarks } = learnFrom(texts);
  const [best] = candidates;
  return {
    // A draft that explains no byte of the dump's own is a beginning, not an answer.
    status: best === undefined || best.chance >= 1 ? 1 : 0,
    ...(best !== undefined && { document: { content: `${JSON.stringify(best.profile, null, 2)}\n` } }),
    notes: [...(best === undefined ? [] : [summary(best, !candidates.some(({ undecided }) => undecided))]), ...remarks],
    json: {
      candidates: candidates.map(({ totalExplained = null, damaged, unread, unmarked, ...candidate }) => ({
        ...candidate,
        totalExplained,
        damaged: damaged.map(({ name, label }) => ({ file: name, label: String(label) })),
        unread: unread.map(({ name, row }) => ({ file: name, row })),
        unmarked: unmarked.map(({ name, row }) => ({ file: name, row })),
      })),
      remarks: remarks.map((remark) => say(remark)),
    },
  };
}

/** What the best draft explains. A chance is given only where no other rule fits as well. */
function summary({ linesExplained, lines, totalExplained, chance }: LearnCandidate, decided: boolean): Phrase {
  if (linesExplained === 0 && totalExplained)
    return decided
      ? phrase('The file sum is explained; probability that a wrong rule fits as well: {0}.', chanceInWords(chance))
      : phrase('The file sum is explained, but other rules explain it as well.');
  const known = decided
    ? phrase(
        '{0} of {1} lines explained; probability that a wrong rule fits as well: {2}.',
        linesExplained,
        lines,
        chanceInWords(chance),
      )
    : phrase('{0} of {1} lines explained, but other rules fit as well.', linesExplained, lines);
  return totalExplained ? phrase('{0} The file sum is explained too.', known) : known;
}
