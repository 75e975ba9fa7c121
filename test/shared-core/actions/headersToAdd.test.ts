import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { headersToAdd } from '../../../shared-core/src/actions/index.js';
import { bindText } from '../../../shared-core/src/model/index.js';
import { EMPTY_PROFILE } from '../../../shared-core/src/profile/index.js';

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
