import assert from 'node:assert/strict';
import fc from 'fast-check';
import { describe, it } from 'mocha';
import { URI } from 'vscode-uri';
import { canonicalUri, fileName, relativePath, resolveUri } from '../../../shared-core/src/workspace/index.js';
import { namedUri, parentUri } from '../../../shared-core/src/workspace/uri.js';

describe('addresses', () => {
  it('have one form, whatever an editor escapes and however it writes a drive', () => {
    assert.equal(canonicalUri('file:///C:/a%20b/copy (1).cfgdump'), 'file:///c%3A/a%20b/copy%20%281%29.cfgdump');
    assert.equal(canonicalUri('file:///c%3A/a b/copy%20%281%29.cfgdump'), 'file:///c%3A/a%20b/copy%20%281%29.cfgdump');
    assert.equal(canonicalUri('git:/demo/a.cfgdump?{"ref":"~"}'), 'git:/demo/a.cfgdump?%7B%22ref%22%3A%22~%22%7D');
    assert.equal(canonicalUri('untitled:Untitled-1'), 'untitled:Untitled-1');
    assert.equal(canonicalUri('file:///100%/a'), 'file:///100%25/a');
    assert.equal(canonicalUri('a b:c'), 'a b:c');
  });

  it('that are plain are written as the library writes them', () => {
    const plain = fc.string({ unit: fc.constantFrom(...'aZ09._~-/') }).map((path) => `file:///${path}`);
    // RFC 3986, 2.3: these characters are never escaped. A second slash at the front is of a computer, not of a path.
    const asWritten = (uri: string) => (uri.startsWith('file:////') ? uri : URI.parse(uri).toString());
    fc.assert(fc.property(plain, (uri) => assert.equal(canonicalUri(uri), asWritten(uri))));
  });

  it('of any text have a form that stays, and a name', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary' }), (text) => {
        const once = canonicalUri(text);
        assert.equal(canonicalUri(once), once);
        assert.equal(typeof fileName(text), 'string');
      }),
    );
  });

  it('of paths lead there and back', () => {
    const base = 'file:///cars/2041/a.cfgdump';
    for (const path of ['p (1).json', '../p!.json', 'deep/er/ä p.json', '../../x/y.json', '100%.json', 'a?b#c.json']) {
      const target = resolveUri(base, path);
      assert.equal(target, canonicalUri(target));
      assert.equal(relativePath(base, target), path);
    }
    assert.equal(relativePath(base, 'file://host/cars/b.cfgdump'), undefined);
    assert.equal(parentUri('file:///cars/a.cfgdump?stdin'), 'file:///cars');
  });

  it('of any path are in the file system of the file that names it, or refused', () => {
    const bases = [
      'file:///c%3A/cars/a.cfgdump',
      'file://host/share/a.cfgdump',
      'vscode-vfs://github/x/a.cfgdump',
      'file:///a',
    ];
    const part = fc.constantFrom(
      '..',
      '.',
      'a',
      '\\',
      '/',
      '//',
      'file:',
      'FILE:',
      'c:',
      'http:',
      'host',
      '%5C',
      '%2F',
      '?',
      '@',
      ':',
      '\0',
      '\ud800',
    );
    const path = fc.array(part, { maxLength: 8 }).map((parts) => parts.join(''));
    fc.assert(
      fc.property(fc.constantFrom(...bases), path, (base, named) => {
        const found = namedUri(base, named);
        if (!found.ok) return;
        const origin = /^[\w-]+:\/\/[^/]*\//.exec(base)?.[0] ?? '';
        assert.ok(found.value.startsWith(origin), found.value);
        // What is left must be no path of another computer to anyone who decodes it.
        assert.doesNotMatch(decodeURIComponent(found.value.slice(origin.length - 1)), /^[\\/]{2}/);
      }),
      { numRuns: 5000 },
    );
  });
});
