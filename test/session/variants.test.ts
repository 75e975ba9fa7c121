// A profile that extends another, in the editor: everything leads to the file in which it is.
import assert from 'node:assert/strict';
import { afterEach, beforeEach, describe, it } from 'mocha';
import type { CompletionItem, DocumentLink, Location, Position, WorkspaceEdit } from 'vscode-languageserver-protocol';
import { OPEN_IMAGE, type OpenImageResult } from '../../shared-core/src/protocol/imageView.js';
import { ADD_OPTION, CHANGE_PROFILE } from '../../shared-core/src/protocol/learning.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';

const BASE = 'file:///lib/base.dump-profile.json';
const OWN = 'file:///car/own.dump-profile.json';
const OTHER = 'file:///car/other.dump-profile.json';
const DUMP = 'file:///car/a.cfgdump';
const JOB = 'file:///car/job.retrofit.json';

const BASE_TEXT = `{
  "format": 1,
  "lines": { "from": 1, "to": 2, "data": 4, "sum": 0 },
  "options": [
    { "id": "fog", "title": "Fog", "line": 1, "byte": 1, "values": { "0": "no", "1": "yes" } },
    { "id": "horn", "title": "Horn", "line": 1, "byte": 2, "values": { "0": "no", "1": "yes" } }
  ],
  "locked": [{ "line": 2, "byte": 1, "why": "identity" }, { "line": 2, "byte": 2, "why": "keys" }],
  "totals": [{ "name": "file sum", "method": "add", "bits": 8, "over": ["data"], "line": 2, "byte": 4 }]
}
`;
const OWN_TEXT = `{
  "format": 1,
  "extends": "../lib/base.dump-profile.json",
  "options": [
    { "id": "fog", "title": "Fog lamps" },
    { "id": "seat", "line": 1, "byte": 3, "values": { "0": "no" }, "needs": [{ "option": "horn", "in": [1] }] }
  ],
  "locked": [{ "line": 2, "byte": 2, "why": "PIN" }]
}
`;
const OTHER_TEXT =
  '{ "format": 1, "extends": ["../lib/base.dump-profile.json"], "options": [{ "id": "fog", "entry": null }] }\n';
const DUMP_TEXT = '@profile own.dump-profile.json\n1: 00 01 00 00\n2: 00 00 00 01\n';
const JOB_TEXT =
  '{ "format": 1, "changes": [{ "profile": "own.dump-profile.json", "set": { "fog": "yes", "horn": "yes" } }] }\n';

const FILES = { [BASE]: BASE_TEXT, [OWN]: OWN_TEXT, [OTHER]: OTHER_TEXT, [DUMP]: DUMP_TEXT, [JOB]: JOB_TEXT };

/** The position of the first character of a part of a text. */
function placeOf(text: string, part: string): Position {
  const before = text.slice(0, text.indexOf(part)).split('\n');
  return { line: before.length - 1, character: before.at(-1)?.length ?? 0 };
}

