import { listed, type Phrase, phrase } from '../../base/phrase.js';
import { type Comparison, compareDumps, differingBytes, differs } from '../../compare/compareDumps.js';
import { unmatchedInWords, unreadInWords } from '../../compare/comparisonInWords.js';
import { guardedInWords } from '../../compare/guarded.js';
import { labelText } from '../../format/dumpText.js';
import { otherIdentity } from '../../model/identity.js';
import { verifyReadBack } from '../verify/verify.js';
import type { RecordedDump } from './timeline.js';

/** What changed between a dump and the one it is compared with: what must not be written first, then options, then lines. */
export function changesInWords({ dump, since }: RecordedDump): readonly Phrase[] {
  if (since === undefined) return [];
  const identity = otherIdentity(since.dump, dump);
  if (identity !== undefined)
    return [phrase('Not compared with {0}: "@{1}" is "{2}" there and "{3}" here.', since.name, ...identity)];
  const comparison = compareDumps(since.dump, dump);
  if (comparison.identical) return [phrase('The same bytes as {0}.', since.name)];
  return [
    phrase('Since {0}: {1}', since.name, linesInWords(comparison)),
    ...guardedInWords(comparison.guarded),
    ...comparison.options.map(({ option, before, after }) => phrase('{0}: {1} → {2}', option.title, before, after)),
    ...unmatchedInWords(comparison),
    ...unexplainedInWords(comparison),
  ];
}

function linesInWords(comparison: Comparison): Phrase {
  const { lines } = comparison;
  const bytes = differingBytes(comparison);
  if (bytes === 0) return phrase('no byte changed in lines that both have.');
  return phrase('changed bytes: {0} (lines: {1}).', bytes, listed(lines.map(({ label }) => labelText(label))));
}

function unexplainedInWords({ lines }: Comparison): readonly Phrase[] {
  const open = lines.filter(({ bytes }) => bytes.some(({ reason, volatile }) => reason === 'unexplained' && !volatile));
  if (open.length === 0) return [];
  return [phrase('Unexplained (lines: {0}).', listed(open.map(({ label }) => labelText(label))))];
}

/** Whether the changed dumps in work of a module were proved to be written: the latest reading after the backup decides. */
export function writtenInWords(work: RecordedDump, dumps: readonly RecordedDump[]): Written | undefined {
  const { role, since, name } = work;
  if (role !== 'work' || since === undefined) return undefined;
  const comparison = compareDumps(since.dump, work.dump);
  if (comparison.identical) return undefined;
  if (!differs(comparison)) {
    const [why] = unreadInWords(comparison);
    return {
      isOpen: true,
      said: phrase('Whether {0} is changed cannot be told, as not everything was read. {1}', name, why ?? ''),
    };
  }
  const found = dumps.findIndex((one) => one.name === since.name);
  const readings = dumps.slice(found + 1).filter((one) => one.role === 'reading');
  const proofs = readings.filter((reading) => verifyReadBack(work.dump, reading.dump, undefined).matches);
  const [proof, latest] = [proofs.at(-1), readings.at(-1)];
  if (proof === undefined)
    return { isOpen: true, said: phrase('{0} is changed, and no reading here proves that it was written.', name) };
  if (proof === latest) return { isOpen: false, said: phrase('Written: {0} verifies it.', proof.name) };
  return {
    isOpen: true,
    said: phrase('Written: {0} verified it, but {1}, read later, differs from it.', proof.name, latest?.name ?? ''),
  };
}

export interface Written {
  readonly isOpen: boolean;
  readonly said: Phrase;
}
