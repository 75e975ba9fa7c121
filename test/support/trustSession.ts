import type { CodeAction, TextDocumentEdit, TextEdit, WorkspaceEdit } from 'vscode-languageserver-protocol';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { RESTORABLE_LINES, RESTORE } from '../../shared-core/src/protocol/backup.js';
import { BALANCE_AT, BALANCE_CHOICES } from '../../shared-core/src/protocol/balance.js';
import { TAKE_LINE } from '../../shared-core/src/protocol/compare.js';
import { SET_OPTION } from '../../shared-core/src/protocol/options.js';
import { PLAN_RETROFIT, RETROFIT_VEHICLES } from '../../shared-core/src/protocol/retrofit.js';
import { bytesByKey } from './oracle/contents.js';
import { harmIn } from './oracle/harm.js';
import { labelsOf } from './oracle/profileJson.js';
import { readText } from './oracle/texts.js';
import { FULL_CLIENT, type ServerSession, serverSession } from './serverSession.js';
import { type TrustCase, wishFor } from './trustCase.js';

const FOLDER = 'file:///car/';
export const uriOf = (name: string) => FOLDER + name;
const nameOf = (uri: string) => uri.slice(FOLDER.length);

/** A server that has the files of a case, with the dumps of the module open, and all other files on the disk. */
export async function sessionOf(
  { files, member }: Pick<TrustCase, 'files' | 'member'>,
  client = FULL_CLIENT,
): Promise<ServerSession> {
  const session = await serverSession(client, { commands: true });
  for (const [name, text] of files) session.files.set(uriOf(name), text);
  for (const name of [member.workFile, member.backupFile]) {
    const text = files.get(name);
    if (text !== undefined) await session.open(uriOf(name), text);
  }
  return session;
}

/** An edit that the server offered, and for what. */
export interface Offer {
  readonly says: string;
  readonly edit: WorkspaceEdit;
  /** Whether it is about spacing alone, so that no byte may change. */
  readonly isSpacing: boolean;
}

/** All edits that can be had of the server for a dump, mostly the one in work: at every line, for some options, for some lines to restore. */
export async function offersOf(session: ServerSession, given: TrustCase): Promise<readonly Offer[]> {
  const { dice, member, files, retrofitFile } = given;
  const isBackup = files.has(member.backupFile) && dice.once(8);
  const name = isBackup ? member.backupFile : member.workFile;
  const uri = uriOf(name);
  const text = files.get(name) ?? '';
  const offers: Offer[] = [];
  const add = (says: string, edit: unknown, isSpacing = false) => {
    if (typeof edit === 'object' && edit !== null) offers.push({ says, edit, isSpacing });
  };
  const ask = (method: string, params: object) => session.connection.sendRequest<unknown>(method, params);
  const take = (says: string, answer: unknown) => add(says, (answer as { edit?: unknown } | null)?.edit);
  const rows = text.split(/\r\n|\n/);
  const addActions = async (only: string[] | undefined, line: number, from: number, to: number) => {
    const range = { start: { line, character: from }, end: { line, character: to } };
    const actions = await ask('textDocument/codeAction', {
      textDocument: { uri },
      range,
      context: { diagnostics: [], ...(only && { only }) },
    });
    for (const { title, edit } of (actions ?? []) as CodeAction[]) add(`action "${title}"`, edit);
  };
  for (const [line, row] of rows.entries()) await addActions(undefined, line, 0, row.length);
  await addActions(['source.fixAll'], 0, 0, 0);
  for (let i = 0; i < 6; i++) {
    const line = dice.int(0, rows.length - 1);
    const column = dice.int(0, rows[line]?.length ?? 0);
    await addActions(['refactor.rewrite'], line, column, column);
    const position = { line, character: rows[line]?.length ?? 0 };
    const completion = await ask('textDocument/completion', { textDocument: { uri }, position });
    for (const item of itemsOf(completion))
      if (item.textEdit !== undefined) {
        const edits = [item.textEdit, ...(item.additionalTextEdits ?? [])];
        add(`completion "${item.label}"`, { changes: { [uri]: edits } });
      }
  }
  for (const option of dice.some(member.profile.options ?? [], 3)) {
    const { written, raw } = wishFor(dice, option);
    const to = raw !== undefined && dice.once(2) ? { value: String(raw) } : { written };
    take(`set ${option.id} to ${written}`, await ask(SET_OPTION, { uri, id: option.id, to }));
  }
  const lines = await ask(RESTORABLE_LINES, { uri });
  if (Array.isArray(lines) && lines.length > 0) {
    const all: readonly string[] = lines.map(({ label }: { label: string }) => label);
    const labels = dice.once(2) ? all : dice.some(all, 1);
    take(`restore ${labels.join()}`, await ask(RESTORE, { uri, labels }));
  }
  const other = dice.once(2)
    ? {}
    : { other: uriOf(dice.pick([...files.keys()].filter((file) => !file.endsWith('.json')))) };
  const line = dice.once(2)
    ? { row: dice.int(0, rows.length - 1) }
    : { label: String(dice.pick([...labelsOf(member.profile), 0])) };
  take(`take line ${JSON.stringify({ ...other, line })}`, await ask(TAKE_LINE, { uri, ...other, line }));
  const choices = await ask(BALANCE_CHOICES, { uri });
  if (Array.isArray(choices)) for (const { title, edit } of choices) add(`balance with ${title}`, edit);
  const { addresses } = member.profile;
  if (addresses !== undefined) {
    const from = dice.int(Number(addresses.from), Number(addresses.to));
    const range = `${from.toString(16)}..${(from + dice.int(0, 8)).toString(16)}`;
    take(`balance at ${range}`, await ask(BALANCE_AT, { uri, addresses: range }));
  }
  const vehicles = await ask(RETROFIT_VEHICLES, { uri: uriOf(retrofitFile) });
  if (Array.isArray(vehicles))
    for (const { id } of vehicles) take('plan', await ask(PLAN_RETROFIT, { uri: uriOf(retrofitFile), vehicle: id }));
  const options = { tabSize: 2, insertSpaces: true };
  const spacing = await ask('textDocument/formatting', { textDocument: { uri }, options });
  if (Array.isArray(spacing)) add('formatting', { changes: { [uri]: spacing } }, true);
  return offers;
}

