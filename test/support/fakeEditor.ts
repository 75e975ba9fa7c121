// What the client uses of the editor, in memory: it is bundled in the place of "vscode" into tests of the client. What
// is shown is kept to be looked at, and a test answers what is asked.

import { CancellationTokenSource } from 'vscode-languageserver-protocol';
import { TextDocument as Text } from 'vscode-languageserver-textdocument';
import { URI, Utils } from 'vscode-uri';

/** Something that a person sees, or hears from a screen reader, and in what part of the editor. */
export interface Shown {
  readonly where: string;
  readonly text: string;
}

export interface PickAsked {
  readonly title: string;
  readonly many: boolean;
  readonly items: readonly { readonly label: string; readonly description?: string; readonly detail?: string }[];
  readonly active: readonly { readonly label: string }[];
}

/** How a test plays the person; each may be replaced. By default nothing is accepted, and lists are left. */
interface Person {
  notice: (text: string, buttons: readonly string[]) => string | undefined;
  modal: (text: string, detail: string, buttons: readonly string[]) => string | undefined | Promise<string | undefined>;
  /** Where a file is saved: the place that is offered, or another. */
  saveAs: (offered: URI | undefined) => URI | undefined;
  /** Chooses by label, or by place in the list. */
  pick: (asked: PickAsked) => readonly (string | number)[] | undefined;
  write: (title: string, value: string) => string | undefined;
  file: () => string | readonly string[] | undefined;
}

type Handler = (...args: readonly unknown[]) => unknown;

class Fake {
  shown: Shown[] = [];
  /** The buttons of each notice. */
  buttonRows: (readonly string[])[] = [];
  /** The notices of which no button was pressed: they stay on the screen. */
  standing: string[] = [];
  files = new Map<string, Uint8Array>();
  /** When files were last written, by a clock of its own. */
  times = new Map<string, number>();
  clock = 0;
  /** Files that nobody may write. */
  readOnly = new Set<string>();
  fileSystems = new Map<string, FakeFileSystem>();
  folders: string[] = [];
  /** Folders that may not be listed. */
  closedFolders = new Set<string>();
  commands = new Map<string, Handler>();
  executed: (readonly unknown[])[] = [];
  contexts = new Map<string, unknown>();
  trees = new Map<string, FakeTree>();
  /** What an entry waits for before it is shown. */
  beforeReveal: Promise<void> = Promise.resolve();
  panels: FakePanel[] = [];
  providers = new Map<string, { provideTextDocumentContent(uri: unknown): string }>();
  editors = new Map<string, CustomEditors>();
  settings = new Map<string, unknown>();
  decorations: { provideFileDecoration(uri: unknown): unknown }[] = [];
  statuses: Record<string, unknown>[] = [];
  /** What gives the lines above a text that can be pressed. */
  lenses: { provideCodeLenses(document: unknown): readonly CodeLens[] }[] = [];
  tasks = new Map<string, TaskProvider>();
  /** Files of which the extension wants to hear. */
  watched = new Set<{ readonly uri: string; readonly changed: () => void }>();
  /** Takes the links that lead into the extension. */
  links: ((uri: URI) => unknown) | undefined;
  /** The editor cannot say whether a file is there. */
  brokenDisk = false;
  person: Person = {
    notice: () => undefined,
    modal: () => undefined,
    saveAs: () => undefined,
    pick: () => undefined,
    write: () => undefined,
    file: () => undefined,
  };
  show(where: string, text: unknown): void {
    if (typeof text === 'string' && text !== '') this.shown.push({ where, text });
  }
  /** Everything that is shown in a part of the editor. */
  in(where: string): readonly string[] {
    return this.shown.filter((one) => one.where === where).map(({ text }) => text);
  }
}

/** A file system of an extension. */
interface FakeFileSystem {
  stat(uri: URI): Promise<{ type: number; size: number; mtime: number; permissions?: number }>;
  readFile(uri: URI): Promise<Uint8Array>;
  writeFile(uri: URI, content: Uint8Array, how: { create: boolean; overwrite: boolean }): Promise<void>;
  onDidChangeFile(listener: (changes: readonly { uri: URI }[]) => unknown): unknown;
}

export let fake = new Fake();

