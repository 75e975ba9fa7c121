import { phrase } from '../../../shared-core/src/base/index.js';
import type { Encoded } from '../../../shared-core/src/workspace/index.js';
import { Failure } from '../files/failure.js';
import type { Disk } from './load.js';

/** The bytes of a text in the encoding of the file that it was made from. */
export function encoded(disk: Disk, file: string, text: string): Encoded {
  const coding = disk.codingOf(file);
  if (coding === undefined) return { bytes: Buffer.from(text), headers: '' };
  const made = coding.encode(text);
  if (made.ok) return made.value;
  throw new Failure(phrase('{0} cannot be written: {1}', file, made.why));
}
