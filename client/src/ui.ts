import * as vscode from 'vscode';
import { literal, oneLine } from '../../shared-core/src/base/index.js';
import { BUTTONS, type Button } from './buttons.js';

/** Says something in a notice, and gives the button that is pressed in it. */
export type Tell = (message: string, ...buttons: readonly Button[]) => Promise<Button | undefined>;

export const inform: Tell = (message, ...buttons) =>
  notice((text, ...all) => vscode.window.showInformationMessage(text, ...all), message, buttons);

export const warn: Tell = (message, ...buttons) =>
  notice((text, ...all) => vscode.window.showWarningMessage(text, ...all), message, buttons);

type ShowNotice = (text: string, ...buttons: readonly string[]) => Thenable<string | undefined>;

async function pressed(show: ShowNotice, text: string, buttons: readonly Button[]): Promise<Button | undefined> {
  const label = await show(text, ...buttons.map((button) => BUTTONS[button]()));
  return buttons.find((button) => BUTTONS[button]() === label);
}

/** What a notice has no room for is behind a button of it. */
async function notice(show: ShowNotice, message: string, buttons: readonly Button[]): Promise<Button | undefined> {
  const { head, rest } = fitting(message);
  // Without a button, an editor shows one line of a notice and cuts off what to do.
  const shown: readonly Button[] = buttons.length === 0 && message.length > ONE_LINE ? ['ok'] : buttons;
  if (rest === '') return pressed(show, literal(message), shown);
  const answer = await pressed(show, literal(head), [...buttons, 'showAll']);
  if (answer !== 'showAll') return answer;
  await tellAll(head, [rest]);
  return undefined;
}

/** Says something in full, in front of everything else. */
export async function tellAll(head: string, lines: readonly string[]): Promise<void> {
  await vscode.window.showInformationMessage(literal(head), { modal: true, detail: lines.map(literal).join('\n') });
}

/** Characters of one line. */
const ONE_LINE = 50;

/** Characters of about three lines: so many of a notice are shown. */
const MOST = 180;

/** The first sentences of a message, as many as a notice shows, one at least; and the others. */
export function fitting(message: string): { readonly head: string; readonly rest: string } {
  let end = 0;
  for (const { index, 0: gap } of message.matchAll(/(?<=[.!?]["”“]?)\s+(?=["„“@\p{Lu}])|$/gu)) {
    if (end > 0 && index > MOST) break;
    end = index + gap.length;
  }
  return { head: message.slice(0, end).trimEnd(), rest: message.slice(end) };
}

/** Asks before anything else can be done; each line of the detail is a paragraph. */
export async function confirm(question: string, accept: Button, detail: readonly string[] = []): Promise<boolean> {
  return (await choosing(question, [accept], detail)) === accept;
}

/**
 * The same where a yes may hurt people, or writes at once what is a guess: who presses Enter without reading leaves all as it is. An editor
 * gives the focus to the first button, and puts its own *Cancel* behind the others, so that the safe one is a button too. Marked
 * `isCloseAffordance`, it would take the place of *Cancel*, but also its place at the end, and the writing one would come first.
 */
export async function confirmRisk(question: string, accept: Button, detail: readonly string[] = []): Promise<boolean> {
  return (await choosing(question, ['leave', accept], detail)) === accept;
}

/** Asks which way to go before anything else can be done; undefined where the person goes away. */
export function choosing(
  question: string,
  ways: readonly Button[],
  detail: readonly string[] = [],
): Promise<Button | undefined> {
  const options = { modal: true, detail: detail.map(literal).join('\n\n') };
  return pressed((text, ...all) => vscode.window.showWarningMessage(text, options, ...all), literal(question), ways);
}

/**
 * Says in the status bar for a while what was done, and what became of the `files`. Where there is no room, what is behind the
 * last colon of each goes first: how many bytes that takes, then the names of the files.
 */
export function tellDone(says: string, files = ''): void {
  const head = says.replace(/(.): .*$/s, '$1');
  const became = files.replace(/(.): .*$/s, '$1.');
  const ways = [withFiles(says, files), withFiles(head, files), withFiles(head, became)];
  const room = IN_STATUS_BAR - (became === '' ? 0 : became.length + 2);
  const cut = withFiles(`${head.slice(0, Math.max(room, 1) - 1)}…`, became);
  const shown = ways.find(({ length }) => length <= IN_STATUS_BAR) ?? cut;
  vscode.window.setStatusBarMessage(`$(check) ${literal(shown)}`, 8000);
}

/** Characters of a text in the status bar; an editor cuts off what is beyond them. */
const IN_STATUS_BAR = 80;

/** What is said of an edit, with what became of the files where there is something to say. */
export function withFiles(says: string, files: string): string {
  if (says === '' || files === '') return says || files;
  return `${says}${/[.!?:…]$/.test(says) ? '' : '.'} ${files}`;
}

/** What is to be done in a text, in the status bar until somebody does something in it. */
export function tellUntilTyped(document: vscode.TextDocument, text: string): void {
  const shown = vscode.window.setStatusBarMessage(`$(arrow-right) ${literal(text)}`);
  const done = vscode.Disposable.from(
    shown,
    vscode.workspace.onDidChangeTextDocument((changed) => {
      if (changed.document === document && changed.contentChanges.length > 0) done.dispose();
    }),
    vscode.workspace.onDidCloseTextDocument((closed) => {
      if (closed === document) done.dispose();
    }),
  );
}