/** A new editor, in which nothing is open. */
export function reset(): Fake {
  fake = new Fake();
  workspace.textDocuments = [];
  workspace.workspaceFolders = undefined;
  window.activeTextEditor = undefined;
  window.visibleTextEditors = [];
  window.tabGroups.all = [{ tabs: [] }];
  window.tabGroups.activeTabGroup = { activeTab: undefined };
  for (const event of [didOpen, didChange, didClose, didSave, didActivate, didSelect, didChangeTabs, willRename])
    event.dispose();
  return fake;
}

export class EventEmitter<T> {
  readonly #listeners = new Set<(value: T) => unknown>();
  readonly event = (listener: (value: T) => unknown) => {
    this.#listeners.add(listener);
    return new Disposable(() => this.#listeners.delete(listener));
  };
  fire(value: T): void {
    for (const listener of this.#listeners) listener(value);
  }
  dispose(): void {
    this.#listeners.clear();
  }
}

/** An event of the editor itself. */
function happening<T>(): EventEmitter<T> {
  return new EventEmitter<T>();
}

export class Disposable {
  constructor(readonly dispose: () => unknown) {}
  static from(...all: readonly { dispose(): unknown }[]): Disposable {
    return new Disposable(() => all.map((one) => one.dispose()));
  }
}

export class Position {
  constructor(
    readonly line: number,
    readonly character: number,
  ) {}
}

export class CodeLens {
  constructor(
    readonly range: Range,
    readonly command: { readonly title: string; readonly command: string; readonly arguments: readonly unknown[] },
  ) {}
}

export class Range {
  readonly start: Position;
  readonly end: Position;
  constructor(...given: readonly [Position, Position] | readonly [number, number, number, number]) {
    const [a, b, c, d] = given;
    this.start = a instanceof Position ? a : new Position(Number(a), Number(b));
    this.end = b instanceof Position ? b : new Position(Number(c), Number(d));
  }
  contains({ line, character }: Position): boolean {
    return line === this.start.line && character >= this.start.character && character <= this.end.character;
  }
}

export class Selection extends Range {
  get active(): Position {
    return this.end;
  }
}

export class FakeDocument {
  version = 1;
  isDirty: boolean;
  isClosed = false;
  #text: Text;
  constructor(
    readonly uri: URI,
    public languageId: string,
    text: string,
  ) {
    this.isDirty = uri.scheme === 'untitled';
    this.#text = Text.create(uri.toString(), languageId, 1, text);
  }
  get isUntitled(): boolean {
    return this.uri.scheme === 'untitled';
  }
  get lineCount(): number {
    return this.#text.lineCount;
  }
  getText(): string {
    return this.#text.getText();
  }
  positionAt(offset: number): Position {
    const { line, character } = this.#text.positionAt(offset);
    return new Position(line, character);
  }
  lineAt(line: number): { text: string; range: Range } {
    const text = this.getText().split(/\r?\n/)[line] ?? '';
    return { text, range: new Range(line, 0, line, text.length) };
  }
  /** Writes the text to where it is from, as the editor does. Why that cannot be is shown as an error. */
  async save(): Promise<boolean> {
    try {
      await workspace.fs.writeFile(this.uri, new TextEncoder().encode(this.getText()));
      this.isDirty = false;
      didSave.fire(this);
      return true;
    } catch (error) {
      fake.show('error', error instanceof Error ? error.message : String(error));
      return false;
    }
  }
  /** Takes again what is on the disk. */
  async revert(): Promise<void> {
    const text = new TextDecoder().decode(await workspace.fs.readFile(this.uri));
    this.change([{ range: new Range(0, 0, this.lineCount, 0), newText: text }]);
    this.isDirty = false;
  }
  change(edits: readonly { range: Range; newText: string }[]): void {
    this.version++;
    this.isDirty = true;
    this.#text = Text.create(
      this.uri.toString(),
      this.languageId,
      this.version,
      Text.applyEdits(this.#text, [...edits]),
    );
    didChange.fire({ document: this, contentChanges: edits.map(({ range, newText }) => ({ range, text: newText })) });
  }
}

const [didOpen, didChange, didClose, didSave] = [
  happening<FakeDocument>(),
  happening<{ document: FakeDocument; contentChanges: readonly { range: Range; text: string }[] }>(),
  happening<FakeDocument>(),
  happening<FakeDocument>(),
];
const [didActivate, didSelect] = [happening<unknown>(), happening<unknown>()];
const didChangeTabs = happening<unknown>();
const willRename = happening<{
  files: readonly { oldUri: URI; newUri: URI }[];
  waitUntil: (edit: Promise<WorkspaceEdit>) => void;
}>();

export class WorkspaceEdit {
  readonly edits: { uri: URI; range: Range; newText: string }[] = [];
  readonly renamed: string[] = [];
  entries(): [URI, readonly unknown[]][] {
    return [...new Map(this.edits.map(({ uri }) => [uri.toString(), uri])).values()].map((uri) => [uri, []]);
  }
  renameFile(from: URI, to: URI): void {
    this.renamed.push(`${from} > ${to}`);
  }
  replace(uri: URI, range: Range, newText: string): void {
    this.edits.push({ uri, range, newText });
  }
  insert(uri: URI, at: Position, newText: string): void {
    this.replace(uri, new Range(at, at), newText);
  }
}

export class FileSystemError extends Error {
  constructor(
    readonly code: string,
    message = code,
  ) {
    super(message);
  }
  static FileNotFound = (_uri?: URI) => new FileSystemError('FileNotFound');
  static FileExists = (_uri?: URI) => new FileSystemError('FileExists');
  static NoPermissions = () => new FileSystemError('NoPermissions');
  static Unavailable = (message: string) => new FileSystemError('Unavailable', message);
}

export const FilePermission = { Readonly: 1 };
export const FileChangeType = { Changed: 1, Created: 2, Deleted: 3 };
export const ConfigurationTarget = { Global: 1, Workspace: 2, WorkspaceFolder: 3 };

export const FileType = { File: 1, Directory: 2, SymbolicLink: 64 };
export const Uri = { parse: URI.parse, from: URI.from, file: URI.file, joinPath: Utils.joinPath };
export const ViewColumn = { Active: -1, Beside: -2, One: 1 };
export const TreeItemCollapsibleState = { None: 0, Collapsed: 1, Expanded: 2 };
export const QuickPickItemKind = { Separator: -1, Default: 0 };
export const InputBoxValidationSeverity = { Info: 1, Warning: 2, Error: 3 };
export const LanguageStatusSeverity = { Information: 0, Warning: 1, Error: 2 };
export const ProgressLocation = { Notification: 15 };
export const TextEditorRevealType = { InCenter: 1, InCenterIfOutsideViewport: 2 };

export class TreeItem {
  description?: string;
  tooltip?: unknown;
  accessibilityInformation?: { label: string };
  command?: { command: string; arguments?: readonly unknown[] };
  iconPath?: ThemeIcon;
  id?: string;
  constructor(
    readonly label: string,
    public collapsibleState = 0,
  ) {}
}
export class MarkdownString {
  readonly isTrusted = undefined;
  constructor(readonly value = '') {}
}
export class ThemeIcon {
  constructor(
    readonly id: string,
    readonly color?: unknown,
  ) {}
}
export class ThemeColor {
  constructor(readonly id: string) {}
}
export class FileDecoration {
  constructor(
    readonly badge: string,
    readonly tooltip: string,
  ) {}
}
export { CancellationTokenSource };
export class RelativePattern {
  constructor(
    readonly base: URI,
    readonly pattern: string,
  ) {}
}
export class TabInputCustom {
  constructor(readonly uri: URI) {}
}
export class TabInputText {
  constructor(readonly uri: URI) {}
}
export class TabInputWebview {
  constructor(readonly viewType: string) {}
}
export class TabInputTextDiff {
  constructor(
    readonly original: URI,
    readonly modified: URI,
  ) {}
}

interface FakeTree {
  readonly provider: {
    getChildren(node?: unknown): unknown[];
    getTreeItem(node: unknown): TreeItem;
    getParent?(node: unknown): unknown;
  };
  selection: unknown[];
  /** Shows an entry, which the editor finds only while the view gives it. */
  reveal(node: unknown): Promise<void>;
}

interface FakePanel {
  readonly viewType: string;
  readonly title: string;
  readonly html: string;
  readonly send: (message: unknown) => unknown;
  readonly close: () => void;
}

const open = (uri: URI): FakeDocument | undefined =>
  workspace.textDocuments.find((document) => document.uri.toString() === uri.toString());

/** Closes a document; its unsaved changes are kept on the disk. */
export function close(document: FakeDocument): void {
  if (!fake.fileSystems.has(document.uri.scheme))
    fake.files.set(document.uri.toString(), new TextEncoder().encode(document.getText()));
  workspace.textDocuments = workspace.textDocuments.filter((one) => one !== document);
  window.visibleTextEditors = window.visibleTextEditors.filter((one) => one.document !== document);
  if (window.activeTextEditor?.document === document) window.activeTextEditor = undefined;
  didClose.fire(document);
  const isOfDocument = ({ input }: { input: unknown }) =>
    input instanceof TabInputText && input.uri.toString() === document.uri.toString();
  const [group] = window.tabGroups.all;
  const closed = group?.tabs.filter(isOfDocument) ?? [];
  if (group) group.tabs = group.tabs.filter((tab) => !isOfDocument(tab));
  didChangeTabs.fire({ opened: [], closed });
}

export const workspace = {
  textDocuments: [] as FakeDocument[],
  workspaceFolders: undefined as undefined | { uri: URI; name: string }[],
  onDidOpenTextDocument: didOpen.event,
  onDidChangeTextDocument: didChange.event,
  onDidCloseTextDocument: didClose.event,
  willRename,
  onWillRenameFiles: willRename.event,
  onDidSaveTextDocument: didSave.event,
  asRelativePath: (uri: URI) => uri.path.split('/').slice(2).join('/'),
  openTextDocument: async (given: URI | { language: string; content: string }) => {
    const isFile = 'scheme' in given;
    const uri = isFile ? given : URI.from({ scheme: 'untitled', path: `/Untitled-${workspace.textDocuments.length}` });
    const there = open(uri);
    if (there) return there;
    const own = fake.fileSystems.get(uri.scheme);
    const kept = own === undefined ? fake.files.get(uri.toString()) : await own.readFile(uri);
    if (isFile && kept === undefined && uri.scheme === 'file') throw new FileSystemError('FileNotFound');
    if (isFile && uri.scheme === 'file' && (uri.path.endsWith('.bin') || kept?.[0] === 0x89) && kept?.includes(0))
      throw new Error('File seems to be binary and cannot be opened as text');
    const language = isFile ? languageOf(uri) : given.language;
    const document = new FakeDocument(uri, language, isFile ? new TextDecoder().decode(kept) : given.content);
    workspace.textDocuments.push(document);
    didOpen.fire(document);
    return document;
  },
  applyEdit: async ({ edits }: WorkspaceEdit) => {
    const byFile = new Map<string, WorkspaceEdit['edits']>();
    for (const edit of edits) byFile.set(edit.uri.toString(), [...(byFile.get(edit.uri.toString()) ?? []), edit]);
    for (const own of byFile.values()) {
      const document = await workspace.openTextDocument((own[0] as { uri: URI }).uri);
      document.change(own);
    }
    return true;
  },
  registerTextDocumentContentProvider: (scheme: string, provider: never) => {
    fake.providers.set(scheme, provider);
    return new Disposable(() => undefined);
  },
  registerFileSystemProvider: (scheme: string, provider: FakeFileSystem) => {
    fake.fileSystems.set(scheme, provider);
    return new Disposable(() => undefined);
  },
  createFileSystemWatcher: ({ base, pattern }: RelativePattern) => {
    const changed = happening<void>();
    const watched = { uri: Utils.joinPath(base, pattern).toString(), changed: () => changed.fire() };
    fake.watched.add(watched);
    const others = happening().event;
    const dispose = () => void fake.watched.delete(watched);
    return { onDidCreate: others, onDidChange: changed.event, onDidDelete: others, dispose };
  },
  getWorkspaceFolder: (uri: URI) => workspace.workspaceFolders?.find((one) => uri.toString().startsWith(`${one.uri}/`)),
  getConfiguration: (section: string) => ({
    get: (name: string, fallback: unknown) => fake.settings.get(`${section}.${name}`) ?? fallback,
    inspect: (name: string) => ({ workspaceValue: fake.settings.get(`${section}.${name}`) }),
    update: async (name: string, value: unknown, target: number) => {
      // This one has no value of a single folder.
      if (target !== ConfigurationTarget.Workspace) throw new Error('This setting is not written there.');
      fake.settings.set(`${section}.${name}`, value);
    },
  }),
  findFiles: async () => [...fake.files.keys()].map((uri) => URI.parse(uri)),
  fs: {
    stat: async (uri: URI): Promise<{ type: number; size: number; mtime: number; permissions?: number }> => {
      if (fake.brokenDisk) throw new FileSystemError('Unavailable');
      const own = fake.fileSystems.get(uri.scheme);
      if (own !== undefined) return own.stat(uri);
      const content = fake.files.get(uri.toString());
      const mtime = fake.times.get(uri.toString()) ?? 0;
      const permissions = fake.readOnly.has(uri.toString()) ? { permissions: FilePermission.Readonly } : {};
      if (content !== undefined) return { type: FileType.File, size: content.length, mtime, ...permissions };
      if (childrenOf(uri).length === 0) throw new FileSystemError('FileNotFound');
      return { type: FileType.Directory, size: 0, mtime: 0 };
    },
    isWritableFileSystem: (scheme: string) => (scheme === 'locked' ? false : undefined),
    readFile: async (uri: URI): Promise<Uint8Array> => {
      const own = fake.fileSystems.get(uri.scheme);
      if (own !== undefined) return own.readFile(uri);
      const content = fake.files.get(uri.toString());
      if (content === undefined) throw new FileSystemError('FileNotFound');
      return content;
    },
    writeFile: async (uri: URI, content: Uint8Array): Promise<void> => {
      const own = fake.fileSystems.get(uri.scheme);
      if (own !== undefined) return own.writeFile(uri, content, { create: true, overwrite: true });
      if (fake.readOnly.has(uri.toString())) throw FileSystemError.NoPermissions();
      change(uri.toString(), content);
    },
    delete: async (uri: URI, { recursive = false } = {}): Promise<void> => {
      const gone = filesAt(uri);
      if (gone.length === 0) throw new FileSystemError('FileNotFound');
      if (gone.some(([name]) => name !== uri.toString()) && !recursive) throw new FileSystemError('Unavailable');
      for (const [name] of gone) fake.files.delete(name);
    },
    rename: async (from: URI, to: URI): Promise<void> => {
      if (filesAt(to).length > 0) throw new FileSystemError('FileExists');
      for (const [name, content] of filesAt(from)) {
        fake.files.delete(name);
        fake.files.set(name.replace(from.toString(), to.toString()), content);
      }
    },
    readDirectory: async (uri: URI) => {
      if (fake.closedFolders.has(uri.toString())) throw new FileSystemError('NoPermissions');
      return childrenOf(uri);
    },
  },
};

/** A file is written, by whomever. */
export function change(uri: string, content: Uint8Array): void {
  fake.files.set(uri, content);
  fake.times.set(uri, ++fake.clock);
  for (const watched of fake.watched) if (watched.uri === uri) watched.changed();
}

/** What is in a folder, by the files that there are. */
/** A file, or all files below a folder. */
function filesAt(uri: URI): readonly (readonly [string, Uint8Array])[] {
  return [...fake.files].filter(([name]) => name === uri.toString() || name.startsWith(`${uri}/`));
}

function childrenOf(folder: URI): readonly (readonly [string, number])[] {
  const below = [...fake.files.keys()].filter((uri) => uri.startsWith(`${folder}/`));
  const paths = below.map((uri) => uri.slice(`${folder}/`.length).split('/'));
  return [
    ...new Map(paths.map(([name = '', ...rest]) => [name, rest.length === 0 ? FileType.File : FileType.Directory])),
  ];
}

function languageOf({ path }: URI): string {
  if (path.endsWith('.cfgdump')) return 'cfgdump';
  if (path.endsWith('.json')) return 'json';
  if (/\.(?:hex|ihx)$/.test(path)) return 'intel-hex';
  if (path.endsWith('.xxd')) return 'hex-view';
  return path.endsWith('.s19') ? 's-record' : 'plaintext';
}

const ask =
  (where: string) =>
  async (text: string, ...rest: readonly unknown[]) => {
    const [options, ...more] = rest;
    if (typeof options === 'object' && options !== null) {
      const { detail } = options as { detail: string };
      fake.show('modal', text);
      fake.show('modal detail', detail);
      return fake.person.modal(text, detail, more as string[]);
    }
    fake.show(where, text);
    fake.buttonRows.push(rest as string[]);
    const pressed = await fake.person.notice(text, rest as string[]);
    // A notice whose button is pressed goes away.
    if (pressed === undefined) fake.standing.push(text);
    return pressed;
  };

function newPanel(viewType: string, title: string) {
  const [told, closed] = [happening<unknown>(), happening<void>()];
  const kept = {
    viewType,
    title,
    html: '',
    send: (message: unknown) => told.fire(message),
    close: () => closed.fire(),
  };
  fake.panels.push(kept);
  return {
    visible: true,
    onDidDispose: closed.event,
    reveal: () => undefined,
    dispose: () => {
      fake.show('page closed', title);
      closed.fire();
    },
    webview: {
      options: {},
      onDidReceiveMessage: told.event,
      postMessage: async (message: unknown) => void fake.show('page message', JSON.stringify(message)),
      set html(text: string) {
        kept.html = text;
        fake.show('page', text);
      },
    },
  };
}

/** Puts the cursor of the active editor at a place, both from 0. */
export function moveCursor(line: number, character: number): void {
  const textEditor = window.activeTextEditor;
  if (textEditor === undefined) return;
  textEditor.selection = new Selection(line, character, line, character);
  didSelect.fire({ textEditor, selections: [textEditor.selection] });
}

/** Opens a file in an editor of the extension's own. */
export async function openWith(viewType: string, uri: string): Promise<FakePanel | undefined> {
  await fake.editors.get(viewType)?.resolveCustomEditor({ uri: URI.parse(uri) }, newPanel(viewType, uri));
  return fake.panels.at(-1);
}

/** The address of the text that a tab, or what is in it, shows. */
function textOfTab(tab: unknown): readonly string[] {
  const input = typeof tab === 'object' && tab !== null && 'input' in tab ? tab.input : tab;
  return input instanceof TabInputText ? [input.uri.toString()] : [];
}

interface CustomEditors {
  resolveCustomEditor(document: { uri: URI }, panel: unknown): Promise<void>;
}

export const window = {
  activeTextEditor: undefined as undefined | { document: FakeDocument; selection: Selection },
  visibleTextEditors: [] as { document: FakeDocument; selection: Selection; revealRange: () => void }[],
  tabGroups: {
    all: [{ tabs: [] as { input: unknown; label?: string }[] }],
    close: async (tabs: readonly unknown[]) => {
      for (const group of window.tabGroups.all) group.tabs = group.tabs.filter((tab) => !tabs.includes(tab));
      const left = window.tabGroups.all.flatMap((group) => group.tabs.map(({ input }) => input));
      const texts = [tabs, left].map((some) => new Set(some.flatMap(textOfTab)));
      for (const document of [...workspace.textDocuments])
        if (texts[0]?.has(document.uri.toString()) && !texts[1]?.has(document.uri.toString())) close(document);
    },
    activeTabGroup: { activeTab: undefined as undefined | { input: unknown } },
    changed: didChangeTabs,
    onDidChangeTabs: didChangeTabs.event,
  },
  onDidChangeActiveTextEditor: didActivate.event,
  onDidChangeTextEditorSelection: didSelect.event,
  registerUriHandler: (handler: { handleUri: (uri: URI) => unknown }) => {
    fake.links = handler.handleUri;
    return { dispose: () => undefined };
  },
  showInformationMessage: ask('notice'),
  showWarningMessage: ask('warning'),
  setStatusBarMessage: (text: string) => {
    fake.show('status bar', text);
    return new Disposable(() => fake.show('status bar gone', text));
  },
  withProgress: (
    { title, location }: { title?: string; location?: { readonly viewId?: string } | number },
    run: (progress: unknown, token: unknown) => unknown,
  ) => {
    if (typeof location === 'object') fake.show('progress', location.viewId);
    fake.show('notice', title);
    return run({}, { isCancellationRequested: false, onCancellationRequested: happening().event });
  },
  showSaveDialog: async ({ title, defaultUri }: { title?: string; defaultUri?: URI }) => {
    fake.show('file dialog', title);
    return fake.person.saveAs(defaultUri);
  },
  showOpenDialog: async ({ title }: { title?: string }) => {
    fake.show('file dialog', title);
    const chosen = fake.person.file();
    return chosen === undefined ? undefined : [chosen].flat().map((one) => URI.parse(one));
  },
  showWorkspaceFolderPick: async () => workspace.workspaceFolders?.[0],
  showInputBox: async (options: {
    title: string;
    prompt?: string;
    value?: string;
    validateInput?: (text: string) => Promise<undefined | { message: string; severity: number }>;
  }) => {
    fake.show('question', options.title);
    fake.show('prompt', options.prompt);
    const written = fake.person.write(options.title, options.value ?? '');
    if (written === undefined) return undefined;
    const verdict = await options.validateInput?.(written);
    fake.show('verdict', verdict?.message);
    return verdict?.severity === InputBoxValidationSeverity.Error ? undefined : written;
  },
  createQuickPick: () => {
    const [accepted, hidden] = [happening<void>(), happening<void>()];
    type Item = { label: string; description?: string; detail?: string; kind?: number };
    let isHidden = false;
    const pick = {
      title: '',
      value: '',
      placeholder: undefined as string | undefined,
      items: [] as Item[],
      activeItems: undefined as Item[] | undefined,
      selectedItems: [] as Item[],
      canSelectMany: false,
      onDidAccept: accepted.event,
      onDidHide: hidden.event,
      hide: () => {
        if (isHidden) return;
        isHidden = true;
        hidden.fire();
      },
      dispose: () => undefined,
      show: () => {
        fake.show('list title', pick.title);
        fake.show('list hint', pick.placeholder);
        for (const { label, description, detail } of pick.items) {
          fake.show('list', label);
          fake.show('list', description);
          fake.show('list', detail);
        }
        const { canSelectMany: many, items } = pick;
        const able = items.filter(({ kind }) => kind !== -1);
        const active = pick.activeItems ?? able.slice(0, 1);
        if (!many && able.length > 0 && active.length === 0) throw new Error('The Enter key would choose nothing.');
        // A list that an answer does not close asks the person again, who goes away in the end.
        const answer = (tries: number) => {
          const chosen = tries < 3 ? fake.person.pick({ title: pick.title, many, items: able, active }) : undefined;
          queueMicrotask(() => {
            if (chosen === undefined) return pick.hide();
            pick.selectedItems = able.filter(({ label }, i) => chosen.includes(label) || chosen.includes(i));
            accepted.fire();
            if (!isHidden) {
              fake.show('list hint', pick.placeholder);
              answer(tries + 1);
            }
          });
        };
        answer(0);
      },
    };
    return pick;
  },
  createTreeView: (id: string, { treeDataProvider: provider }: { treeDataProvider: FakeTree['provider'] }) => {
    const view: FakeTree & Record<string, unknown> = {
      provider,
      visible: true,
      selection: [] as unknown[],
      onDidChangeVisibility: happening().event,
      reveal: async (node: unknown, options?: { readonly focus?: boolean; readonly select?: boolean }) => {
        await fake.beforeReveal;
        const given = (of?: unknown): unknown[] => provider.getChildren(of).flatMap((one) => [one, ...given(one)]);
        const { id: own, label = '' } = provider.getTreeItem(node);
        // The editor knows an entry again by its id.
        if (!given().some((one) => one === node || (own !== undefined && provider.getTreeItem(one).id === own)))
          throw new Error('There is no such entry.');
        fake.show(
          `${id} revealed`,
          `${label}${options?.focus === false && options.select === false ? '' : ' (focused)'}`,
        );
        if (options?.select !== false) view.selection = [node];
      },
      dispose: () => undefined,
      set description(text: string) {
        fake.show(`${id} description`, text);
      },
      set message(text: string) {
        fake.show(`${id} message`, text);
      },
    };
    fake.trees.set(id, view);
    return view;
  },
  registerFileDecorationProvider: (provider: never) => {
    fake.decorations.push(provider);
    return new Disposable(() => undefined);
  },
  registerCustomEditorProvider: (viewType: string, provider: CustomEditors) => {
    fake.editors.set(viewType, provider);
    return new Disposable(() => undefined);
  },
  registerWebviewPanelSerializer: () => new Disposable(() => undefined),
  createWebviewPanel: (viewType: string, title: string) => {
    fake.show('page title', title);
    window.tabGroups.all[0]?.tabs.push({ input: new TabInputWebview(`mainThreadWebview-${viewType}`), label: title });
    return newPanel(viewType, title);
  },
  showTextDocument: async (given: FakeDocument | URI, options: { preserveFocus?: boolean; selection?: Range } = {}) => {
    const document = given instanceof FakeDocument ? given : await workspace.openTextDocument(given);
    const selection = new Selection(0, 0, 0, 0);
    const editor =
      window.visibleTextEditors.find((one) => one.document === document) ??
      ({ document, selection, revealRange: () => undefined } as (typeof window.visibleTextEditors)[number]);
    if (options.selection) editor.selection = new Selection(options.selection.start, options.selection.end);
    if (!window.visibleTextEditors.includes(editor)) window.visibleTextEditors.push(editor);
    window.tabGroups.all[0]?.tabs.push({ input: new TabInputText(document.uri) });
    if (options.preserveFocus !== true) {
      window.activeTextEditor = editor;
      didActivate.fire(editor);
    }
    return editor;
  },
};

export const languages = {
  onDidChangeDiagnostics: happening().event,
  registerCodeLensProvider: (_selector: unknown, provider: Fake['lenses'][number]) => {
    fake.lenses.push(provider);
    return new Disposable(() => undefined);
  },
  createLanguageStatusItem: () => {
    const item = { dispose: () => undefined };
    fake.statuses.push(item);
    return item;
  },
  /** Closes a document and opens it again, as the editor does, once it has gone there and back. */
  setTextDocumentLanguage: async (document: FakeDocument, language: string) => {
    await new Promise((resolve) => setImmediate(resolve));
    didClose.fire(document);
    document.languageId = language;
    didOpen.fire(document);
    return document;
  },
};

export const commands = {
  registerCommand: (id: string, run: Handler) => {
    fake.commands.set(id, run);
    return new Disposable(() => fake.commands.delete(id));
  },
  executeCommand: async (id: string, ...args: readonly unknown[]) => {
    fake.executed.push([id, ...args]);
    if (id === 'setContext') return void fake.contexts.set(String(args[0]), args[1]);
    if (id === 'markdown.showPreview') {
      const uri = args[0] as URI;
      const made = await fake.providers.get(uri.scheme)?.provideTextDocumentContent(uri);
      return fake.show('markdown', made ?? new TextDecoder().decode(fake.files.get(uri.toString())));
    }
    if (id === 'markdown.api.render') return `<p>${String(args[0]).length}</p>`;
    if (id === 'vscode.diff') fake.show('diff title', args[2]);
    return fake.commands.get(id)?.(...args);
  },
};

export interface TaskProvider {
  provideTasks(): readonly Task[];
  resolveTask(task: Task): Task | undefined;
}

export class ProcessExecution {
  constructor(
    readonly process: string,
    readonly args: readonly string[],
    readonly options: { readonly cwd: string; readonly env: Readonly<Record<string, string>> },
  ) {}
}

export class Task {
  group?: unknown;
  constructor(
    readonly definition: Readonly<Record<string, unknown>>,
    readonly scope: unknown,
    readonly name: string,
    readonly source: string,
    readonly execution: ProcessExecution | undefined = undefined,
    readonly matcher: string | readonly string[] | undefined = undefined,
  ) {}
}

export const TaskGroup = { Test: { id: 'test' } };

export const tasks = {
  registerTaskProvider: (type: string, provider: TaskProvider) => {
    fake.tasks.set(type, provider);
    return new Disposable(() => fake.tasks.delete(type));
  },
};

export const env = { language: 'en', uriScheme: 'vscode', remoteName: undefined, openExternal: async () => true };

export const l10n = {
  bundle: undefined,
  t: (pattern: string, ...parts: readonly unknown[]) =>
    pattern.replace(/\{(\d+)\}/g, (whole, index: string) => String(parts[Number(index)] ?? whole)),
};
