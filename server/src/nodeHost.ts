import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import type { Host } from './host.js';

/**
 * Files on the disk of the machine that the server runs on. They are small and read at once: by way of the thread pool a
 * profile of a dump just opened takes 1 ms longer, which is a quarter of all that opening takes.
 */
export const nodeHost: Host = {
  readText: async (uri) => {
    if (!uri.startsWith('file:')) return undefined;
    try {
      return readFileSync(fileURLToPath(uri), 'utf8');
    } catch {
      return undefined;
    }
  },
};
