import assert from 'node:assert/strict';
import { after, before, describe, it } from 'mocha';
import type { CodeAction, Diagnostic } from 'vscode-languageserver-protocol';
import { OPTIONS, type OptionsResult, SET_OPTION } from '../../shared-core/src/protocol/options.js';
import { PLAN_RETROFIT, RETROFIT_VEHICLES } from '../../shared-core/src/protocol/retrofit.js';
import { seedOf } from '../support/dice.js';
import { type Folder, makeFolder } from '../support/folder.js';
import { runCommand } from '../support/inProcess.js';
import { rawOf } from '../support/oracle/build.js';
import { bytesByKey } from '../support/oracle/contents.js';
import type { OptionJson } from '../support/oracle/profileJson.js';
import { readText } from '../support/oracle/texts.js';
import { RESOLVING_CLIENT, type ServerSession } from '../support/serverSession.js';
import { timesMore } from '../support/times.js';
import { type TrustCase, trustCase, type Wish, wishAsFound, wishFor } from '../support/trustCase.js';
import { applied, sessionOf, uriOf } from '../support/trustSession.js';

/** In lots, so that one that fails ends soon. */
const LOTS = [0, 1];
const CASES = 50 * timesMore();
const REFUSED = 'refused';

/** What the dump in work is after a wish, by the way on which it was asked for. */
type Answers = Readonly<Record<string, string | undefined>>;

describe('the same answer everywhere', () => {
  let folder: Folder;
  before(() => {
    folder = makeFolder();
  });
  after(() => folder.remove());

  for (const lot of LOTS)
    it(`lot ${lot + 1}: quick fix, Options view, Set an Option, set and plan write the same bytes for the same wish`, async () => {
      const failures: string[] = [];
      let agreed = 0;
      for (let index = 0; index < CASES; index++) {
        const seed = seedOf(3, lot * CASES + index);
        const plain = trustCase(seed);
        const { given, wish } = (index % 2 === 0 ? undefined : await wayBack(folder, plain)) ?? {
          given: plain,
          wish: wishOf(plain),
        };
        if (wish === undefined) continue;
        const retrofit = {
          format: 1,
          changes: [{ profile: given.member.profileFile, set: { [wish.option.id]: wish.written } }],
        };
        const files = new Map([...given.files, [given.retrofitFile, JSON.stringify(retrofit)]]);
        const answers = {
          ...(await onTheCommandLine(folder, { ...given, files }, wish)),
          ...(await inTheEditor({ ...given, files }, wish)),
        };
        const told = Object.entries(answers).filter(([, answer]) => answer !== undefined);
        const [, first] = told[0] ?? [];
        // A plan may be refused for more: it proves the way back as well.
        const unlike = told.filter(
          ([way, answer]) => answer !== first && !(way.startsWith('plan') && answer === REFUSED),
        );
        if (unlike.length === 0) agreed += first === REFUSED ? 0 : 1;
        else
          failures.push(
            `seed ${seed} (${given.says}) ${wish.option.id}=${wish.written}:\n    ${told.map(([way, answer]) => `${way}: ${inShort(answer, files.get(given.member.workFile))}`).join('\n    ')}`,
          );
      }
      assert.deepEqual(failures.slice(0, 5).join('\n'), '', `${failures.length} of ${CASES} wishes`);
      assert.ok(agreed > CASES / 4, `${agreed} wishes were met`);
    }).timeout(300_000 * timesMore());

  const problemLaws = [
    ['dump', 4, ({ member: { workFile, backupFile } }: TrustCase) => [workFile, backupFile]],
    ['profile or retrofit', 5, ({ member: { profileFile }, retrofitFile }: TrustCase) => [profileFile, retrofitFile]],
  ] as const;
  for (const [what, law, filesOf] of problemLaws) {
    for (const lot of LOTS)
      it(`lot ${lot + 1}: check and the list of problems find the same in the same ${what}`, async () => {
        const failures: string[] = [];
        let found = 0;
        for (let index = 0; index < CASES; index++) {
          const seed = seedOf(law, lot * CASES + index);
          const given = trustCase(seed);
          folder.clear();
          folder.write(given.files);
          const session = await sessionOf(given);
          try {
            for (const name of filesOf(given)) {
              const text = given.files.get(name);
              if (text === undefined) continue;
              if (name.endsWith('.json')) await session.open(uriOf(name), text);
              const here = await checked(folder.of(name));
              const there = (await session.diagnostics(uriOf(name))).map(inWords).sort();
              found += here.length;
              if (here.join('\n') !== there.join('\n'))
                failures.push(
                  `seed ${seed} (${given.says}) ${name}:\n    only check: ${only(here, there)}\n    only the editor: ${only(there, here)}`,
                );
            }
          } finally {
            session.close();
          }
        }
        assert.deepEqual(failures.slice(0, 5).join('\n'), '', `${failures.length} files`);
        assert.ok(found > CASES / 10, `${found} problems`);
      }).timeout(300_000 * timesMore());
  }
});

