import { done } from '../../shared-core/src/base/index.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { createWorkspace, fileOfText, type Host } from '../../shared-core/src/workspace/index.js';
import { utf8 } from './codec.js';
import type { Session } from './session.js';

const LINES = 40;

/** A profile that has some of everything, so that all of the reader has run. */
const PROFILE = {
  format: 1,
  title: 'Warm-up',
  module: 1,
  lines: { from: 1, to: LINES, data: 6, sum: 1 },
  lineSum: { method: 'add', bits: 8, over: ['data'] },
  totals: [{ name: 'sum', label: 'total', method: 'add', bits: 16, order: 'big', over: ['data'], keep: true }],
  balance: [{ line: 1, byte: 6 }],
  options: [
    { id: 'a', title: 'A', line: 1, byte: 1, bits: '7-4', values: { 0: 'no' }, needs: [{ option: 'b', in: ['0'] }] },
    { id: 'b', title: 'B', line: 2, byte: 1, values: { 0: 'no' }, hazard: 'other', confidence: 'guess' },
  ],
  locked: [{ line: 3, bytes: '1-2', why: 'it' }],
  volatile: [{ line: 4, bytes: '1' }],
};

/**
 * Reads and checks a dump while the editor is still starting, so that the first dump that a person opens does not wait
 * for code to be compiled: 26 lines open in 4 ms instead of 9. Of more lines here only the start would take longer.
 */
export async function warmUp({ say }: Session): Promise<void> {
  const lines = Array.from({ length: LINES }, (_, i) => `${i + 1}: 01 02 03 04 05 06 ${i === 0 ? '00' : '15'}`);
  const texts = new Map([
    ['file:///warm-up/a.cfgdump', `@profile p.dump-profile.json\n${lines.join('\n')}\ntotal: 00 00\n`],
    ['file:///warm-up/p.dump-profile.json', JSON.stringify(PROFILE)],
  ]);
  const host: Host = {
    kindAt: async () => done('file'),
    identity: async () => undefined,
    stamp: async () => undefined,
    open: async (uri) => done(fileOfText(texts.get(uri) ?? '', utf8)),
    list: async () => done([]),
  };
  const loaded = await createWorkspace(host).load('file:///warm-up/a.cfgdump');
  if (loaded.ok) for (const { message } of checkDump(loaded.value)) say(message);
}
