import { listed, type Phrase, phrase, type Result } from '../../../shared-core/src/base/index.js';
import { type ShownDump, shownDump, shownInWords } from '../../../shared-core/src/jobs/index.js';
import { Failure } from '../files/failure.js';
import { type Call, command, type Outcome } from './command.js';
import type { Disk } from './load.js';
import { FROM, PROFILE, PROFILES } from './options.js';
import { say } from './say.js';

const OPTIONS = { ...FROM, ...PROFILE, ...PROFILES };

/** Dumps in words, for reading without an editor and for comparing texts. */
export const show = command({
  name: 'show',
  arguments: 'FILE…',
  does: phrase('dumps in words: options, sums, what is wrong, the other data; the same text for the same lines'),
  options: OPTIONS,
  exclusive: [['profile', 'profiles']],
  run: showFiles,
});

interface Shown {
  readonly name: string;
  readonly shown: ShownDump;
}

async function showFiles({ files, profile, disk }: Call<typeof OPTIONS>): Promise<Outcome> {
  const all: Shown[] = [];
  const unread: { readonly name: string; readonly why: Phrase }[] = [];
  for (const name of await disk.expand(files)) {
    const shown = await shownOf(disk, name, profile);
    if (shown.ok) all.push({ name, shown: shown.value });
    else unread.push({ name, why: shown.why });
  }
  const [first] = unread;
  if (first !== undefined && all.length === 0) throw new Failure(first.why);
  return {
    // Whoever compares texts wants the text, whatever is wrong with the dump: that is part of it.
    status: unread.length === 0 ? 0 : 2,
    notes: unread.map(({ why }) => why),
    says: all.flatMap(({ name, shown }, i) => [
      ...(all.length === 1 ? [] : [...(i === 0 ? [] : [listed([])]), listed(['== ', name], '')]),
      ...shownInWords(shown),
    ]),
    json: {
      files: [
        ...all.map(
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
            others: others.map(({ place, digits }) => ({ place, digits })),
            sha256,
          }),
        ),
        ...unread.map(({ name, why }) => ({ file: name, unread: say(why) })),
      ],
    },
  };
}

/** A file that cannot be read leaves the others shown. */
async function shownOf(disk: Disk, name: string, profile: string | undefined): Promise<Result<ShownDump>> {
  try {
    return shownDump(name, await disk.load(name, profile));
  } catch (error) {
    if (!(error instanceof Failure)) throw error;
    return { ok: false, why: error.said };
  }
}
