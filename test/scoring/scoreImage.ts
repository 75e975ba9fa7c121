import { hex } from '../../shared-core/src/base/hex.js';
import { say } from '../../shared-core/src/base/phrase.js';
import { checkDump } from '../../shared-core/src/checks/checkDump.js';
import { learn } from '../../shared-core/src/learn/learn.js';
import { bindText } from '../../shared-core/src/model/dump.js';
import { readProfile } from '../../shared-core/src/profile/readProfile.js';
import { loaded } from '../support/loaded.js';
import type { FamilyOutcome, Stated } from './families.js';
import type { ImageFamily } from './imageFamilies.js';

export interface ImageScore {
  readonly outcome: FamilyOutcome;
  /** Each sum and copy that is stated with a chance. */
  readonly stated: readonly Stated[];
  readonly why: string;
}

const TAKEN_FOR_KNOWN = 1e-3;
const UNSEEN = 3;

/** Learns from images of a family, and holds the draft against images that were not seen. */
export function scoreImage(family: ImageFamily): ImageScore {
  const texts = Array.from({ length: family.images }, (_, i) => ({
    name: `${i + 1}.hex`,
    text: intelHex(family.write()),
  }));
  const { candidates, findings = [] } = learn(texts);
  const [best] = candidates;
  if (best === undefined) return { outcome: 'wrong', stated: [], why: 'nothing learned' };
  const json = JSON.stringify(best.profile);
  const { profile, problems } = readProfile(json);
  const [problem] = problems;
  if (problem !== undefined)
    return { outcome: 'wrong', stated: [], why: `the reader refuses a draft: ${say(problem.message)}` };
  const unseen = Array.from({ length: UNSEEN }, () => intelHex(family.write()));
  const stated: Stated[] = [];
  const sure: string[] = [];
  const doubted: string[] = [];
  for (const { kind, said, from, chance, undecided } of findings) {
    if (kind !== 'sum' && kind !== 'copy') continue;
    const isRight = kind === 'sum' ? holds(json, 'totals', from, unseen) : holds(json, 'copies', from, unseen);
    if (!undecided) stated.push({ chance, isRight });
    if (isRight) continue;
    const isDoubted = undecided || chance > TAKEN_FOR_KNOWN;
    (isDoubted ? doubted : sure).push(`${say(said)} (${chance})`);
  }
  const missing = [
    ...family.sums.filter(
      ({ place }) => !profile.totals.some(({ stored }) => stored.kind === 'address' && stored.address === place),
    ),
    ...family.copies.filter(
      ({ from, length }) =>
        !profile.copies.some(({ places }) =>
          places.some((runs) =>
            runs.some(
              (run) =>
                run.kind === 'address' && run.address <= from + 1 && run.address + run.count >= from + length - 8,
            ),
          ),
        ),
    ),
  ];
  if (sure.length > 0) return { outcome: 'wrong', stated, why: sure.join('; ') };
  if (doubted.length > 0) return { outcome: 'doubted', stated, why: doubted.join('; ') };
  return {
    outcome: missing.length === 0 ? 'right' : 'part',
    stated,
    why:
      missing.length === 0
        ? ''
        : `not found: ${JSON.stringify(missing, (_, value) => (typeof value === 'bigint' ? String(value) : value))}`,
  };
}

/** Whether the one sum or copy at an address finds no fault in images that have none; what is not in the draft claims nothing. */
function holds(json: string, key: 'totals' | 'copies', from: number, unseen: readonly string[]): boolean {
  const draft = JSON.parse(json) as Record<string, { address?: string; place?: { address: string } }[]>;
  const only = (draft[key] ?? []).filter(({ address, place }) => Number(address ?? place?.address) === from);
  const { options: _, totals: __, copies: ___, ...rest } = draft;
  const { profile } = readProfile(JSON.stringify({ ...rest, [key]: only }));
  return unseen.every((text) =>
    checkDump(loaded(bindText('unseen.hex', text, profile), { kind: 'read' }, { kind: 'none' })).every(
      ({ severity }) => severity !== 'error' && severity !== 'warning',
    ),
  );
}

/** Bytes from address 0 on as Intel HEX. */
export function intelHex(bytes: Uint8Array): string {
  const record = (address: number, type: number, data: readonly number[]) => {
    const all = [data.length, address >> 8, address & 0xff, type, ...data];
    return `:${[...all, -all.reduce((sum, byte) => sum + byte, 0) & 0xff].map((byte) => hex(byte)).join('')}\n`;
  };
  const rows: string[] = [];
  for (let at = 0; at < bytes.length; at += 16) rows.push(record(at, 0, [...bytes.subarray(at, at + 16)]));
  return `${rows.join('')}${record(0, 1, [])}`;
}