/** Where the cursor went, for a while in the status bar. */
export function tellPlace(text: string): void {
  vscode.window.setStatusBarMessage(literal(text), 8000);
}

export interface Asking<T> {
  readonly title: string;
  readonly placeHolder?: string;
  /** The item to begin at. */
  readonly active?: T | undefined;
  /** The list stays when something else takes the focus. */
  readonly ignoreFocusOut?: boolean;
  /** Why what is chosen cannot be taken: the list then stays and says it. */
  readonly check?: (chosen: readonly T[]) => string | undefined;
}

/** The item that a person chooses; undefined where they go away. */
export async function chooseOne<T extends vscode.QuickPickItem>(
  items: readonly T[],
  asking: Asking<T>,
): Promise<T | undefined> {
  const [chosen] = (await choose(items, asking, undefined)) ?? [];
  return chosen;
}

/** The items that a person ticks, those that are `picked` ticked at first; undefined where they go away. */
export function chooseMany<T extends vscode.QuickPickItem>(
  items: readonly T[],
  asking: Asking<T>,
): Promise<readonly T[] | undefined> {
  return choose(items, asking, ({ picked }) => picked === true);
}

function choose<T extends vscode.QuickPickItem>(
  items: readonly T[],
  { title, placeHolder, active, ignoreFocusOut = false, check }: Asking<T>,
  ticked: ((item: T) => boolean) | undefined,
): Promise<readonly T[] | undefined> {
  const pick = vscode.window.createQuickPick<vscode.QuickPickItem & { readonly item: T }>();
  const shown = items.map((item) => ({ ...literalItem(item), item }));
  pick.title = literal(title);
  pick.placeholder = placeHolder === undefined ? undefined : literal(placeHolder);
  pick.matchOnDescription = true;
  pick.matchOnDetail = true;
  pick.ignoreFocusOut = ignoreFocusOut;
  pick.canSelectMany = ticked !== undefined;
  pick.items = shown;
  const first = shown.filter(({ item }) => item === active);
  if (first.length > 0) pick.activeItems = first;
  if (ticked) pick.selectedItems = shown.filter(({ item }) => ticked(item));
  return new Promise((resolve) => {
    pick.onDidAccept(() => {
      const chosen = pick.selectedItems.map(({ item }) => item);
      const why = chosen.length === 0 && ticked === undefined ? NOTHING_FITS() : check?.(chosen);
      if (why !== undefined) {
        // Below what is typed there is no room to say it, and in its place alone it is not noticed.
        pick.value = '';
        pick.title = literal(`${title} ${why}`);
        pick.placeholder = literal(why);
        return;
      }
      resolve(chosen);
      pick.hide();
    });
    pick.onDidHide(() => {
      resolve(undefined);
      pick.dispose();
    });
    pick.show();
  });
}

const NOTHING_FITS = () => vscode.l10n.t('Nothing here fits what was typed. Choose one of these, or press Escape.');

function literalItem<T extends vscode.QuickPickItem>({ label, description, detail, kind, iconPath }: T) {
  return {
    label: literal(label),
    ...(description !== undefined && { description: literal(description) }),
    ...(detail !== undefined && { detail: literal(detail) }),
    ...(kind !== undefined && { kind }),
    ...(iconPath !== undefined && { iconPath }),
  };
}

/** What a check says of a text while it is typed: whether it can be taken, and why not or what would come of it. */
export interface Verdict {
  readonly says: string;
  readonly takes: boolean;
}

export interface Question {
  readonly title: string;
  readonly prompt?: string;
  readonly value?: string;
  readonly placeHolder?: string;
  readonly ignoreFocusOut?: boolean;
  readonly check?: (text: string) => Promise<Verdict | undefined>;
}

/** A text that a person writes; undefined where they go away. */
export async function askText(question: Question): Promise<string | undefined> {
  const { title, prompt, value, placeHolder, ignoreFocusOut, check } = question;
  return vscode.window.showInputBox({
    title: literal(title),
    ...(prompt !== undefined && { prompt: literal(prompt) }),
    ...(value !== undefined && { value: oneLine(value) }),
    ...(placeHolder !== undefined && { placeHolder: literal(placeHolder) }),
    ...(ignoreFocusOut !== undefined && { ignoreFocusOut }),
    ...(check && {
      validateInput: async (text: string) => {
        const verdict = await check(text);
        if (verdict === undefined) return undefined;
        const { Info, Error: Wrong } = vscode.InputBoxValidationSeverity;
        return { message: literal(verdict.says), severity: verdict.takes ? Info : Wrong };
      },
    }),
  });
}

/** An entry of a view; what else it has is set by the view, through `literal` where it is text. */
export function treeItem(
  label: string,
  { description, tooltip, spoken }: { description?: string; tooltip?: string; spoken?: string } = {},
  state = vscode.TreeItemCollapsibleState.None,
): vscode.TreeItem {
  const item = new vscode.TreeItem(literal(label), state);
  if (description !== undefined) item.description = literal(description);
  if (tooltip !== undefined) item.tooltip = literal(tooltip);
  if (spoken !== undefined) item.accessibilityInformation = { label: literal(spoken) };
  return item;
}
