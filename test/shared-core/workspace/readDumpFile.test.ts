// A file is the same dump whether all its rows are read or only those that are needed, and words that are said are believed
// only where nothing contradicts them.
import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { say } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { dumpText } from '../../../shared-core/src/format/dumpText.js';
import { formOf } from '../../../shared-core/src/format/index.js';
import { readRows } from '../../../shared-core/src/format/rows.js';
import type { Word } from '../../../shared-core/src/format/word.js';
import { codedFiles, PLAIN_VIEW } from '../../../shared-core/src/workspace/codedFiles.js';
import { filesNamedBy, profilesNamed, type SaidWord } from '../../../shared-core/src/workspace/dumpFile.js';
import { createWorkspace, type LoadHow } from '../../../shared-core/src/workspace/index.js';
import { type MemoryFile, memoryHost, utf8 } from '../../support/memoryHost.js';

const at = (name: string) => `file:///car/${name}`;
type Files = Readonly<Record<string, MemoryFile>>;
interface Said {
  readonly form?: string;
  readonly word?: SaidWord;
}

/** What a file is: why it is refused, or its bytes at their addresses, and what is wrong with it. */
async function whatIs(
  name: string,
  files: Files,
  rows: 'all' | 'needed',
  { form, word }: Said = {},
  how: LoadHow = {},
) {
  const memory = memoryHost(new Map(Object.entries(files).map(([one, file]) => [at(one), file])));
  const isFile = (uri: string) => uri === at(name);
  const coded = codedFiles(memory, utf8, {
    saidForm: (uri) => (isFile(uri) ? form : undefined),
    ...(word !== undefined && { view: { ...PLAIN_VIEW, word: word.word } }),
  });
  const workspace = createWorkspace(
    { ...memory, readsRawBytes: true, open: coded.open },
    {
      formOf: (uri) => (isFile(uri) && form !== undefined ? formOf(form) : undefined),
      wordOf: (uri) => (isFile(uri) ? word : undefined),
    },
  );
  const answer = await workspace.open(at(name), { rows, contents: true, ...how }, async (opened) => {
    const loaded = await opened.load();
    if (!loaded.ok) return loaded;
    const contents = opened.contents(loaded.value.dump);
    const data = contents.ok
      ? contents.value.parts.flatMap((part) =>
          part.kind === 'data'
            ? [
                `${part.address} ${Buffer.from(part.bytes.store)
                  .subarray(part.bytes.from, part.bytes.from + part.bytes.count)
                  .toString('hex')}`,
              ]
            : [],
        )
      : [say(contents.why)];
    const problems = checkDump(loaded.value).map(({ code, message }) => `${code} ${say(message)}`);
    return { ok: true as const, value: [loaded.value.profileFile ?? 'none', joined(data), ...problems.sort()] };
  });
  assert.equal(memory.left(), 0);
  return answer.ok ? answer.value : [say(answer.why)];
}

/** Runs that go on at the next address are one. */
function joined(runs: readonly string[]): string {
  return runs.reduce((all, run) => {
    const [address = '', bytes = ''] = run.split(' ');
    const [last = ''] = all.split(', ').slice(-1);
    const [from = '', before = ''] = last.split(' ');
    const goesOn = before !== '' && Number(from) + before.length / 2 === Number(address);
    return goesOn ? `${all}${bytes}` : all === '' ? run : `${all}, ${run}`;
  }, '');
}

const ADDRESSES = { format: 1, addresses: { from: 0, to: 3 } };
const profile = (more: object = {}) => JSON.stringify({ ...ADDRESSES, ...more });
const P = 'p.dump-profile.json';
const LITTLE = { word: { bytes: 2, order: 'little' } };
const HEX = ':0400000001020304F2\n:00000001FF\n';
const S = 'S107000001020304EE\nS9030000FC\n';
const VIEW = '00000000: 0102 0304                                ....\n';
const SINGLE = '00000000: 01 02 03 04                                      ....\n';
const DUMP = '0: 01 02 03 04\n';
const NAMED = `@profile ${P}\n`;
const behind = (text: string, header = NAMED) => `${text}; ${header}`;
const AS_IS = '0 01020304';
const TURNED = '0 02010403';

