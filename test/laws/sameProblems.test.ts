import assert from 'node:assert/strict';
import fc from 'fast-check';
import { after, before, describe, it } from 'mocha';
import { nextSnapshot, openSnapshot } from '../../server/src/documents.js';
import { problemsOfFile } from '../../server/src/features/diagnostics.js';
import { createSession } from '../../server/src/session.js';
import { toDiagnostic } from '../../server/src/toLsp.js';
import { say } from '../../shared-core/src/base/index.js';
import { checkDump, shownProblems, summaryOf, verdictOf } from '../../shared-core/src/checks/index.js';
import type { Notation } from '../../shared-core/src/format/index.js';
import { intelHex } from '../../shared-core/src/format/intelHex.js';
import { sRecord } from '../../shared-core/src/format/sRecord.js';
import { OPEN_IMAGE, type OpenImageResult } from '../../shared-core/src/protocol/imageView.js';
import { createWorkspace } from '../../shared-core/src/workspace/index.js';
import { demoFile } from '../support/demo.js';
import { imageText } from '../support/images.js';
import { type MemoryFile, memoryHost } from '../support/memoryHost.js';
import { type ServerSession, serverSession } from '../support/serverSession.js';
import { times } from '../support/times.js';

const FOLDER = 'file:///cars/2041';

/** A file and the others around it, by their names. */
interface Around {
  readonly name: string;
  readonly files: Readonly<Record<string, MemoryFile>>;
}

const client = {
  processId: null,
  rootUri: FOLDER,
  workspaceFolders: null,
  capabilities: {},
};

/** A text with a stretch of it put in place of another, as typing does it. */
const retyped = (text: string): fc.Arbitrary<string> =>
  fc
    .tuple(fc.nat(text.length), fc.nat(3), fc.constantFrom('', '', '0', 'F', ' ', '\n', '"', 'x', ';', '@'))
    .map(([at, gone, put]) => text.slice(0, at) + put + text.slice(at + gone));

const sometimes = (text: string): fc.Arbitrary<MemoryFile> =>
  fc.oneof(
    { weight: 4, arbitrary: fc.constant<MemoryFile>(text) },
    { weight: 4, arbitrary: retyped(text) },
    { weight: 1, arbitrary: fc.constantFrom<MemoryFile>({ fails: 'EACCES' }, { special: 'pipe' }) },
  );

const demo: fc.Arbitrary<Around> = fc
  .record<Record<string, MemoryFile>>({
    'rear-body.cfgdump': fc.oneof(fc.constant(demoFile('rear-body.cfgdump')), retyped(demoFile('rear-body.cfgdump'))),
    'rear-body.as-found.cfgdump': sometimes(demoFile('rear-body.as-found.cfgdump')),
    'rear-body.dump-profile.json': sometimes(demoFile('rear-body.dump-profile.json')),
    // Without its backup's headers the cluster is one that is in work.
    'cluster.cfgdump': sometimes(demoFile('cluster.cfgdump').replace('0210 3800 | 60', '1210 3800 | 50')),
    'cluster.dump-profile.json': sometimes(demoFile('cluster.dump-profile.json')),
  })
  .chain((files) => fc.constantFrom('rear-body.cfgdump', 'cluster.cfgdump').map((name) => ({ name, files })))
  .filter(({ name, files }) => typeof files[name] === 'string');

const address = fc.nat(0x30);
const imageProfile = fc
  .record({
    addresses: fc.tuple(address, address).map(([a, b]) => ({ from: Math.min(a, b), to: Math.max(a, b) })),
    locked: fc.array(fc.record({ address, bytes: fc.integer({ min: 1, max: 4 }) }), { maxLength: 2 }),
    options: fc
      .array(address, { maxLength: 2 })
      .map((all) =>
        all.map((at, i) => ({ id: `o${i}`, title: `O${i}`, address: at, values: { 0: 'no', 255: 'yes' } })),
      ),
    totals: fc.array(
      fc.record({
        method: fc.constant('add'),
        bits: fc.constantFrom(8, 16),
        address,
        over: fc.tuple(address, address).map(([a, b]) => [{ from: Math.min(a, b), to: Math.max(a, b) }]),
      }),
      { maxLength: 2 },
    ),
  })
  .map((parts) => JSON.stringify({ format: 1, ...parts }));

