import { type LearnCandidate, learn as learnFrom, phrase } from '../../../shared-core/src/index.js';
import type { Call, Outcome } from './command.js';
import { writeWhole } from './files.js';
import { openFiles } from './load.js';
import { say } from './say.js';

/** Works out how undocumented dumps are written and summed; prints the best draft of a profile, or writes it. */
export async function learn({ files: given, out }: Call): Promise<Outcome> {
  const files = openFiles(given);
  const texts = [];
  for (const name of await files.expand(given)) texts.push({ name, text: await files.readText(name) });
  const { candidates, remarks } = learnFrom(texts);
  const [best] = candidates;
  const draft = best === undefined ? '' : `${JSON.stringify(best.profile, null, 2)}\n`;
  if (out !== undefined && best !== undefined) writeWhole(out, draft);
  return {
    status: best === undefined ? 1 : 0,
    text: out === undefined ? draft : '',
    notes: [...(best === undefined ? [] : [summary(best)]), ...remarks.map((remark) => say(remark))],
    json: {
      candidates: candidates.map(({ totalExplained = null, damaged, ...candidate }) => ({
        ...candidate,
        totalExplained,
        damaged: damaged.map(({ name, label }) => ({ file: name, label: String(label) })),
      })),
      remarks: remarks.map((remark) => say(remark)),
    },
  };
}

function summary({ linesExplained, lines, totalExplained, chance }: LearnCandidate): string {
  const known = phrase(
    '{0} of {1} lines explained; probability that a wrong rule fits as well: {2}.',
    linesExplained,
    lines,
    Number(chance.toPrecision(2)),
  );
  return say(totalExplained ? phrase('{0} The file sum is explained too.', known) : known);
}