const only = (these: readonly string[], those: readonly string[]) =>
  these
    .filter((one) => !those.includes(one))
    .slice(0, 3)
    .join(' | ') || '–';

/** A dump in which options were set by commands and all but one set back, and the wish to have that one as it was found. */
async function wayBack(
  folder: Folder,
  given: TrustCase,
): Promise<{ readonly given: TrustCase; readonly wish: Wish } | undefined> {
  const { dice, member, files } = given;
  const { work, backup, workFile } = member;
  const fresh = work.slice(0, work.indexOf('\n\n')) + backup.slice(backup.indexOf('\n\n'));
  const options = dice.some(freeOptions(given), 3);
  const back = options.flatMap((option) => wishAsFound(given, option) ?? []);
  const wish = back.at(-1);
  folder.clear();
  folder.write(new Map([...files, [workFile, fresh]]));
  for (const { option, written } of [...options.map((option) => wishFor(dice, option)), ...back.slice(0, -1)])
    await runCommand(['set', folder.of(workFile), `${option.id}=${written}`, '--write']);
  const set = folder.files().get(workFile) ?? '';
  if (wish === undefined || set === fresh) return undefined;
  return { given: { ...given, files: new Map([...files, [workFile, set]]) }, wish };
}

/** Options without conditions: whether one may be passed over is asked differently in each place. */
function freeOptions({ member }: TrustCase): readonly OptionJson[] {
  return (member.profile.options ?? []).filter(({ needs, excludes }) => needs === undefined && excludes === undefined);
}

function wishOf(given: TrustCase): Wish | undefined {
  const { dice, member, files } = given;
  const { profile, form, workFile } = member;
  const bytes = new Map(
    [...bytesByKey(readText(files.get(workFile) ?? '', form), profile)].map(([key, [byte = 0]]) => [key, byte]),
  );
  const wishes = (profile.options ?? [])
    .filter(({ needs, excludes }) => needs === undefined && excludes === undefined)
    // Going back to what was found is where a backup counts.
    .map((option) => (dice.once(2) ? wishAsFound(given, option) : undefined) ?? wishFor(dice, option))
    .filter(({ option, raw }) => raw === undefined || raw !== rawOf(bytes, profile, option));
  return wishes.length === 0 ? undefined : dice.pick(wishes);
}

async function onTheCommandLine(
  folder: Folder,
  { member, files, retrofitFile }: TrustCase,
  { option, written }: Wish,
): Promise<Answers> {
  const asked = async (args: readonly string[]) => {
    folder.clear();
    folder.write(files);
    const { status } = await runCommand(args);
    // What was set beside sums that nobody can tell ends with 1; a plan that ends so was refused.
    const isDone = status === 0 || (status === 1 && args[0] === 'set');
    return isDone ? folder.files().get(member.workFile) : REFUSED;
  };
  return {
    set: await asked(['set', folder.of(member.workFile), `${option.id}=${written}`, '--write']),
    plan: await asked(['plan', folder.of(retrofitFile), folder.of(member.workFile), '--write']),
  };
}

