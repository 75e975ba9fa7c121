import { done, type Result, refuse } from '../base/result.js';
import { type Host, LARGEST_FILE, LARGEST_TEXT, type OpenFile } from './host.js';
import { tooLarge } from './reasons.js';

/** The text of a file that another file names: a regular one, and no larger than an editor takes. */
export async function readNamedText(host: Host, uri: string): Promise<Result<string>> {
  const opened = await host.open(uri, { most: LARGEST_FILE });
  return opened.ok ? textAndClose(opened.value, LARGEST_FILE) : opened;
}

/** The text of a file that a person names: of any size that one text can hold, and from a pipe as well. */
export async function readGivenText(host: Host, uri: string): Promise<Result<string>> {
  const opened = await host.open(uri, { pipe: true, most: LARGEST_TEXT });
  return opened.ok ? textAndClose(opened.value, LARGEST_TEXT) : opened;
}

function textAndClose(file: OpenFile, most: number): Result<string> {
  const text = textOf(file, most);
  const closed = file.close();
  return closed.ok ? text : closed;
}

export function textOf(file: OpenFile, most: number): Result<string> {
  return file.size > most ? refuse(tooLarge(most)) : done(file.text());
}
