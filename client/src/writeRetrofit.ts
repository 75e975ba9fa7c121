import * as vscode from 'vscode';
import { JOBS, type JobsParams, type JobsResult } from '../../shared-core/src/protocol/jobs.js';
import { OPTION_GROUPS, type OptionGroupsResult } from '../../shared-core/src/protocol/learning.js';
import { OPTIONS, type OptionsResult } from '../../shared-core/src/protocol/options.js';
import { firstFree, numbered, partOfName, writeText } from './newFile.js';
import { nameOf } from './places.js';
import type { Services } from './services.js';
import { askText, warn } from './ui.js';
import { unsavedTexts } from './unsaved.js';

type Asking = Pick<Services, 'ask' | 'client' | 'current'>;

/**
 * Writes a retrofit of what is set in the modules of a vehicle otherwise than in their backups, beside the profile of the current
 * dump, so that nobody has to write JSON; dumps that are planned already stay out of it. Undefined where it is not written,
 * which the person is told.
 */
export async function writeRetrofit(
  services: Asking,
  isPlanned: (dump: vscode.Uri) => boolean = () => false,
): Promise<vscode.Uri | undefined> {
  const dump = services.current.document()?.uri;
  const modules = dump === undefined ? [] : await modulesOf(services, dump);
  const all: SetInModule[] = [];
  for (const one of modules.filter((module) => !isPlanned(module))) {
    const found = await setIn(services, one);
    if (found !== undefined) all.push(found);
  }
  const first = all.find(({ set }) => Object.keys(set).length > 0);
  if (first === undefined) {
    const nameless = all.flatMap((module) => module.nameless);
    void warn(nameless.length > 0 ? withoutNames(nameless) : setFirst());
    return undefined;
  }
  const isBeside = ({ profile }: SetInModule) => folderOf(profile) === folderOf(first.profile);
  const changed = all.filter((module) => isBeside(module) && Object.keys(module.set).length > 0);
  const nameless = all.filter(isBeside).flatMap((module) => module.nameless);
  const elsewhere = all.filter((module) => !isBeside(module)).map(({ profile }) => nameOf(profile));
  const fileFor = (title: string) => firstFree(first.profile, retrofitNames(title, first.profile));
  const leftOut = [
    ...(nameless.length > 0 ? [withoutNames(nameless)] : []),
    ...(elsewhere.length > 0
      ? [vscode.l10n.t('Not in it, as their profiles are in other folders: {0}.', elsewhere.join(', '))]
      : []),
  ];
  const title = await askText({
    title: vscode.l10n.t('What is the retrofit called?'),
    value: changed.flatMap((module) => module.titles).join(', '),
    // Its file is called the same, and a person is to know that before it is there.
    check: async (written) => {
      const file = written.trim() === '' ? undefined : await fileFor(written);
      if (file === undefined) return undefined;
      const named = vscode.l10n.t('It is written beside the profile: {0}.', nameOf(file));
      return { says: [named, ...leftOut].join(' '), takes: true };
    },
  });
  const file = title?.trim() ? await fileFor(title) : undefined;
  if (title === undefined || file === undefined) return undefined;
  const changes = changed.map(({ profile, set }) => ({ profile: nameOf(profile), set }));
  await writeText(file, `${JSON.stringify({ format: 1, title, changes }, null, 2)}\n`);
  return file;
}

function setFirst(): string {
  return vscode.l10n.t(
    'A retrofit is written of the options that are set otherwise than in the backup. Open a dump with a backup, set them there, then try again.',
  );
}

function withoutNames(titles: readonly string[]): string {
  return vscode.l10n.t(
    'These options go into no retrofit, as what they are set to has no name: {0}.',
    titles.join(', '),
  );
}

/** What is set in a module otherwise than in its backup. */
interface SetInModule {
  readonly profile: vscode.Uri;
  /** By the ids of the options, in words. */
  readonly set: Readonly<Record<string, string>>;
  /** Of these options. */
  readonly titles: readonly string[];
  /** Options whose values have no words. */
  readonly nameless: readonly string[];
}

export async function setIn({ ask }: Asking, dump: vscode.Uri): Promise<SetInModule | undefined> {
  // The server tells of texts that are open.
  await vscode.workspace.openTextDocument(dump);
  const uri = dump.toString();
  const list = await ask<OptionsResult>(OPTIONS, { uri });
  const groups = await ask<OptionGroupsResult>(OPTION_GROUPS, { uri });
  const set = (list?.options ?? []).filter(({ before }) => before !== null);
  const named = set.flatMap(({ id, title, form, choices }) => {
    const words = choices.find(({ current: isSet }) => isSet)?.words ?? '';
    return form === 'values' && words !== '' ? [{ id, title, words }] : [];
  });
  if (set.length === 0 || !groups?.profile) return undefined;
  return {
    profile: vscode.Uri.parse(groups.profile),
    set: Object.fromEntries(named.map(({ id, words }) => [id, words])),
    titles: named.map(({ title }) => title),
    nameless: set.filter(({ id }) => !named.some((one) => one.id === id)).map(({ title }) => title),
  };
}

/** The dumps in work of the vehicle of a dump, that dump first. */
async function modulesOf({ client }: Asking, dump: vscode.Uri): Promise<readonly vscode.Uri[]> {
  const params: JobsParams = { unsaved: unsavedTexts(), around: dump.toString() };
  const jobs = await client.sendRequest<JobsResult>(JOBS, params);
  const modules = (jobs?.vehicles ?? [])
    .map((vehicle) => vehicle.modules.map((module) => client.protocol2CodeConverter.asUri(module.uri)))
    .find((all) => all.some((one) => one.toString() === dump.toString()));
  return [dump, ...(modules ?? []).filter((one) => one.toString() !== dump.toString())];
}

function folderOf(file: vscode.Uri): string {
  return vscode.Uri.joinPath(file, '..').toString();
}

/** Names after what the retrofit is called, or else after the profile. */
function retrofitNames(title: string, profile: vscode.Uri): readonly string[] {
  const stem = partOfName(title).toLowerCase() || nameOf(profile).replace(/(?:\.dump-profile)?\.json$/, '');
  return numbered((number) => `${stem}${number === 1 ? '' : `-${number}`}.retrofit.json`);
}
