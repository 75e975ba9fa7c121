import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { backupCopy, bindText, EMPTY_PROFILE, headersToAdd, say } from '../../../shared-core/src/index.js';
import { LINES, profileOf } from '../../support/smallDumps.js';

const WHOLE = ['1: 01 02 03 06', '2: 01 10 00 11', '3: 00 00 01 01', 'total: 00 18'];

describe('a backup', () => {
  const profile = profileOf(LINES);
  const made = (...lines: readonly string[]) => {
    const dump = bindText('x.cfgdump', `${lines.join('\n')}\n`, profile);
    const copy = backupCopy({ name: 'x.cfgdump', dump, backup: { kind: 'none' } });
    return copy.ok ? 'sealed' : say(copy.why);
  };

  it('is made of a dump that was read whole and whose sums are right', () => {
    assert.equal(made(...WHOLE), 'sealed');
  });

  const [one = '', two = '', three = '', total = ''] = WHOLE;
  for (const [what, lines, words] of [
    ['that is empty', [], /holds no data/],
    ['of which a line is missing', [one, three, total], /not whole: line 2 is missing/],
    ['that has a line twice', [one, two, two, three, total], /not whole: line 2 is in it twice/],
    [
      'that has a line that is too short',
      [one, '2: 01 11 12', three, total],
      /not whole: line 2 is too long or too short/,
    ],
    ['of which a line cannot be read', [one, '2: 01 1X 00 11', three, total], /not whole: row 2 cannot be read/],
    ['of which the file sum is missing', [one, two, three], /not whole: the file sum is missing/],
    [
      'of which a line sum is wrong',
      [one, '2: 01 10 00 12', three, total],
      /sum of line 2 is wrong.*Read the module again/,
    ],
    [
      'of which the file sum is wrong',
      [one, two, three, 'total: 00 19'],
      /the file sum is wrong.*Read the module again/,
    ],
  ] as const)
    it(`is not made of a dump ${what}`, () => {
      assert.match(made(...lines), words);
    });
});

describe('headers that are added to a dump', () => {
  const withHeaders = (name: string, text: string, headers: Parameters<typeof headersToAdd>[1]) => {
    const added = headersToAdd(bindText(name, text, EMPTY_PROFILE), headers);
    if (added === undefined) return undefined;
    const lines = text.split(/(?<=\n)/);
    const line = lines[added.line] ?? '';
    lines[added.line] = `${line.slice(0, added.column)}${added.text}${line.slice(added.column)}`;
    return lines.join('');
  };
  const BOTH = [
    ['vehicle', 'stock no. 7'],
    ['taken', '2026-03-02'],
  ] as const;

  it('go before the lines of dump text, behind its profile, in its line ends', () => {
    assert.equal(withHeaders('a.cfgdump', '1: 00\n', BOTH), '@vehicle stock no. 7\n@taken 2026-03-02\n1: 00\n');
    assert.equal(
      withHeaders('a.cfgdump', '@profile p\r\n1: 00\r\n', BOTH),
      '@profile p\r\n@vehicle stock no. 7\r\n@taken 2026-03-02\r\n1: 00\r\n',
    );
    assert.equal(withHeaders('a.cfgdump', '', BOTH), '@vehicle stock no. 7\n@taken 2026-03-02\n');
  });

  it('go behind the end of an image, and leave room before them in one that is still empty', () => {
    const image = ':0400000001020304F2\n:00000001FF\n';
    assert.equal(withHeaders('a.hex', image, BOTH), `${image}; @vehicle stock no. 7\n; @taken 2026-03-02\n`);
    assert.equal(withHeaders('a.hex', image.trimEnd(), BOTH), `${image}; @vehicle stock no. 7\n; @taken 2026-03-02\n`);
    assert.equal(withHeaders('a.hex', '', BOTH), '\n; @vehicle stock no. 7\n; @taken 2026-03-02\n');
  });

  it('are those alone that it does not have', () => {
    assert.equal(withHeaders('a.cfgdump', '@taken today\n', BOTH), '@vehicle stock no. 7\n@taken today\n');
    assert.equal(withHeaders('a.cfgdump', '@vehicle a\n@taken b\n', BOTH), undefined);
  });
});