async function inTheEditor(given: TrustCase, { option, written, raw }: Wish): Promise<Answers> {
  const { member, files, retrofitFile } = given;
  const session = await sessionOf(given, RESOLVING_CLIENT);
  const uri = uriOf(member.workFile);
  const afterEdit = (answer: unknown): string | undefined => {
    const edit = (answer as { edit?: object | null }).edit;
    return edit === undefined || edit === null ? REFUSED : applied(files, edit).get(member.workFile);
  };
  const ask = (method: string, params: object) => session.connection.sendRequest<unknown>(method, params);
  try {
    const vehicles = (await ask(RETROFIT_VEHICLES, { uri: uriOf(retrofitFile) })) as readonly { id: string }[];
    const [vehicle] = Array.isArray(vehicles) ? vehicles : [];
    return {
      'quick fix': await byQuickFix(session, uri, option.id, written, afterEdit),
      'Set an Option': afterEdit(await ask(SET_OPTION, { uri, id: option.id, to: { written } })),
      'Options view':
        raw === undefined
          ? undefined
          : afterEdit(await ask(SET_OPTION, { uri, id: option.id, to: { value: String(raw) } })),
      'plan in the editor':
        vehicle && afterEdit(await ask(PLAN_RETROFIT, { uri: uriOf(retrofitFile), vehicle: vehicle.id })),
    };
  } finally {
    session.close();
  }
}

/** The choice at the option's own place; undefined where the wish is none of those that are offered there. */
async function byQuickFix(
  session: ServerSession,
  uri: string,
  id: string,
  written: string,
  afterEdit: (answer: unknown) => string | undefined,
): Promise<string | undefined> {
  const { options } = await session.connection.sendRequest<OptionsResult>(OPTIONS, { uri });
  const item = options.find((one) => one.id === id);
  if (item === undefined || item.range === null || item.form !== 'values') return undefined;
  const words = item.choices.find((choice) => choice.value === written || choice.words === written)?.words;
  const { line, character } = item.range.start;
  const actions: readonly CodeAction[] = await session.actions(uri, line, character, ['refactor.rewrite']);
  const action = actions.find(({ title }) => title.startsWith(`Set ${item.title} to ${words} (`));
  if (action === undefined) return undefined;
  const chosen =
    action.data === undefined ? action : await session.connection.sendRequest<CodeAction>('codeAction/resolve', action);
  return afterEdit(chosen.disabled === undefined ? chosen : {});
}

/** Rows in which an answer differs from what was. */
function inShort(answer: string | undefined, before = ''): string {
  if (answer === undefined || answer === REFUSED) return REFUSED;
  const [was, now] = [before.split('\n'), answer.split('\n')];
  const unlike = now.filter((row, i) => row !== was[i]);
  return now.length !== was.length ? `${now.length} rows` : unlike.join(' // ') || 'nothing changed';
}

interface CheckJson {
  readonly files: readonly { readonly problems: readonly ProblemJson[] }[];
}

interface ProblemJson {
  readonly code: string;
  readonly severity: 'error' | 'warning' | 'information';
  readonly message: string;
  readonly line: number;
  readonly column: number;
  readonly endLine: number;
  readonly endColumn: number;
}

async function checked(file: string): Promise<readonly string[]> {
  const ran = await runCommand(['check', file, '--json']);
  if (ran.text === '') return [`refused: ${ran.notes}`];
  return (JSON.parse(ran.text) as CheckJson).files
    .flatMap(({ problems }) => problems)
    .map(({ code, severity, message, line, column, endLine, endColumn }) =>
      [line, column, endLine, endColumn, severity, code, message].join(' '),
    )
    .sort();
}

function inWords({ range: { start, end }, severity, code, message }: Diagnostic): string {
  const word = { 1: 'error', 2: 'warning', 3: 'information', 4: 'hint' }[severity ?? 1];
  return [start.line + 1, start.character + 1, end.line + 1, end.character + 1, word, code, message].join(' ');
}
