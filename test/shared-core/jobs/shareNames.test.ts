// Copies for others: names and serial numbers that a person asks to hide, or that stand in headers which are left out.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/phrase.js';
import { shareDumps } from '../../../shared-core/src/jobs/index.js';
import { codes, copied, dataIn, PROFILE_FILE, problems, source, textOf } from '../../support/sharedCopies.js';

const utf8 = (text: string) => [...Buffer.from(text, 'utf8')];
const little = (text: string) => [...Buffer.from(text, 'utf16le')];
const big = (text: string) => [...Buffer.from(text, 'utf16le').swap16()];
const latin = (text: string) => [...Buffer.from(text, 'latin1')];
const comments = (text: string) => text.split('\n').filter((row) => row.startsWith('#'));

describe('a name that is to be hidden', () => {
  it('is masked in the bytes in UTF-8, Latin-1 and UTF-16, in capitals and small letters, as long as it was', () => {
    for (const name of ['Krämer', 'KRÄMER', 'krämer', 'Åse Böhl', 'Żółw'])
      for (const write of [utf8, latin, little, big]) {
        if (write === latin && /[^\0-\xff]/.test(name)) continue;
        for (const hidden of [name, name.toLowerCase()]) {
          const bytes = [0x80, ...write(name), 0x81];
          const { text, dump, notFound } = copied(source(textOf(bytes)), [hidden]);
          const now = dataIn(text).slice(0, bytes.length);
          const about = `${name} as ${hidden}: ${write(name)}`;
          assert.deepEqual([now[0], now.at(-1), notFound, problems(dump)], [0x80, 0x81, [], []], about);
          const readable = String.fromCharCode(...now.slice(1, -1).filter((byte) => byte !== 0));
          assert.match(readable, /^[A-Z ]+$/i, about);
          for (const [at, byte] of write(name).entries())
            if (byte !== 0 && byte !== 0x20) assert.notEqual(now[at + 1], byte, about);
        }
      }
  });

  it('is told with how it was coded', () => {
    const said = (bytes: readonly number[], hidden: string) =>
      copied(source(textOf([0x80, ...bytes])), [hidden]).said.filter((one) => one.startsWith('Line'));
    const told = (count: number, how: string) => [
      `Line 1, byte 2: personal value (${count} characters, ${how}), masked`,
    ];
    assert.deepEqual(said(utf8('Krämer'), 'Krämer'), told(6, 'UTF-8'));
    assert.deepEqual(said(latin('Krämer'), 'Krämer'), told(6, 'ASCII'));
    assert.deepEqual(said(little('Krämer'), 'Krämer'), told(6, 'UTF-16'));
    assert.deepEqual(said(big('Żółwik'), 'Żółwik'), told(6, 'UTF-16'));
  });

  it('leaves no mark of an accent, however it is written', () => {
    const { text } = copied(source(textOf([], ['# Kra\u0308mer, Krämer'])), ['Krämer']);
    assert.match(text, /^# [A-Za-z]{7}, [A-Za-z]{6}$/m);
  });

  it('is masked in comments in whatever order its words are, and no other word is', () => {
    const all = ['# Ada', '# Borg', '# Borg, Ada; A. Borg; AdaBorg; ada_borg', '# adapter, Cyborg'];
    const { text, notFound } = copied(source(textOf([], all)), ['Ada Borg']);
    const now = comments(text);
    assert.doesNotMatch(now.slice(0, 3).join('\n'), /ada|borg/i);
    assert.equal(now[3], all[3]);
    assert.deepEqual(notFound, []);
    assert.deepEqual(copied(source(textOf([], ['# by Borg'])), ['Ada Borg']).notFound, []);
    assert.deepEqual(copied(source(textOf([], ['# by Cyborg'])), ['Ada Borg']).notFound, ['Ada Borg']);
  });
});

describe('the value of a header that is left out', () => {
  const SERIAL = 'QK5530917M';

  it('is masked in comments and in the bytes where it is a number, as if a person had asked for it', () => {
    for (const header of ['serial', 'unit', 'order']) {
      const rows = [`@${header} ${SERIAL}`, '# unit QK-5530917M, qk5530917m'];
      for (const write of [latin, little, big]) {
        const { text, said, dump } = copied(source(textOf([0x80, ...write(SERIAL)], rows)));
        assert.doesNotMatch(text, /5530917/);
        assert.notDeepEqual(dataIn(text).slice(1, 1 + SERIAL.length), write(SERIAL).slice(0, SERIAL.length));
        assert.doesNotMatch(String.fromCharCode(...dataIn(text)).replaceAll('\0', ''), /5530917/);
        assert.deepEqual(problems(dump), []);
        assert.deepEqual(said.slice(0, 2), [`Row 1: "@${header}" is left out`, 'Row 2: masked in a comment']);
      }
      const packed = copied(source(textOf([0x80, 0x55, 0x30, 0x91, 0x7f], rows))).text;
      assert.deepEqual(dataIn(packed).slice(0, 1), [0x80]);
      assert.notDeepEqual(dataIn(packed).slice(1, 4), [0x55, 0x30, 0x91]);
    }
  });

  it('is masked where it is a name, in comments also word by word', () => {
    for (const header of ['owner', 'customer', 'read-by', 'Halter']) {
      const rows = [`@${header} Ada Borg`, '# of Ada Borg', '# Borg, A.; a Cyborg'];
      const { text } = copied(source(textOf([0x80, ...codes('ADA BORG')], rows)));
      assert.doesNotMatch(text, /Ada|Borg/);
      assert.match(text, /a Cyborg$/m);
      assert.notDeepEqual(dataIn(text).slice(1, 9), codes('ADA BORG'));
    }
    assert.doesNotMatch(copied(source(textOf([], ['@owner Jo', '# by Jo']))).text, /Jo/);
  });

  it('is masked in what a profile says for people', () => {
    const profile = {
      ...{ file: PROFILE_FILE, name: 'm.dump-profile.json', names: new Map() },
      text: `{ "format": 1, "options": [{ "id": "a", "evidence": "${SERIAL} of Ada Borg", "note": "of Borg" }] }`,
    };
    const result = shareDumps([source(textOf([], [`@serial ${SERIAL}`, '@owner Ada Borg']))], [profile]);
    assert.ok(result.ok, result.ok ? '' : say(result.why));
    assert.doesNotMatch(result.value.profiles[0]?.text ?? '', /5530917|Ada|Borg/);
  });

  it('leaves the rules of a profile alone where it is a word of them', () => {
    const profile = {
      ...{ file: PROFILE_FILE, name: 'm.dump-profile.json', names: new Map() },
      text: '{ "format": 1, "options": [{ "id": "trailer", "title": "For Trailer", "line": 1, "byte": 1, "values": { "17": "on" } }] }',
    };
    const result = shareDumps([source(textOf([], ['@owner Trailer Rental', '# Trailer']))], [profile]);
    assert.ok(result.ok, result.ok ? '' : say(result.why));
    assert.match(result.value.profiles[0]?.text ?? '', /"id": "trailer", "title": "For [A-Z][a-z]+"/);
    assert.doesNotMatch(result.value.profiles[0]?.text ?? '', /For Trailer/);
  });

  it('is left alone where it tells of the module or is any word', () => {
    const rows = [
      '@part RB-200177',
      '@trim Comfort',
      '@hardware RB-200177',
      '@country 17',
      '@tool 471190',
      '@base 0x00012345',
      '@vin -',
      '@vehicle ?',
    ];
    const kept = '# Comfort, RB-200177, 17, 471190, 0x00012345, ?';
    const { text } = copied(source(textOf([], [...rows, kept])));
    assert.deepEqual(
      text.split('\n').filter((row) => /^[@#]/.test(row)),
      ['@part RB-200177', '@vin -', '@vehicle ?', kept],
    );
  });
});