interface Item {
  readonly label: string;
  readonly textEdit?: TextEdit;
  /** What changes elsewhere with it. */
  readonly additionalTextEdits?: readonly TextEdit[];
}

function itemsOf(completion: unknown): readonly Item[] {
  const list = Array.isArray(completion) ? completion : ((completion as { items?: unknown } | null)?.items ?? []);
  return Array.isArray(list) ? list : [];
}

/** The files after an edit, by their names. */
export function applied(files: ReadonlyMap<string, string>, edit: WorkspaceEdit): ReadonlyMap<string, string> {
  const after = new Map(files);
  const change = (uri: string, edits: readonly TextEdit[]) => {
    const name = nameOf(uri);
    const document = TextDocument.create(uri, 'any', 0, files.get(name) ?? '');
    after.set(name, TextDocument.applyEdits(document, [...edits]));
  };
  for (const [uri, edits] of Object.entries(edit.changes ?? {})) change(uri, edits);
  for (const one of (edit.documentChanges ?? []) as TextDocumentEdit[])
    change(one.textDocument.uri, one.edits as TextEdit[]);
  return after;
}

/** What an offered edit would do that it must not. */
export function harmOfOffer(given: TrustCase, { says, edit, isSpacing }: Offer): readonly string[] {
  const { files, member, isFlawed } = given;
  const after = applied(files, edit);
  return [...after].flatMap(([name, text]) => {
    const before = files.get(name) ?? '';
    if (before === text) return [];
    if (name.endsWith('.json')) return [`${name} was changed`];
    const isOfIt = name === member.workFile || name === member.backupFile;
    const profile = isOfIt ? member.profile : profileNamed(before, files);
    const [was, now] = [before, text].map((one) => bytesByKey(readText(one, member.form), profile));
    const isSame = JSON.stringify([...(was ?? [])]) === JSON.stringify([...(now ?? [])]);
    if (isSpacing) return isSame ? [] : ['spacing changed bytes'];
    // What a person types is none of ours, so long as it is no byte.
    if (isSame && says.startsWith('completion')) return [];
    if (isFlawed && isOfIt) return isSame ? [] : ['wrote by a profile that has a problem'];
    const backup = files.get(readText(before, member.form).headers.get('backup') ?? '');
    return harmIn({ profile, before, after: text, backup });
  });
}

function profileNamed(text: string, files: ReadonlyMap<string, string>) {
  return JSON.parse(files.get(/@profile (\S+)/.exec(text)?.[1] ?? '') ?? '{}');
}
