import { hex } from '../../shared-core/src/index.js';

/** The address of a path that is written relative to a file, with either kind of slash; in the one form of addresses. */
export function resolveUri(base: string, path: string): string {
  const encoded = path.replaceAll('\\', '/').split('/').map(encodeURIComponent).join('/');
  try {
    return canonicalUri(new URL(encoded.replace(/^([A-Za-z])%3A\//, 'file:///$1:/'), base).toString());
  } catch {
    return base.slice(0, base.lastIndexOf('/') + 1) + encoded;
  }
}

/**
 * The one form of an address. Editors and systems differ in which characters they write as "%28" and in the case of a
 * drive's letter, and two addresses of one file would be two files. This is the form of VS Code; all editors read it.
 */
export function canonicalUri(uri: string): string {
  const [, host, path, rest] = /^([\w+.-]+:\/\/[^/?#]*)([^?#]*)(.*)$/s.exec(uri) ?? [];
  if (host === undefined || path === undefined) return uri;
  try {
    return host + path.split('/').map(canonicalPart).join('/') + rest;
  } catch {
    return uri;
  }
}

function canonicalPart(part: string): string {
  const plain = decodeURIComponent(part);
  return encodeURIComponent(/^[A-Z]:$/.test(plain) ? plain.toLowerCase() : plain).replace(
    /[!'()*]/g,
    (character) => `%${hex(character.charCodeAt(0))}`,
  );
}

/** The last part of an address, as a person reads it. */
export function fileName(uri: string): string {
  return decoded(uri.slice(uri.lastIndexOf('/') + 1));
}

/** A part of an address in plain characters; as it stands where it is not written as addresses are. */
function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

/** Whether a document lies in no folder, as it was never saved: what it names lies nowhere then. */
export function isUnsaved(uri: string): boolean {
  return uri.startsWith('untitled:');
}

/** Whether an address is that of a file as it was at another time, which editors tell apart by a query. */
export function isOfAnotherTime(uri: string): boolean {
  return !uri.startsWith('file:') && uri.includes('?');
}

/** The path from a file to another one, as people write it there; undefined where no path leads to it. */
export function relativePath(from: string, to: string): string | undefined {
  const here = from.split('/');
  const there = to.split('/');
  // Scheme and authority are the first three parts: "file:", "" and a name that may be empty.
  if (here.slice(0, 3).join('/') !== there.slice(0, 3).join('/')) return undefined;
  let shared = 0;
  while (shared < here.length - 1 && shared < there.length - 1 && here[shared] === there[shared]) shared++;
  const up = Array.from({ length: here.length - 1 - shared }, () => '..');
  return [...up, ...there.slice(shared).map(decoded)].join('/');
}
