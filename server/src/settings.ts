import { LETTER_CASES, type LetterCase, SPACINGS, type Spacing } from '../../shared-core/src/model/index.js';
import { type Connection, DidChangeConfigurationNotification, type InitializeParams } from './lsp.js';
import { refreshShown } from './refresh.js';

/** What a person can choose. The same names, below `countersum.`, stand in the manifest and in the README. */
export interface Settings {
  /** Options in words at the end of their lines. */
  readonly 'hints.options': boolean;
  /** At each sum whether it is right, and what it should be. */
  readonly 'hints.sums': boolean;
  /** Above the first line: what is wrong with the sums, and what differs from the backup. */
  readonly codeLens: boolean;
  /** Problems of all files of the workspace, open or not. */
  readonly workspaceDiagnostics: boolean;
  /** Letter case that formatting gives to hex digits. */
  readonly 'format.letterCase': LetterCase;
  /** Blanks that formatting sets between bytes. */
  readonly 'format.spacing': Spacing;
  /** Folders with profiles of other modules, by paths that are whole or begin at the folder of the dump. */
  readonly profileFolders: readonly string[];
}

export const DEFAULTS: Settings = {
  'hints.options': true,
  'hints.sums': false,
  codeLens: true,
  workspaceDiagnostics: true,
  'format.letterCase': 'keep',
  'format.spacing': 'asMostLines',
  profileFolders: [],
};

/** Of settings that are one of several words: the words. */
const WORDS: Readonly<Partial<Record<string, readonly string[]>>> = {
  'format.letterCase': LETTER_CASES,
  'format.spacing': SPACINGS,
};

const SECTION = 'countersum';

/** The settings for a resource, as the client has them now; what it does not say, or says wrong, is as by default. */
export type SettingsOf = (uri?: string) => Promise<Settings>;

/**
 * A client that can be asked for its settings is asked each time they are needed, so nothing here goes out of date. Of
 * others counts what they sent last, or gave when they began. What is shown by settings is asked for again when they change.
 */
export function followSettings(connection: Connection, client: InitializeParams, changed: () => void): SettingsOf {
  let sent: unknown = client.initializationOptions;
  connection.onDidChangeConfiguration(({ settings }) => {
    sent = settings;
    refreshShown(connection, client);
    changed();
  });
  return async (uri) => {
    if (client.capabilities.workspace?.configuration !== true) return settingsOf(valueAt(sent, SECTION) ?? sent);
    const given: unknown = await connection.workspace.getConfiguration({
      ...(uri !== undefined && { scopeUri: uri }),
      section: SECTION,
    });
    return settingsOf(given);
  };
}

/** To be called once the client takes registrations. */
export function registerSettings(connection: Connection, { capabilities: { workspace } }: InitializeParams): void {
  if (workspace?.didChangeConfiguration?.dynamicRegistration === true)
    void connection.client.register(DidChangeConfigurationNotification.type, { section: SECTION });
}

/** Settings out of what a client sends: nested, as editors with sections do, or flat with dots in the names. */
export function settingsOf(given: unknown): Settings {
  const known = Object.entries(DEFAULTS).map(([name, fallback]) => {
    const value = valueAt(given, name);
    if (Array.isArray(fallback)) return [name, textsIn(value)];
    const fits = WORDS[name]?.includes(String(value)) ?? typeof value === typeof fallback;
    return [name, fits ? value : fallback];
  });
  return Object.fromEntries(known) as Settings;
}

function textsIn(value: unknown): readonly string[] {
  return Array.isArray(value) ? value.filter((one) => typeof one === 'string' && one !== '') : [];
}

function valueAt(given: unknown, name: string): unknown {
  if (typeof given !== 'object' || given === null) return undefined;
  const object = given as Readonly<Record<string, unknown>>;
  if (name in object) return object[name];
  const dot = name.indexOf('.');
  return dot < 0 ? undefined : valueAt(object[name.slice(0, dot)], name.slice(dot + 1));
}
