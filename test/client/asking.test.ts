// What the server refuses because of a doubt, a person may accept; what can hurt people is said before it is written.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { Accepted, Refusal } from '../../shared-core/src/protocol/common.js';
import { SET_OPTION } from '../../shared-core/src/protocol/options.js';
import { type ClientSession, clientSession } from '../support/clientSession.js';

const NAMES = ['rear-body.cfgdump', 'rear-body.as-found.cfgdump', 'rear-body.dump-profile.json'];
const DUMP = 'rear-body.cfgdump';
const FILES = Object.fromEntries(NAMES.map((name) => [name, readFileSync(`examples/trailer-socket/${name}`, 'utf8')]));

const YES = 'It Is for This Module';
const DESPITE = 'Set It All the Same';
const WRITE = 'Write It';

describe('a change in the editor', () => {
  let session: ClientSession;
  beforeEach(async () => {
    session = await clientSession(FILES);
    await session.open(DUMP);
  });
  afterEach(() => session.stop());

  const setVolume = async (value = '50') => {
    session.editor.person.pick = () => ['Parking tone volume'];
    session.editor.person.write = () => value;
    await session.run('setOption');
  };
  const setSocket = async () => {
    session.editor.person.pick = ({ title }) => [title.startsWith('Which') ? 'Trailer socket' : '7-pin'];
    await session.run('setOption');
  };
  const isSet = () => /^ 6: 7F 05 0A/m.test(session.text(DUMP));
  const modals = () => session.editor.in('modal');

  it('is not written by who presses Enter without reading, where it can hurt people', async () => {
    const rows: (readonly string[])[] = [];
    session.editor.person.modal = (_text, _detail, buttons) => {
      rows.push(buttons);
      return buttons[0];
    };
    const before = session.text(DUMP);
    await setSocket();
    assert.deepEqual(rows, [['Leave As It Is', WRITE]]);
    assert.equal(session.text(DUMP), before);
  });

  it('is written at once where nothing is in doubt and nothing can hurt people', async () => {
    await setVolume();
    assert.ok(isSet());
    assert.deepEqual(modals(), []);
    assert.match(session.editor.in('status bar').join(), /^\$\(check\) Parking tone volume becomes 50 %/);
  });

  it('begins at the present value, which the list marks and the box is filled with, and says what may be written', async () => {
    const active: string[] = [];
    session.editor.person.pick = ({ title, active: at }) => {
      if (title.startsWith('Which')) return ['Trailer socket'];
      active.push(...at.map(({ label }) => label));
      return undefined;
    };
    await session.run('setOption');
    assert.deepEqual(active, ['13-pin']);
    const shown = session.editor.in('list');
    assert.match(shown[shown.lastIndexOf('13-pin') + 2] ?? '', /^now/);
    const offered: string[] = [];
    session.editor.person.pick = () => ['Parking tone volume'];
    session.editor.person.write = (_, value) => void offered.push(value);
    await session.run('setOption');
    assert.match(offered.join(), /^\d+$/);
    assert.match(
      session.editor.in('question').at(-1) ?? '',
      new RegExp(`^Parking tone volume \\(now: ${offered[0]} %\\)$`),
    );
    assert.match(session.editor.in('prompt').at(-1) ?? '', /0.*100/);
  });

  it('that touches what can hurt people is written once the caution was read and accepted', async () => {
    const before = session.text(DUMP);
    await setSocket();
    assert.equal(session.text(DUMP), before);
    const [asked = ''] = session.editor.in('modal detail');
    assert.match(asked, /^Trailer socket: from 13-pin to 7-pin$/m);
    assert.match(asked, /^(\d+) bytes change: Line 4, byte 3: 21 → 11 \(option\); .*\(line sum\).*\(balance\)/m);
    assert.match(asked, /^Trailer socket: ⚠ Affects the lighting/m);
    session.editor.person.modal = (_text, _detail, buttons) => buttons.find((button) => button === WRITE);
    await setSocket();
    assert.match(session.text(DUMP), /^ 4: 08 03 11/m);
    assert.equal(modals().length, 2);
  });

  it('is not written where the dump changes while the caution is read', async () => {
    session.editor.person.modal = (_text, _detail, buttons) => {
      session.type(DUMP, '# typed meanwhile\n');
      return buttons.at(-1);
    };
    await setSocket();
    assert.doesNotMatch(session.text(DUMP), /^ 4: 08 03 11/m);
    assert.match(session.editor.in('warning').join(), /has changed meanwhile/);
  });

  describe('by a profile that may be for another module', () => {
    const why = 'The profile is for "@part" RB-20, and this dump has no "@part".';
    let sentence: string;
    beforeEach(() => {
      sentence = why;
      session.instead.set(SET_OPTION, (params) =>
        (params as Accepted).unconfirmed
          ? undefined
          : ({ refused: sentence, asks: { kind: 'unconfirmed' } } satisfies Refusal),
      );
    });
    const confirm = (answer: string | undefined) => {
      session.editor.person.modal = (_text, _detail, buttons) => buttons.find((button) => button === answer);
    };

    it('is not written where the person does not confirm it, and they are told no more', async () => {
      await setVolume();
      assert.ok(!isSet());
      assert.deepEqual(modals(), [why]);
      assert.deepEqual(session.editor.in('warning'), []);
    });

    it('is written where they do, and is asked about once for the dump', async () => {
      confirm(YES);
      await setVolume();
      assert.ok(isSet());
      await setVolume('60');
      assert.deepEqual(modals(), [why]);
      assert.match(session.text(DUMP), /^ 6: 7F 05 0C/m);
    });

    it('is asked about again where it is another sentence, or the dump was closed meanwhile', async () => {
      confirm(YES);
      await setVolume();
      sentence = why.replace('RB-20', 'RB-30');
      await setVolume('60');
      assert.equal(modals().length, 2);
      session.close(DUMP);
      await session.open(DUMP);
      await setVolume('70');
      assert.equal(modals().length, 3);
    });

    it('may be tried out while it is typed', async () => {
      await setVolume();
      assert.deepEqual(session.editor.in('verdict'), [why]);
    });

    it('does not ask for ever where confirming does not help', async () => {
      confirm(YES);
      session.instead.set(SET_OPTION, () => ({ refused: why, asks: { kind: 'unconfirmed' } }));
      await setVolume();
      assert.equal(modals().length, 1);
      assert.deepEqual(session.editor.in('warning'), [why]);
      assert.ok(!isSet());
    });
  });

  describe('that leaves conditions unmet', () => {
    const needs = (option: string): Refusal => ({
      refused: `This needs "${option}".`,
      asks: { kind: 'despite', options: [option] },
    });
    const accepted = () =>
      session.asked
        .filter(({ method }) => method === SET_OPTION)
        .map(({ params }) => (params as Accepted).despite ?? []);

    it('is written once each of them is accepted, and all that was accepted goes along', async () => {
      session.editor.person.modal = (_text, _detail, buttons) => buttons.find((button) => button === DESPITE);
      session.instead.set(SET_OPTION, (params) => {
        const { despite = [] } = params as Accepted;
        return ['one', 'two'].filter((option) => !despite.includes(option)).map(needs)[0];
      });
      await setVolume();
      assert.ok(isSet());
      assert.deepEqual(modals(), ['This needs "one".', 'This needs "two".']);
      assert.deepEqual(accepted().slice(-3), [[], ['one'], ['one', 'two']]);
    });

    it('is not written where one is not accepted', async () => {
      session.instead.set(SET_OPTION, () => needs('one'));
      await setVolume();
      assert.ok(!isSet());
      assert.deepEqual(accepted().at(-1), []);
    });

    it('does not ask for ever', async () => {
      session.editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
      session.instead.set(SET_OPTION, () => needs('one'));
      await setVolume();
      assert.equal(modals().length, 1);
      assert.deepEqual(session.editor.in('warning'), ['This needs "one".']);
    });
  });

  it('that is refused for good is not asked about', async () => {
    session.instead.set(SET_OPTION, () => ({ refused: 'It is locked.' }));
    session.editor.person.write = () => '50';
    await setSocket();
    assert.deepEqual(modals(), []);
    assert.deepEqual(session.editor.in('warning'), ['It is locked.']);
  });
});
