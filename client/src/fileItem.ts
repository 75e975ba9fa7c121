import * as vscode from 'vscode';
import { localTime } from '../../shared-core/src/base/index.js';
import type { DumpWords } from '../../shared-core/src/protocol/files.js';
import { nameOf } from './places.js';

/**
 * A file as every list shows it: its name, what is known of it in words, and below these its folder, unless that is the
 * one that is open. The module, at which its name hints most often, comes last, where there may be no room.
 */
export function fileItem(
  uri: vscode.Uri,
  { vehicle = '', taken = '', module = '' }: Partial<DumpWords>,
  ...more: string[]
) {
  const [folder] = /^.*(?=[\\/])/.exec(vscode.workspace.asRelativePath(uri)) ?? [];
  return {
    label: nameOf(uri),
    description: [...more, vehicle, timeInWords(taken), module].filter((part) => part !== '').join(' · '),
    ...(folder && { detail: folder }),
    uri,
  };
}

/** By the clock of this computer; a day alone, and what is no time, as it is written. */
function timeInWords(taken: string): string {
  const moment = new Date(taken);
  return taken.includes(':') && !Number.isNaN(moment.getTime()) ? localTime(moment) : taken;
}
