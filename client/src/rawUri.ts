import * as vscode from 'vscode';

/** Of the addresses under which raw bytes are texts. */
export const RAW_SCHEME = 'countersum-bytes';

/** The address under which a file of raw bytes is a text; scheme and authority of the file stand in place of the authority. */
export function rawUri(file: vscode.Uri): vscode.Uri {
  const authority = file.authority === '' ? file.scheme : `${file.scheme}+${file.authority}`;
  return isRaw(file) ? file : file.with({ scheme: RAW_SCHEME, authority });
}

/** The address of the file itself, whichever of the two is given. */
export function fileUri(uri: vscode.Uri): vscode.Uri {
  if (!isRaw(uri)) return uri;
  const [scheme = '', ...authority] = uri.authority.split('+');
  return uri.with({ scheme, authority: authority.join('+') });
}

export function isRaw({ scheme }: vscode.Uri): boolean {
  return scheme === RAW_SCHEME;
}

/** What is said to the server, where files have their own addresses whatever they are shown as. */
export function withFileUris<T>(said: T): T {
  if (!JSON.stringify(said ?? null).includes(`"${RAW_SCHEME}:`)) return said;
  return JSON.parse(JSON.stringify(said), (_, value: unknown) =>
    typeof value === 'string' && value.startsWith(`${RAW_SCHEME}:`)
      ? fileUri(vscode.Uri.parse(value)).toString()
      : value,
  );
}

/** A file by the address under which it is open: raw bytes are open as a text of their own. */
export function openUri(file: vscode.Uri): vscode.Uri {
  const raw = rawUri(file).toString();
  return vscode.workspace.textDocuments.find(({ uri }) => uri.toString() === raw)?.uri ?? file;
}

/** The text under which a file is open that the server names, or would be opened, where it is known to hold raw bytes. */
export function shownUri(address: string, holdsRawBytes: (address: string) => boolean): vscode.Uri {
  const file = vscode.Uri.parse(address);
  // A text that is in no file yet holds no raw bytes, and its address may have no path that begins with a slash.
  if (file.scheme === 'untitled') return file;
  const raw = rawUri(file).toString();
  const isOpen = vscode.workspace.textDocuments.some(({ uri }) => uri.toString() === raw);
  return isOpen || holdsRawBytes(file.toString()) ? rawUri(file) : file;
}
