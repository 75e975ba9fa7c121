import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { hexView } from '../../../shared-core/src/format/hexView.js';
import { bindText, type Dump } from '../../../shared-core/src/model/index.js';
import { readProfile } from '../../../shared-core/src/profile/index.js';
import { scanImage } from '../../../shared-core/src/scan/imageScan.js';
import { loaded, SOUND } from '../../support/loaded.js';

const TEXT = `00000000: 00 00 41 00  ..a.\n00000004: 00 00 00 00  ....\n`;
const PROFILE = {
  format: 1,
  totals: [{ name: 'image sum', method: 'crc', model: 'CRC-16/ARC', over: [{ from: 0, to: 0 }], address: 4 }],
};

describe('a row whose characters go against its bytes', () => {
  const { profile } = readProfile(JSON.stringify(PROFILE));
  const said = (dump: Dump) => checkDump(loaded(dump, SOUND)).map(({ code, message }) => `${code}: ${say(message)}`);

  it('leaves the sums over it untold, where the file is passed over too', () => {
    const decode = (bytes: Uint8Array) => new TextDecoder().decode(bytes);
    const chunks = () => [new TextEncoder().encode(TEXT)];
    const scanned = scanImage({ chunks, notation: hexView, decode }, profile);
    assert.ok(!('asks' in scanned));
    const problems = said(bindText('a.xxd', TEXT, profile));
    assert.match(problems.join('\n'), /not-checked: The image sum cannot be checked/);
    assert.deepEqual(said(scanned), problems);
  });
});
