import type { Dump } from './dump.js';
import { headerValue } from './headers.js';

/** Whether a file is called as *Bring In the Read-back…* calls it, and is no dump in work: it is evidence, and nothing offers to change it. */
export function isReadBack({ name, dump }: { readonly name: string; readonly dump: Dump }): boolean {
  return headerValue(dump, 'backup') === undefined && /\.read-back(?:-\d+)?\.[^.]+$/i.test(name);
}