/** Each with the bytes that it holds. */
const CASES: readonly (readonly [what: string, name: string, files: Files, bytes: string | RegExp, said?: Said])[] = [
  ['records', 'a.hex', { 'a.hex': HEX }, AS_IS],
  ['records with a header behind them', 'a.hex', { 'a.hex': behind(HEX), [P]: profile() }, AS_IS],
  [
    'records whose profile writes them otherwise',
    'a.hex',
    { 'a.hex': behind(HEX), [P]: profile({ notation: 's-record' }) },
    /.*/,
  ],
  [
    'records by a profile of the same form',
    'a.hex',
    { 'a.hex': behind(HEX), [P]: profile({ notation: 'intel-hex' }) },
    AS_IS,
  ],
  [
    'records whose profile knows words, which they have not',
    'a.hex',
    { 'a.hex': behind(HEX), [P]: profile(LITTLE) },
    AS_IS,
  ],
  ['records under a name that says nothing', 'a.txt', { 'a.txt': S }, AS_IS],
  ['records that are said to be what they are', 'a.txt', { 'a.txt': HEX }, AS_IS, { form: 'intel-hex' }],
  ['records that are said to be others', 'a.txt', { 'a.txt': HEX }, /text-unreadable|no data/, { form: 's-record' }],
  [
    'records of two profiles',
    'a.hex',
    { 'a.hex': `; ${NAMED}${HEX}; @profile q.json\n`, [P]: profile() },
    /several profiles/,
  ],
  ['a view', 'a.xxd', { 'a.xxd': SINGLE }, AS_IS],
  ['a view in words of which nobody says the order', 'a.xxd', { 'a.xxd': VIEW }, /order nobody can tell/],
  [
    'a view by a profile in words',
    'a.xxd',
    { 'a.xxd': VIEW, 'a.xxd.dump-headers': NAMED, [P]: profile(LITTLE) },
    TURNED,
  ],
  [
    'a view of single bytes by a profile in words',
    'a.xxd',
    { 'a.xxd': SINGLE, 'a.xxd.dump-headers': NAMED, [P]: profile(LITTLE) },
    TURNED,
  ],
  ['single bytes in words by a header', 'a.xxd', { 'a.xxd': SINGLE, 'a.xxd.dump-headers': '@word 2le\n' }, TURNED],
  [
    'single bytes in words by a header, with a profile',
    'a.xxd',
    { 'a.xxd': SINGLE, 'a.xxd.dump-headers': `${NAMED}@word 2le\n`, [P]: profile() },
    TURNED,
  ],
  ['a view in words by its header', 'a.xxd', { 'a.xxd': VIEW, 'a.xxd.dump-headers': '@word 2le\n' }, TURNED],
  [
    'a view by header against its profile',
    'a.xxd',
    { 'a.xxd': VIEW, 'a.xxd.dump-headers': `${NAMED}@word 2be\n`, [P]: profile(LITTLE) },
    AS_IS,
  ],
  ['a view by a profile in no words', 'a.xxd', { 'a.xxd': SINGLE, 'a.xxd.dump-headers': NAMED, [P]: profile() }, AS_IS],
  ['a view in words that are said', 'a.xxd', { 'a.xxd': VIEW }, TURNED, { word: { word: '2le', orOfResult: false } }],
  ['dump text', 'a.cfgdump', { 'a.cfgdump': `${NAMED}${DUMP}`, [P]: profile() }, AS_IS],
  ['raw bytes', 'a.bin', { 'a.bin': Uint8Array.of(1, 2, 3, 4, 0, 0xff) }, '0 0102030400ff'],
  [
    'raw bytes with headers',
    'a.bin',
    { 'a.bin': Uint8Array.of(1, 2, 3, 4), 'a.bin.dump-headers': NAMED, [P]: profile() },
    AS_IS,
  ],
  [
    'raw bytes by a profile in words',
    'a.bin',
    { 'a.bin': Uint8Array.of(1, 2, 3, 4), 'a.bin.dump-headers': NAMED, [P]: profile(LITTLE) },
    TURNED,
  ],
  [
    'raw bytes by a profile of other lines',
    'a.bin',
    {
      'a.bin': Uint8Array.of(1, 2, 3, 4),
      'a.bin.dump-headers': NAMED,
      [P]: JSON.stringify({ format: 1, lines: { from: 0, to: 1, data: 4, sum: 0 } }),
    },
    /.*/,
  ],
  [
    'raw bytes in words that are said',
    'a.bin',
    { 'a.bin': Uint8Array.of(1, 2, 3, 4) },
    TURNED,
    { word: { word: '2le', orOfResult: false } },
  ],
];

