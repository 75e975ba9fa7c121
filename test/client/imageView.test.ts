// The read-only view of memory images: what the command line says of them, and their bytes by address.
import assert from 'node:assert/strict';
import { afterEach, describe, it } from 'mocha';
import { IMAGE_PAGE, OPEN_IMAGE, type OpenImageParams } from '../../shared-core/src/protocol/imageView.js';
import { type ClientSession, clientSession, settle, until } from '../support/clientSession.js';
import { openWith } from '../support/fakeEditor.js';
import { elementsOf, HOSTILE, textOf, UNSEEN } from '../support/hostile.js';

const END = ':00000001FF\n';
const SOUND = `:0400000001020304F2\n${END}`;
const WRONG = `:0400000001020304F3\n${END}`;

/** A total whose stored sum is wrong, under a name of a stranger's choice. */
const profile = (name: string) =>
  JSON.stringify({
    format: 1,
    addresses: { from: 0, to: 3 },
    totals: [{ name, address: 3, method: 'add', bits: 8, over: [{ from: 0, to: 2 }] }],
  });

describe('the read-only view of an image', () => {
  let session: ClientSession;
  afterEach(() => session.stop());
  const page = async (files: Readonly<Record<string, string>>): Promise<string> => {
    session = await clientSession(files);
    return (await openWith('countersum.image', 'file:///cars/small.hex'))?.html ?? '';
  };

  it('says that no other sum was checked where no profile explains the image', async () => {
    const html = await page({ 'small.hex': SOUND });
    assert.match(
      textOf(html),
      /small\.hex: no profile explains it, so the sums of its records were checked, and no file sum\.\s*Files checked: 1, no problem found in what was checked/,
    );
    assert.match(html, /<td class="mono">B63CFBCD<\/td>/);
  });

  it('says of what was not checked the same as a check, and "all good" only where all was', async () => {
    const image = `${SOUND}; @profile small.dump-profile.json\n`;
    const noSums = JSON.stringify({ format: 1, addresses: { from: 0, to: 3 } });
    const said = textOf(await page({ 'small.hex': image, 'small.dump-profile.json': noSums }));
    assert.match(said, /its profile describes no file sum, so only the sums of its records were checked/);
    assert.doesNotMatch(said, /all good|every sum/);
    session.stop();
    const right = JSON.parse(profile('sum'));
    const good = image.replace('01020304F2', '01020306F0');
    const all = textOf(await page({ 'small.hex': good, 'small.dump-profile.json': JSON.stringify(right) }));
    assert.match(all, /Files checked: 1, all good/);
  });

  it('lists what is wrong', async () => {
    const said = textOf(await page({ 'small.hex': WRONG }));
    assert.match(said, /1:18.*sum/);
    assert.match(said, /Errors: 1, warnings: 0/);
  });

  it('says why it shows nothing', async () => {
    assert.match(textOf(await page({})), /./);
    assert.doesNotMatch(textOf(await page({})), /checked/);
  });

  it('goes to an address that is asked for', async () => {
    await page({ 'small.hex': SOUND });
    session.editor.panels[0]?.send({ address: '0002' });
    session.editor.panels[0]?.send({ address: 'nowhere' });
    session.editor.panels[0]?.send({ page: 99 });
    await settle();
    const [found, refused, last] = session.editor.in('page message').map((text) => JSON.parse(text));
    assert.equal(found.line, 0);
    assert.equal(refused.said, 'An address is written in hex, such as 1F0.');
    assert.equal(last.said, 'Page 1 of 1');
  });

  it('has its bytes held by the server until it is closed', async () => {
    await page({ 'small.hex': SOUND });
    const params = session.asked.find(({ method }) => method === OPEN_IMAGE)?.params as OpenImageParams;
    const held = () => session.connection.sendRequest(IMAGE_PAGE, { ...params, at: { page: 0 } });
    assert.notEqual(await held(), null);
    session.editor.panels[0]?.close();
    await settle();
    assert.equal(await held(), null);
  });

  const says = (what: RegExp) => until(() => what.test(textOf(session.editor.panels[0]?.html ?? '')));
  const put = (name: string, text: string) =>
    session.editor.files.set(`file:///cars/${name}`, new TextEncoder().encode(text));

  it('is read anew where the server was started anew, and says so where that cannot be', async () => {
    await page({ 'small.hex': SOUND });
    put('small.hex', WRONG);
    session.tellState();
    await says(/Errors: 1, warnings: 0/);
    session.instead.set(OPEN_IMAGE, () => Promise.reject(new Error('it has stopped')));
    session.tellState();
    await says(/The language server did not read the image: it has stopped/);
    session.instead.clear();
    session.tellState();
    await says(/Errors: 1, warnings: 0/);
  });

  it('is read anew where its file, or one that it was checked with, has changed', async () => {
    const image = `${SOUND.replace('01020304F2', '01020306F0')}; @profile small.dump-profile.json\n`;
    await page({ 'small.hex': image, 'small.dump-profile.json': profile('sum') });
    const change = (name: string, text: string) => {
      put(name, text);
      for (const { uri, changed } of [...session.editor.watched]) if (uri === `file:///cars/${name}`) changed();
    };
    change('small.dump-profile.json', '{ "format": 2 }');
    await says(/Errors: [1-9]/);
    change('small.dump-profile.json', profile('sum'));
    await says(/Files checked: 1, all good/);
    change('small.hex', WRONG);
    await says(/Errors: 1, warnings: 0/);
    session.editor.panels[0]?.close();
    assert.deepEqual([...session.editor.watched], []);
  });

  it('is read anew where the server holds it no longer', async () => {
    await page({ 'small.hex': SOUND });
    put('small.hex', WRONG);
    session.instead.set(IMAGE_PAGE, () => null);
    session.editor.panels[0]?.send({ page: 0 });
    await says(/Errors: 1, warnings: 0/);
  });

  for (const text of HOSTILE) {
    it(`shows names as mere text: ${JSON.stringify(text.slice(0, 40))}`, async () => {
      const image = `${SOUND}; @profile small.dump-profile.json\n`;
      const harmless = await page({ 'small.hex': image, 'small.dump-profile.json': profile('Name') });
      assert.ok(textOf(harmless).includes('Name'), textOf(harmless));
      session.stop();
      const html = await page({ 'small.hex': image, 'small.dump-profile.json': profile(text) });
      assert.deepEqual(elementsOf(html), elementsOf(harmless));
      assert.doesNotMatch(html, UNSEEN);
      assert.ok(html.length < harmless.length + 30_000);
    });
  }
});