const image = (notation: Notation, ending: string): fc.Arbitrary<Around> =>
  fc
    .record({
      text: imageText(notation),
      headers: fc.subarray([
        '; @profile p.dump-profile.json',
        `; @backup old.${ending}`,
        '; @profile q.dump-profile.json',
        '; @backup //host/b.hex',
        `; @backup a.${ending}`,
      ]),
      first: fc.boolean(),
      profile: imageProfile.chain(sometimes),
      backup: imageText(notation).chain(sometimes),
    })
    .map(({ text, headers, first, profile, backup }) => ({
      name: `a.${ending}`,
      files: {
        [`a.${ending}`]: (first ? [...headers, text] : [text, ...headers]).join('\n'),
        'p.dump-profile.json': profile,
        [`old.${ending}`]: backup,
      },
    }));

const around = fc.oneof(demo, image(intelHex, 'hex'), image(sRecord, 's19'));

async function allWays({ name, files }: Around, server: ServerSession): Promise<void> {
  const uri = `${FOLDER}/${name}`;
  const host = () => memoryHost(new Map(Object.entries(files).map(([one, file]) => [`${FOLDER}/${one}`, file])));
  const session = createSession(client, host(), {});
  const atHand = async () => ({ dumps: [], unlisted: [] });

  const whole = await createWorkspace(host(), { atHand }).load(uri);
  assert.ok(whole.ok);
  const expected = checkDump(whole.value).map((problem) => toDiagnostic(session, uri, problem));

  // The command line.
  const needed = await createWorkspace(host(), { atHand }).open(uri, { rows: 'needed' }, ({ load }) => load());
  assert.ok(needed.ok);
  assert.deepEqual(
    checkDump(needed.value).map((problem) => toDiagnostic(session, uri, problem)),
    expected,
    'passed over',
  );

  // The read-only view.
  server.files.clear();
  for (const [one, file] of Object.entries(files)) server.files.set(`${FOLDER}/${one}`, file);
  const params = { uri, view: 1, linesOnPage: 1 };
  const view = await server.connection.sendRequest<OpenImageResult | { refused: string }>(OPEN_IMAGE, params);
  if ('refused' in view) assert.match(name, /cfgdump$/, view.refused);
  else {
    const problems = checkDump(needed.value);
    const shown = shownProblems(problems, 200);
    assert.deepEqual(
      view.problems,
      shown.map(({ row, start, message }) => ({ row, character: start, message: say(message) })),
      'viewed',
    );
    const summary = summaryOf([{ name, verdict: verdictOf(needed.value, problems) }]);
    assert.deepEqual(
      view.summary,
      summary.map((one) => say(one)),
    );
  }

  // The list of problems: of a closed file, of an open one, and of one that was just typed.
  assert.deepEqual((await problemsOfFile(session, uri))?.items, expected, 'closed');
  const text = String(files[name]);
  const open = openSnapshot(uri, 'cfgdump', 1, text);
  assert.ok(open);
  session.documents.set(uri, open);
  assert.deepEqual((await problemsOfFile(session, uri))?.items, expected, 'open');
  const before = openSnapshot(uri, 'cfgdump', 1, `x${text}`);
  assert.ok(before);
  session.documents.set(uri, before);
  await problemsOfFile(session, uri);
  const bound = session.documents.get(uri);
  assert.ok(bound);
  const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 1 } };
  session.documents.set(uri, nextSnapshot(bound, 2, [{ range, text: '' }]));
  assert.deepEqual((await problemsOfFile(session, uri))?.items, expected, 'typed');
}

describe('the same problems', () => {
  let server: ServerSession;
  before(async () => {
    server = await serverSession();
  });
  after(() => server.close());

  it('are found by command line, list of problems and read-only view', async () => {
    const property = fc.asyncProperty(around, (files) => allWays(files, server));
    await fc.assert(property, times(100));
  });

  it('name the address of a wrong record in a backup, wherever it lies', async () => {
    const profile = JSON.stringify({ format: 1, addresses: { from: 0, to: 0 } });
    const at = (backup: string, text: string, ending: string): Around => ({
      name: `a.${ending}`,
      files: {
        [`a.${ending}`]: `; @backup old.${ending}\n; @profile p.dump-profile.json\n${text}`,
        'p.dump-profile.json': profile,
        [`old.${ending}`]: backup,
      },
    });
    await allWays(at('S20D00FFF80AB0A576023E44E62C10\nS9030000FC\n', 'S103FFF805\nS9030000FC\n', 's19'), server);
    await allWays(at(':020000020100FB\n:01FFF8000000\n:00000001FF\n', ':0100000000FF\n:00000001FF\n', 'hex'), server);
  });
});
