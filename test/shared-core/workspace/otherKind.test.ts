// Files that are no dumps are told by their first bytes, as the standards of their formats give them.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { otherKindOf } from '../../../shared-core/src/workspace/otherKind.js';

const kindOf = (...bytes: readonly number[]) => {
  const kind = otherKindOf(Uint8Array.from(bytes));
  return kind === undefined ? '' : say(kind);
};
const latin = (text: string) => [...Buffer.from(text, 'latin1')];

/** A program for Windows: "MZ", at 0x3C where its signature is, and the signature. */
const program = (at: number, signature = 'PE\0\0') => {
  const bytes = new Uint8Array(0x80);
  bytes.set(latin('MZ'));
  bytes[0x3c] = at;
  bytes.set(latin(signature), 0x40);
  return bytes;
};

describe('a file of another kind', () => {
  it('is told by its first bytes', () => {
    for (const [begins, kind] of [
      ['\x89PNG\r\n\x1a\n\0', 'a picture (PNG)'],
      ['\xff\xd8\xff\xe0\0', 'a picture (JPEG)'],
      ['\xff\xd8\xff\xdb\0', 'a picture (JPEG)'],
      ['GIF87a', 'a picture (GIF)'],
      ['GIF89a', 'a picture (GIF)'],
      ['%PDF-1.7\n', 'a document (PDF)'],
      ['PK\x03\x04\x14', 'an archive or a document packed as one (ZIP)'],
      ['PK\x05\x06\0', 'an archive or a document packed as one (ZIP)'],
      ['\x1f\x8b\x08\x08', 'a packed file (gzip)'],
      ['7z\xbc\xaf\x27\x1c', 'a packed file (7z)'],
      ['\x7fELF\x02', 'a program (ELF)'],
      ['SQLite format 3\0', 'a database (SQLite)'],
    ] as const)
      assert.equal(kindOf(...latin(begins)), kind);
    assert.equal(kindOf(...program(0x40)), 'a program (Windows)');
  });

  it('is none that only begins alike', () => {
    for (const begins of [
      '',
      '\x89PNG',
      '\xff\xd8\xff',
      '\xff\xd8\xff\xff',
      '\xff\xd8\xff\x12',
      'PK\x01\x02',
      '\x1f\x8b\x08\xff',
      '\x1f\x8b\x08',
      'MZ',
      '\x7fEL',
      'SQLite format 3',
    ])
      assert.equal(kindOf(...latin(begins)), '', JSON.stringify(begins));
    assert.equal(kindOf(...program(0x41)), '');
    assert.equal(kindOf(...program(0xff)), '');
    assert.equal(kindOf(...program(0x40, 'PE\0\x01')), '');
    assert.equal(kindOf(...program(0x40).subarray(0, 0x3e)), '');
  });
});