describe('a file of which only some rows are needed', () => {
  for (const [what, name, files, bytes, said] of CASES)
    it(`is the same dump as one that is read whole: ${what}`, async () => {
      const [all, needed] = [await whatIs(name, files, 'all', said), await whatIs(name, files, 'needed', said)];
      assert.deepEqual(needed, all);
      if (bytes instanceof RegExp) assert.match(all.join(), bytes);
      else assert.equal(all[1], bytes, all.join('\n'));
    });

  it('is explained by a profile that is given, in whatever form that says it is', async () => {
    const printed = '0000000 0201 0403\n0000004\n';
    for (const [name, text, more, words] of [
      ['a.hex', HEX, {}, /^none,0 01020304$/],
      ['a.hex', HEX, { addresses: { from: 0, to: 7 } }, /addresses 0004 to 0007|0004/],
      ['a.txt', printed, { notation: 'hex-view', ...LITTLE }, /0 01020304/],
      ['a.txt', printed, { notation: 'hex-view', word: { bytes: 2, order: 'big' } }, /0 02010403/],
      ['a.txt', printed, LITTLE, /0 01020304/],
    ] as const) {
      const files = { [name]: text, [P]: profile(more) };
      const by = (rows: 'all' | 'needed') => whatIs(name, files, rows, {}, { profile: at(P) });
      const all = await by('all');
      assert.deepEqual(await by('needed'), all);
      assert.match(all.join().replace(at(P), 'none'), words);
    }
  });

  it('is a memory image where its records carry addresses, and none where it is raw bytes', async () => {
    const images = async (name: string, file: MemoryFile) => {
      const memory = memoryHost(new Map([[at(name), file]]));
      const { open } = codedFiles(memory, utf8);
      const found = await createWorkspace({ ...memory, readsRawBytes: true, open }).open(at(name), {}, ({ image }) => ({
        ok: true,
        value: image()?.notation.id,
      }));
      return found.ok ? found.value : say(found.why);
    };
    assert.equal(await images('a.hex', HEX), 'intel-hex');
    assert.equal(await images('a.txt', S), 's-record');
    assert.equal(await images('a.bin', Uint8Array.of(0, 1, 0xff)), undefined);
    assert.equal(await images('a.cfgdump', DUMP), undefined);
  });

  it('may be of any size where it is passed over, and of no more than is said where it is read whole', async () => {
    const raw = { 'a.bin': Uint8Array.of(1, 2, 3, 4) };
    const size = '0x0000: 01 02 03 04\n'.length;
    assert.match(`${await whatIs('a.bin', raw, 'all', {}, { most: size - 1 })}`, /larger than 0 MB/);
    assert.match(`${await whatIs('a.bin', raw, 'all', {}, { most: size })}`, /01020304/);
    assert.match(`${await whatIs('a.bin', raw, 'needed', {}, { most: 1 })}`, /01020304/);
    for (const [rows, most, words] of [
      ['all', HEX.length - 1, /larger than 0 MB/],
      ['all', HEX.length, /01020304/],
      ['needed', 1, /01020304/],
    ] as const)
      assert.match(`${await whatIs('a.hex', { 'a.hex': HEX }, rows, {}, { most })}`, words);
    const inWords = { 'a.xxd': VIEW, 'a.xxd.dump-headers': '@word 2le\n' };
    assert.match(`${await whatIs('a.xxd', inWords, 'needed', {}, { most: 1 })}`, /larger than 0 MB/);
  });
});

