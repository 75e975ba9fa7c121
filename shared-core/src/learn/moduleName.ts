import type { Dump } from '../model/dump.js';
import { headerValue } from '../model/headers.js';

/**
 * What the module of a dump may be called, for a person to correct: in the words of the header "@module", or of the name
 * of its file, with its part number.
 */
export function likelyModuleName(dump: Dump, file: string): string {
  const module = headerValue(dump, 'module') ?? '';
  const words = /^(?:0x[\da-f]+|\d+)?$/i.test(module) ? wordsOfFile(file) : module;
  const part = headerValue(dump, 'part');
  return part === undefined ? words : `${words} (${part})`;
}

/** The words before the first full stop, without the numbers by which files are told apart. */
function wordsOfFile(file: string): string {
  const stem = /^\.*([^.]*)/.exec(file)?.[1] ?? '';
  const words = stem.split(/[\s_-]+/).filter((word) => /\p{L}/u.test(word));
  const text = words.length === 0 ? stem : words.join(' ');
  return text.charAt(0).toUpperCase() + text.slice(1);
}