describe('a profile that extends another, in the editor', () => {
  let session: ServerSession;
  beforeEach(async () => {
    session = await serverSession();
    for (const [uri, text] of Object.entries(FILES)) session.files.set(uri, text);
  });
  afterEach(() => session.close());

  const open = (uri: keyof typeof FILES) => session.open(uri, FILES[uri] ?? '');
  const ask = <T>(method: string, uri: string, position: Position, more: object = {}) =>
    session.connection.sendRequest<T>(`textDocument/${method}`, { textDocument: { uri }, position, ...more });
  const said = ({ uri, range: { start } }: Location) => `${uri.split('/').at(-1)}:${start.line}`;
  const DEFINED = (uri: string, position: Position) =>
    ask<Location[]>('definition', uri, position).then((all) => all.map(said));

  it('definitions lead from "extends" to the file, and from a dump or a retrofit to where the option is', async () => {
    for (const [uri, text] of Object.entries(FILES)) await session.open(uri, text);
    assert.deepEqual(await DEFINED(OWN, placeOf(OWN_TEXT, 'lib/base')), ['base.dump-profile.json:0']);
    assert.deepEqual(await DEFINED(DUMP, { line: 1, character: 6 }), ['base.dump-profile.json:5']);
    assert.deepEqual(await DEFINED(DUMP, { line: 1, character: 3 }), [
      'own.dump-profile.json:4',
      'base.dump-profile.json:4',
    ]);
    assert.deepEqual(await DEFINED(JOB, placeOf(JOB_TEXT, 'horn')), ['base.dump-profile.json:5']);
    assert.deepEqual(await DEFINED(OWN, placeOf(OWN_TEXT, 'horn')), ['base.dump-profile.json:5']);
    assert.deepEqual(await DEFINED(OTHER, placeOf(OTHER_TEXT, 'fog')), ['base.dump-profile.json:4']);
  });

  it('definitions lead from a locked byte to each file that mentions it', async () => {
    await open(DUMP);
    assert.deepEqual(await DEFINED(DUMP, { line: 2, character: 3 }), ['base.dump-profile.json:7']);
    assert.deepEqual(await DEFINED(DUMP, { line: 2, character: 6 }), [
      'own.dump-profile.json:7',
      'base.dump-profile.json:7',
    ]);
  });

  it('definitions lead from a value in a retrofit to where a profile says what it is', async () => {
    const value = (text: string) => ({
      ...placeOf(JOB_TEXT, text),
      character: placeOf(JOB_TEXT, text).character + text.length - 2,
    });
    assert.deepEqual(await DEFINED(JOB, value('"fog": "yes')), ['base.dump-profile.json:4']);
    session.files.set(OWN, OWN_TEXT.replace('"Fog lamps"', '"Fog lamps", "values": { "1": "yes" }'));
    assert.deepEqual(await DEFINED(JOB, value('"fog": "yes')), ['own.dump-profile.json:4', 'base.dump-profile.json:4']);
    session.files.set(JOB, JOB_TEXT.replace('"fog": "yes"', '"fog": "0x1"'));
    assert.deepEqual(await DEFINED(JOB, value('"fog": "yes')), ['own.dump-profile.json:4', 'base.dump-profile.json:4']);
  });

  it('references of an option are found from each of the files', async () => {
    const wanted = ['a.cfgdump:1', 'base.dump-profile.json:5', 'job.retrofit.json:0', 'own.dump-profile.json:5'];
    for (const [uri, text] of [
      [BASE, BASE_TEXT],
      [OWN, OWN_TEXT],
      [JOB, JOB_TEXT],
    ] as const) {
      const found = await ask<Location[]>('references', uri, placeOf(text, 'horn'), {
        context: { includeDeclaration: true },
      });
      assert.deepEqual(found.map(said).sort(), wanted, uri);
    }
  });

  it('renaming an option changes it in all profiles that share it, and in what sets it', async () => {
    for (const [uri, text] of [
      [BASE, BASE_TEXT],
      [OWN, OWN_TEXT],
      [OTHER, OTHER_TEXT],
      [JOB, JOB_TEXT],
    ] as const) {
      const { documentChanges = [] } = await ask<WorkspaceEdit>('rename', uri, placeOf(text, 'fog'), {
        newName: 'mist',
      });
      const changed = documentChanges.map((change) => ('textDocument' in change ? change.textDocument.uri : ''));
      assert.deepEqual(changed.sort(), [BASE, JOB, OTHER, OWN].sort());
    }
    await assert.rejects(
      ask('rename', BASE, placeOf(BASE_TEXT, 'fog'), { newName: 'seat' }),
      /has an option "seat" already/,
    );
    await assert.rejects(
      ask('rename', OWN, placeOf(OWN_TEXT, 'seat'), { newName: 'horn' }),
      /has an option "horn" already/,
    );
  });

  it('the other may have any name', async () => {
    const ANY = 'file:///lib/any.json';
    session.files.set(ANY, BASE_TEXT);
    session.files.set(OWN, OWN_TEXT.replace('base.dump-profile.json', 'any.json'));
    assert.deepEqual(await DEFINED(DUMP, { line: 1, character: 6 }), ['any.json:5']);
    const context = { includeDeclaration: true };
    const found = await ask<Location[]>('references', OWN, placeOf(OWN_TEXT, 'fog'), { context });
    assert.deepEqual(found.map(said).sort(), [
      'a.cfgdump:1',
      'any.json:4',
      'job.retrofit.json:0',
      'own.dump-profile.json:4',
    ]);
  });

  it('a hover says from which file a thing is', async () => {
    await open(DUMP);
    const words = async (line: number, character: number) =>
      JSON.stringify((await session.hover(DUMP, line, character))?.contents).replaceAll('\\', '');
    assert.match(await words(1, 6), /From base.dump-profile.json\./);
    assert.match(await words(1, 3), /From base.dump-profile.json, changed in own.dump-profile.json\./);
    assert.doesNotMatch(await words(1, 9), /From /);
    assert.match(await words(2, 12), /file sum.*From base.dump-profile.json\./);
    assert.match(await words(2, 3), /identity.*From base.dump-profile.json\./);
    assert.match(await words(2, 6), /PIN.*From base.dump-profile.json, changed in own.dump-profile.json\./);
  });

  it('the paths of profiles are offered, and lead to their files', async () => {
    await open(OWN);
    const items = await ask<CompletionItem[]>('completion', OWN, placeOf(OWN_TEXT, '../lib'));
    assert.deepEqual(items.map(({ label }) => label).sort(), [
      '../lib/base.dump-profile.json',
      'other.dump-profile.json',
    ]);
    const links = await session.connection.sendRequest<DocumentLink[]>('textDocument/documentLink', {
      textDocument: { uri: OWN },
    });
    assert.deepEqual(
      links.map(({ target }) => target),
      [BASE],
    );
  });

  it('options of the other are offered in conditions', async () => {
    await open(OWN);
    const items = await ask<CompletionItem[]>('completion', OWN, placeOf(OWN_TEXT, 'horn'));
    assert.deepEqual(
      items.map(({ label }) => label),
      ['fog', 'horn'],
    );
  });

  it('a file that is renamed is named anew by those that extend it', async () => {
    const edit = await session.connection.sendRequest<WorkspaceEdit>('workspace/willRenameFiles', {
      files: [{ oldUri: BASE, newUri: 'file:///lib/rear.dump-profile.json' }],
    });
    assert.match(JSON.stringify(edit), /own\.dump-profile\.json.*"\.\.\/lib\/rear\.dump-profile\.json"/);
  });

  it('a read-only view is opened anew when the other changes, or comes', async () => {
    const HEX = 'file:///car/a.hex';
    session.files.set(HEX, ';@profile image.dump-profile.json\n:0100000001FE\n:00000001FF\n');
    session.files.set('file:///car/image.dump-profile.json', '{ "format": 1, "extends": "base.dump-profile.json" }');
    const { checkedWith } = await session.connection.sendRequest<OpenImageResult>(OPEN_IMAGE, {
      ...{ uri: HEX, view: 1, linesOnPage: 10 },
    });
    assert.deepEqual(checkedWith, ['file:///car/image.dump-profile.json', 'file:///car/base.dump-profile.json']);
  });

  it('a fix takes an option of the other out in this profile alone', async () => {
    await open(OWN);
    const { line, character } = placeOf(OWN_TEXT, 'fog');
    const [fix, ...others] = await session.actions(OWN, line, character, ['quickfix']);
    assert.deepEqual([fix?.title, others], ['Remove "Fog lamps" from This Profile', []]);
    assert.match(session.after(OWN, fix), /"id": "fog",\s+"entry": null/);
  });

  it('the commands that write into a profile know what the other says', async () => {
    const send = (method: string, params: object) => session.connection.sendRequest<object>(method, params);
    const profile = OWN_TEXT;
    const wish = { kind: 'widen', id: 'horn', bits: '1-0', values: {} };
    assert.match(
      JSON.stringify(await send(CHANGE_PROFILE, { profile, uri: OWN, wish })),
      /refused.*base\.dump-profile\.json/,
    );
    const option = { id: 'horn', title: 'Horn', line: 2, byte: 3, values: {}, confidence: 'guess', evidence: 'e' };
    assert.match(
      JSON.stringify(await send(ADD_OPTION, { profile, uri: OWN, option })),
      /refused.*base\.dump-profile\.json/,
    );
    const added = await send(ADD_OPTION, { profile, uri: OWN, option: { ...option, id: 'mirror' } });
    assert.ok('edits' in added, JSON.stringify(added));
  });

  it('a problem in the other is told at "extends", with its place there', async () => {
    session.files.set(BASE, BASE_TEXT.replace('"locked"', '"lockd"'));
    await open(OWN);
    const [problem, ...others] = await session.diagnostics(OWN);
    assert.deepEqual(others, []);
    assert.match(String(problem?.message), /^base\.dump-profile\.json, line 8: Unknown key "lockd"/);
    assert.deepEqual(problem?.range.start, placeOf(OWN_TEXT, '"../lib'));
    assert.deepEqual(
      problem?.relatedInformation?.map(({ location }) => said(location)),
      ['base.dump-profile.json:7'],
    );
  });

  it('a dump is checked again when the other changes, and shows the last good version meanwhile', async () => {
    await open(DUMP);
    await open(BASE);
    const codes = async () => (await session.diagnostics(DUMP)).map(({ code }) => code);
    assert.deepEqual(await codes(), []);
    await session.replace(BASE, BASE_TEXT.replace('"data": 4', '"data": 3'));
    assert.ok((await codes()).length > 0);
    await session.replace(BASE, BASE_TEXT);
    assert.deepEqual(await codes(), []);
    await session.replace(BASE, BASE_TEXT.slice(0, 80));
    assert.deepEqual(await codes(), ['profile-stale']);
    assert.match(
      String((await session.hover(DUMP, 1, 6))?.contents && JSON.stringify(await session.hover(DUMP, 1, 6))),
      /Horn/,
    );
  });
});
