import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';
import type { Host } from './host.js';

/** Files on the disk of the machine that the server runs on. */
export const nodeHost: Host = {
  readText: async (uri) => {
    if (!uri.startsWith('file:')) return undefined;
    try {
      return await readFile(fileURLToPath(uri), 'utf8');
    } catch {
      return undefined;
    }
  },
};
