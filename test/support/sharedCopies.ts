// Dumps of six lines of six bytes with sums, and what becomes of them in copies for others.
import assert from 'node:assert/strict';
import { say } from '../../shared-core/src/base/phrase.js';
import { checkDump } from '../../shared-core/src/checks/index.js';
import { shareDumps } from '../../shared-core/src/jobs/index.js';
import { type Mask, masksOf, type Secret } from '../../shared-core/src/jobs/share/masks.js';
import type { ToShare } from '../../shared-core/src/jobs/share/shareDumps.js';
import { bindText, type Dump } from '../../shared-core/src/model/index.js';
import { profileOf } from './smallDumps.js';

export const VIN = '0DEM0T4X5TA020418';
export const PROFILE_FILE = 'file:///cars/m.dump-profile.json';

const PROFILE = {
  lines: { from: 1, to: 6, data: 6, sum: 1 },
  lineSum: { method: 'add', over: ['data'] },
  totals: [{ name: 'file sum', label: 'total', method: 'add', bits: 16, over: ['data'] }],
};

export const codes = (text: string) => Array.from(text, (character) => character.charCodeAt(0));
export const digits = (byte: number) => byte.toString(16).toUpperCase().padStart(2, '0');
export const hexOf = (bytes: readonly number[]) => bytes.map(digits).join(' ');
export const sumOf = (bytes: readonly number[]) => bytes.reduce((sum, byte) => sum + byte, 0);

/** The text of a dump of six lines, with sums worked out here. */
export function textOf(bytes: readonly number[], headers: readonly string[] = [], withTotal = true): string {
  const data = [...bytes, ...Array<number>(36).fill(0x11)].slice(0, 36);
  const lines = Array.from({ length: 6 }, (_, i) => data.slice(6 * i, 6 * i + 6));
  const total = sumOf(data);
  return [
    ...headers,
    ...lines.map((own, i) => `${i + 1}: ${hexOf(own)} | ${digits(sumOf(own) & 0xff)}`),
    ...(withTotal ? [`total: ${digits(total >> 8)} ${digits(total & 0xff)}`] : []),
    '',
  ].join('\n');
}

export const source = (text: string, more: object = {}, about: Partial<ToShare> = {}): ToShare => ({
  file: 'file:///cars/a.cfgdump',
  name: 'a.cfgdump',
  dump: bindText('a.cfgdump', text, profileOf({ ...PROFILE, ...more })),
  profile: { kind: 'read' },
  profileFile: PROFILE_FILE,
  backupFile: undefined,
  ...about,
});

export function copied(from: ToShare, hidden: readonly string[] = []) {
  const result = shareDumps([from], [], hidden);
  assert.ok(result.ok, result.ok ? '' : say(result.why));
  const [copy] = result.value.dumps;
  assert.ok(copy);
  const dump = bindText('a.cfgdump', copy.text, from.dump.profile);
  return {
    ...result.value,
    copy,
    text: copy.text,
    dump,
    said: copy.masked.map((one) => say(one)),
    says: copy.says.map((one) => say(one)),
    left: copy.left.map((one) => say(one)),
  };
}

export function refusal(from: ToShare, hidden: readonly string[] = []): string {
  const result = shareDumps([from], [], hidden);
  assert.ok(!result.ok);
  return say(result.why);
}

export const problems = (dump: Dump) =>
  checkDump({ dump, profile: { kind: 'read' }, backup: { kind: 'none' }, modules: () => [] }).map(
    ({ code, label }) => `${code} ${label ?? ''}`,
  );
export const dataIn = (text: string) =>
  [...text.matchAll(/^\d: ([0-9A-F ]+?) \|/gm)].flatMap(([, pairs = '']) =>
    pairs.split(' ').map((pair) => Number.parseInt(pair, 16)),
  );

/** The copies of dumps that are shared together, each under a name of its own. */
export function copiedTogether(
  texts: readonly string[],
  more: object = {},
  hidden: readonly string[] = [],
): readonly string[] {
  const sources = texts.map((text, at) => source(text, more, { file: `file:///cars/${at}`, name: `${at}.cfgdump` }));
  const result = shareDumps(sources, [], hidden);
  assert.ok(result.ok, result.ok ? '' : say(result.why));
  return result.value.dumps.map(({ text }) => text);
}

/** What stands for each of these values. */
export function masksFor(secrets: readonly Secret[]): readonly Mask[] {
  const masks = masksOf(secrets);
  assert.ok(masks.ok, masks.ok ? '' : say(masks.why));
  return masks.value;
}
