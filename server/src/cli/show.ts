import { listed, phrase, type ShownDump, shownDump, shownInWords } from '../../../shared-core/src/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import { FROM, PROFILE, PROFILES } from './options.js';
import { say } from './say.js';

const OPTIONS = { ...FROM, ...PROFILE, ...PROFILES };

/** Dumps in words, for reading without an editor and for comparing texts. */
export const show = command({
  name: 'show',
  arguments: 'FILE…',
  does: phrase('dumps in words: options, sums, what is wrong, the other data; the same text for the same data'),
  options: OPTIONS,
  exclusive: [['profile', 'profiles']],
  run: showFiles,
});

async function showFiles({ files, profile, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const all: { readonly name: string; readonly shown: ShownDump }[] = [];
  for (const name of await disk.expand(files)) {
    const shown = shownDump(name, await disk.load(name, profile));
    if (!shown.ok) throw new Failure(shown.why);
    all.push({ name, shown: shown.value });
  }
  return {
    // Whoever compares texts wants the text, whatever is wrong with the dump: that is part of it.
    status: 0,
    says: all.flatMap(({ name, shown }, i) => [
      ...(all.length === 1 ? [] : [...(i === 0 ? [] : [listed([])]), listed(['== ', name], '')]),
      ...shownInWords(shown),
    ]),
    json: {
      files: all.map(
        ({ name, shown: { module = null, identity, options, sums, problems, unchecked, others, sha256 } }) => ({
          file: name,
          module,
          ...Object.fromEntries(identity.map(({ header, value }) => [header, value])),
          options: options.map(({ option: { id, title, group = null, confidence = null }, value }) => ({
            id,
            title,
            group,
            value: value === undefined ? null : say(value),
            confidence,
          })),
          sums: say(sums),
          problems: problems.map(({ code, severity, message }) => ({ code, severity, message: say(message) })),
          unchecked: unchecked.map((what) => say(what)),
          others,
          sha256,
        }),
      ),
    },
  };
}
