/** The address of a path that is written relative to a file, with either kind of slash. */
export function resolveUri(base: string, path: string): string {
  const encoded = path.replaceAll('\\', '/').split('/').map(encodeURIComponent).join('/');
  try {
    return new URL(encoded.replace(/^([A-Za-z])%3A\//, 'file:///$1:/'), base).toString();
  } catch {
    return base.slice(0, base.lastIndexOf('/') + 1) + encoded;
  }
}

/** The last part of an address, as a person reads it. */
export function fileName(uri: string): string {
  return decodeURIComponent(uri.slice(uri.lastIndexOf('/') + 1));
}
