import assert from 'node:assert/strict';
import { describe, it } from 'mocha';
import { oneLine, phrase, plain, readable, say } from '../../../shared-core/src/base/index.js';
import { boldName, marked } from '../../../shared-core/src/base/markdown.js';
import { elementsOf, HOSTILE, rendered, textOf, UNSEEN } from '../../support/hostile.js';

/** What is to be seen of a text: on one line, readable. A card must say all that it is told to. */
const seen = (text: string) => oneLine(text, text.length).trim();

describe('a text of somebody else', () => {
  for (const text of HOSTILE) {
    it(`is shown by Markdown as just that text: ${JSON.stringify(text.slice(0, 30))}`, () => {
      for (const [markdown, elements] of [
        [plain(text), ['p']],
        [`**Name** ${plain(text)}`, ['p', 'strong']],
        [`- ${plain(text)}\n- ${plain(text)}`, ['li', 'ul']],
        [`Head\n${plain(text)}`, ['p']],
        [`| a |\n| --- |\n| ${plain(text)} |`, ['table', 'tbody', 'td', 'th', 'thead', 'tr']],
      ] as const) {
        const html = rendered(markdown);
        assert.deepEqual(elementsOf(html), elements, html);
        assert.ok(textOf(html).includes(seen(text)), html);
      }
    });

    it(`stays on its line in a sentence, and nothing in it is unseen: ${JSON.stringify(text.slice(0, 30))}`, () => {
      const said = say(phrase('The option "{0}".', text));
      assert.doesNotMatch(said, UNSEEN);
      assert.ok(!said.includes('\n'));
      assert.ok(said.length < 4100);
    });
  }

  it('has what cannot be seen written by its number', () => {
    assert.equal(oneLine('a\u202Eb\u001B[2J\u{E0041}'), 'a\\u202Eb\\u001B[2J\\u{E0041}');
    assert.equal(oneLine('one\r\n\ttwo\u2028three'), 'one two three');
    assert.equal(readable('one\ntwo\u0007'), 'one\ntwo\\u0007');
  });

  it('keeps letters of every script, with the joiners they need', () => {
    for (const text of ['Größe · 13-polig', 'می‌خواهم', '👩‍🔧', 'Δ Ω Ж 漢']) assert.equal(oneLine(text), text);
  });

  it('is cut between characters, never inside one', () => {
    const cut = oneLine('🔧'.repeat(20), 10);
    assert.equal(cut, `${'🔧'.repeat(4)}…`);
    assert.equal(oneLine('x'.repeat(4000)).length, 4000);
    assert.equal(oneLine('x'.repeat(4001)).length, 4000);
  });
});

describe('what a person works from, in Markdown', () => {
  it('has names that stay on one line unless they are very long, whatever is in them', () => {
    assert.equal(boldName('17'), '**17**');
    for (const name of ['B-06', 'total 2', ...HOSTILE]) {
      const html = rendered(`| a |\n| --- |\n| ${boldName(name)} |`);
      assert.equal(/<nobr><strong>/.test(html), /\W/.test(name) && name.length <= 40, html);
      assert.ok(elementsOf(html).includes('strong'));
      assert.ok(textOf(html).includes(seen(name)), html);
    }
  });

  it('has a sign and no dot before each item, each on a line of its own', () => {
    assert.equal(rendered(marked('☐', ['one', plain('two')])).trim(), '<p>☐ one<br>\n☐ two</p>');
  });
});
