import * as vscode from 'vscode';
import type { DumpWords } from '../../shared-core/src/index.js';
import { nameOf } from './places.js';
import { localTime } from './writtenTime.js';

/** A file as every list shows it: its name, what is known of it in words, and below these its folder, unless that is the one that is open. */
export function fileItem(uri: vscode.Uri, { says, taken }: DumpWords = { says: [], taken: null }, ...more: string[]) {
  const time = taken === null ? [] : [timeInWords(taken)];
  const [folder] = /^.*(?=[\\/])/.exec(vscode.workspace.asRelativePath(uri)) ?? [];
  return {
    label: nameOf(uri),
    description: [...says, ...time, ...more].filter((part) => part !== '').join(' · '),
    ...(folder && { detail: folder }),
    uri,
  };
}

/** By the clock of this computer; a day alone, and what is no time, as it is written. */
function timeInWords(taken: string): string {
  const moment = new Date(taken);
  return taken.includes(':') && !Number.isNaN(moment.getTime()) ? localTime(moment) : taken;
}
