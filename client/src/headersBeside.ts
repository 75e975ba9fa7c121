import * as vscode from 'vscode';
import { nameOf } from './places.js';
import { headersFile, ifThere } from './rawPair.js';
import { fileUri } from './rawUri.js';

/** The headers in the file beside a dump whose text has no place for them; undefined where that is no text in UTF-8. */
export async function headersBeside(dump: vscode.Uri): Promise<string | undefined> {
  const bytes = await ifThere(() => vscode.workspace.fs.readFile(headersFile(fileUri(dump))));
  if (bytes === undefined) return '';
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** What a header says in a text, in whatever marks comments there; undefined where it is not there. */
export function headerIn(text: string, name: string): string | undefined {
  return new RegExp(`^[^\\w@\\r\\n]*@${name}[ \\t]+(.*\\S)`, 'im').exec(text)?.[1];
}

/** Writes headers, as whole lines, into the file beside a dump, in place of those of a name. Gives why that stays as it is, where it does. */
export async function addHeadersBeside(
  dump: vscode.Uri,
  lines: string,
  replaced?: string,
): Promise<string | undefined> {
  const file = headersFile(fileUri(dump));
  const before = await headersBeside(dump);
  const isOpen = vscode.workspace.textDocuments.some(
    ({ uri, isDirty }) => isDirty && uri.toString() === file.toString(),
  );
  if (isOpen) return vscode.l10n.t('{0} is not saved yet. Save it, then try again.', nameOf(file));
  if (before === undefined)
    return vscode.l10n.t('{0} is no text in UTF-8, so nothing was written into it.', nameOf(file));
  const [lineEnd = '\n'] = /\r\n?|\n/.exec(before) ?? [];
  const same = new RegExp(`^@${replaced}(?:[ \\t][^\\r\\n]*)?(?:\\r\\n?|\\n|$)`, 'gm');
  const kept = replaced === undefined ? before : before.replace(same, '');
  const open = kept === '' || /[\r\n]$/.test(kept) || lines === '' ? '' : lineEnd;
  await vscode.workspace.fs.writeFile(
    file,
    new TextEncoder().encode(`${kept}${open}${lines.replaceAll('\n', lineEnd)}`),
  );
  return undefined;
}