describe('words that a person says', () => {
  const by = async (word: Word, files: Files, name = 'a.xxd', orOfResult = false) => {
    const said = { word: { word, orOfResult } };
    const [all, needed] = [await whatIs(name, files, 'all', said), await whatIs(name, files, 'needed', said)];
    assert.deepEqual(needed, all);
    return all.length === 1 ? `${all}` : `${all[1]}`;
  };
  const view = (headers: string, more: object = {}) => ({
    'a.xxd': VIEW,
    'a.xxd.dump-headers': headers,
    [P]: profile(more),
  });

  it('are those of the file, unless its header or its profile says others: both are named', async () => {
    assert.equal(await by('2le', view('')), TURNED);
    assert.equal(await by('2le', view('@word 2le\n')), TURNED);
    assert.match(await by('2be', view('@word 2le\n')), /"--word 2be" contradicts its header "@word 2le"/);
    assert.equal(await by('2le', view(NAMED, LITTLE)), TURNED);
    assert.match(await by('2be', view(NAMED, LITTLE)), /"--word 2be" contradicts its profile, which says 2le/);
    assert.equal(await by('2be', view(`${NAMED}@word 2be\n`, LITTLE)), AS_IS);
    assert.match(
      await by('2be', view(NAMED, { notation: 'hex-view' })),
      /contradicts its profile, whose notation hex-view is without words/,
    );
    assert.equal(await by('2le', view(NAMED, { notation: 'hex-view', ...LITTLE })), TURNED);
  });

  it('are those of raw bytes, read whole or not', async () => {
    const raw = (headers: string) => ({
      'a.bin': Uint8Array.of(1, 2, 3, 4),
      'a.bin.dump-headers': headers,
      [P]: profile(LITTLE),
    });
    assert.equal(await by('2le', raw(''), 'a.bin'), TURNED);
    assert.equal(await by('2le', raw(NAMED), 'a.bin'), TURNED);
    assert.match(await by('4le', raw(NAMED), 'a.bin'), /"--word 4le" contradicts its profile/);
    assert.match(await by('2be', raw('@word 2le\n'), 'a.bin'), /"--word 2be" contradicts its header/);
  });

  it('are refused of a form that knows none, unless they may be those of what is made from it', async () => {
    assert.match(await by('2le', { 'a.hex': HEX }, 'a.hex'), /Intel HEX has no words\. Leave "--word" out/);
    assert.equal(await by('2le', { 'a.hex': HEX }, 'a.hex', true), AS_IS);
    // Where nothing tells how a text is written, they choose among the forms that fit.
    const printed = '0000000 0201 0403\n0000004\n';
    assert.equal(await by('2le', { 'a.txt': printed }, 'a.txt'), AS_IS);
    assert.equal(await by('2be', { 'a.txt': printed }, 'a.txt'), TURNED);
    assert.match(`${await whatIs('a.txt', { 'a.txt': printed }, 'all')}`, /--word 2le/);
  });
});

describe('an image of which very many rows are wrong', () => {
  const wrong = (count: number, header = '') => ({
    'a.hex': `${`:01000000AA00\n`.repeat(count)}:00000001FF\n; ${header}`,
    [P]: profile(),
  });

  it('is refused in a sentence, and its rows are not listed', async () => {
    for (const header of ['', NAMED])
      for (const rows of ['all', 'needed'] as const)
        assert.match(
          `${await whatIs('a.hex', wrong(300_001, header), rows)}`,
          /^a\.hex cannot be read: more than 300000 of its rows cannot be read or have a wrong sum of their own/,
        );
  }).timeout(120_000);

  it('is read where they are fewer', async () => {
    const [, , ...problems] = await whatIs('a.hex', wrong(2000), 'needed');
    assert.ok(problems.filter((problem) => problem.startsWith('line-sum')).length === 2000);
  });
});

describe('the files that a dump names', () => {
  it('are its profiles and its backups, wherever their headers stand and whatever ends its lines', () => {
    const named = (text: string, name = 'a.cfgdump') => filesNamedBy(at(name), text);
    for (const end of ['\n', '\r\n', '\r'])
      assert.deepEqual(named(['@profile p.json', '1: 01', '@note @profile n', '@backup ../b', '@vin x'].join(end)), [
        at('p.json'),
        'file:///b',
      ]);
    assert.deepEqual(named('  @profile p.json'), [at('p.json')]);
    assert.deepEqual(named('1: 01 # @profile p.json'), []);
    assert.deepEqual(named('# @profile p.json\n@profile //host/share/p.json\n@backup'), []);
    assert.deepEqual(named(behind(HEX), 'a.hex'), [at(P)]);
    assert.deepEqual(named(`${VIEW}@profile p.json\n`, 'a.xxd'), [at('p.json')]);
  });

  it('are each named once, and none by a header without a value', () => {
    const rows = readRows('@profile a\n@profile\n@profile b\n@profile a\n@backup c\n', dumpText);
    assert.deepEqual(profilesNamed(rows), ['a', 'b']);
  });
});
