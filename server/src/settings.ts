import { type Connection, DidChangeConfigurationNotification, type InitializeParams } from 'vscode-languageserver';

/** What a person can choose. The same names, below `countersum.`, stand in the manifest and in the README. */
export interface Settings {
  /** Options in words at the end of their lines. */
  readonly 'hints.options': boolean;
  /** At each sum whether it is right, and what it should be. */
  readonly 'hints.sums': boolean;
}

export const DEFAULTS: Settings = {
  'hints.options': true,
  'hints.sums': false,
};

const SECTION = 'countersum';

/** The settings for a resource, as the client has them now; what it does not say, or says wrong, is as by default. */
export async function settingsFor(connection: Connection, client: InitializeParams, uri: string): Promise<Settings> {
  if (client.capabilities.workspace?.configuration !== true) return DEFAULTS;
  const given: unknown = await connection.workspace.getConfiguration({ scopeUri: uri, section: SECTION });
  return settingsOf(given);
}

/**
 * Asks a client that can to tell of changes, and what is shown by settings to be asked for again after one. A client is asked for its settings each time
 * they are needed, so nothing here goes out of date.
 */
export function followSettings(connection: Connection, { capabilities: { workspace } }: InitializeParams): void {
  connection.onInitialized(() => {
    if (workspace?.didChangeConfiguration?.dynamicRegistration === true)
      void connection.client.register(DidChangeConfigurationNotification.type, { section: SECTION });
  });
  connection.onDidChangeConfiguration(() => {
    if (workspace?.inlayHint?.refreshSupport === true) void connection.languages.inlayHint.refresh();
  });
}

/** Settings out of what a client sends: nested, as editors with sections do, or flat with dots in the names. */
export function settingsOf(given: unknown): Settings {
  const known = Object.entries(DEFAULTS).map(([name, fallback]) => {
    const value = valueAt(given, name);
    return [name, typeof value === typeof fallback ? value : fallback];
  });
  return Object.fromEntries(known) as Settings;
}

function valueAt(given: unknown, name: string): unknown {
  if (typeof given !== 'object' || given === null) return undefined;
  const object = given as Readonly<Record<string, unknown>>;
  if (name in object) return object[name];
  const dot = name.indexOf('.');
  return dot < 0 ? undefined : valueAt(object[name.slice(0, dot)], name.slice(dot + 1));
}
