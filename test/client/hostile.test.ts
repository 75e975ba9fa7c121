// Whatever a profile, a retrofit or a header calls things, every part of the editor shows it as mere text.
import assert from 'node:assert/strict';
import { readdirSync, readFileSync } from 'node:fs';
import { describe, it } from 'mocha';
import { type ClientSession, clientSession, until } from '../support/clientSession.js';
import type { Shown } from '../support/fakeEditor.js';
import { elementsOf, HOSTILE, rendered, UNSEEN } from '../support/hostile.js';
import { hostileDump, hostileProfile, hostileRetrofit } from '../support/hostileProfile.js';

const DUMP = 'rear-body.cfgdump';

function filesWith(text: string): Record<string, string> {
  const files = readdirSync('examples/trailer-socket').map((name) => {
    const content = name.endsWith('.cfgdump')
      ? hostileDump(text, name)
      : readFileSync(`examples/trailer-socket/${name}`, 'utf8');
    return [name, content] as const;
  });
  return {
    ...Object.fromEntries(files),
    'rear-body.dump-profile.json': hostileProfile(text),
    'trailer-socket.retrofit.json': hostileRetrofit(text),
  };
}

/** Runs everything that shows texts of a profile, and gives all that was shown. */
async function everything(text: string): Promise<readonly Shown[]> {
  const session = await clientSession(filesWith(text));
  const { editor } = session;
  try {
    editor.person.pick = ({ title }) => {
      if (title.startsWith('Compare which')) return [0, 1, 2, 3];
      if (title.startsWith('Compare')) return ['Three ways…'];
      return /read back/.test(title) ? ['rear-body.read-back.cfgdump'] : [0];
    };
    editor.person.modal = (_text, _detail, buttons) => buttons.at(-1);
    await session.open(DUMP, 11, 10);
    await session.run('showByteOverview');
    editor.panels[0]?.send({ says: 'byte', row: 11, byte: 2 });
    await session.run('compareWithBackup');
    const views = ['countersum.options', 'countersum.changes', 'countersum.job'];
    await until(() => views.every((id) => shownIn(session, id).length > 0));
    const listed = views.flatMap((id) => shownIn(session, id));
    await session.run('nextChange');
    await session.run('compareWith');
    await session.run('verifyReadBack');
    await session.run('vehicleRecord');
    await session.run('compareMany');
    await session.run('showProfiles');
    await session.run('planRetrofit');
    await session.run('jobCard');
    await session.run('setOption');
    editor.person.pick = () => [4];
    editor.person.write = () => '130';
    await session.run('setOption');
    await session.run('restoreFromBackup');
    await session.run('correctChecksums');
    return [
      ...editor.shown,
      ...listed,
      ...editor.statuses.flatMap(({ text: said }) => ({ where: 'status', text: String(said) })),
    ];
  } finally {
    session.stop();
  }
}

/** All entries of a view, with all that they say. */
function shownIn({ editor }: ClientSession, id: string): readonly Shown[] {
  const provider = editor.trees.get(id)?.provider;
  const below = (node?: unknown): readonly Shown[] =>
    (provider?.getChildren(node) ?? []).flatMap((child) => {
      const item = provider?.getTreeItem(child);
      const { label, description, tooltip, accessibilityInformation } = item ?? {};
      const isMarkdown = typeof tooltip === 'object' && tooltip !== null && 'value' in tooltip;
      return [
        { where: id, text: label ?? '' },
        { where: id, text: description ?? '' },
        { where: isMarkdown ? 'tooltip' : id, text: String(isMarkdown ? tooltip.value : (tooltip ?? '')) },
        { where: id, text: accessibilityInformation?.label ?? '' },
        ...below(child),
      ];
    });
  return below();
}

/** How many there are of each element. */
function counted(html: string): Record<string, number> {
  const body = html.replace(/<(style|script)\b[^>]*>[\s\S]*?<\/\1>/g, '<$1></$1>');
  return Object.fromEntries(elementsOf(body).map((name) => [name, body.split(`<${name}`).length - 1]));
}

const structure = (shown: readonly Shown[], where: string) =>
  shown
    .filter((one) => one.where === where)
    .map(({ text }) => counted(where === 'page' ? text : rendered(text)))
    .map((one) => JSON.stringify(one));

describe('texts of a stranger in the editor', () => {
  let harmless: readonly Shown[];
  it('(to compare with: the same with a harmless text)', async () => {
    harmless = await everything('Name');
    const parts = new Set(harmless.map(({ where }) => where));
    for (const part of [
      'list',
      'list title',
      'modal',
      'modal detail',
      'page',
      'page title',
      'page message',
      'markdown',
    ])
      assert.ok(parts.has(part), part);
    for (const part of [
      'tooltip',
      'status',
      'status bar',
      'warning',
      'countersum.options',
      'countersum.changes',
      'countersum.job',
    ])
      assert.ok(parts.has(part), part);
    for (const where of ['list', 'modal detail', 'page', 'markdown', 'tooltip', 'status', 'status bar'])
      assert.ok(
        harmless.some((one) => one.where === where && one.text.includes('Name')),
        where,
      );
  });

  for (const text of HOSTILE) {
    it(JSON.stringify(text.slice(0, 50)), async () => {
      const shown = await everything(text);
      for (const where of ['page', 'markdown', 'tooltip'])
        assert.deepEqual(structure(shown, where), structure(harmless, where), where);
      for (const { where, text: said } of shown) {
        assert.doesNotMatch(said, UNSEEN, where);
        if (['page', 'page message', 'markdown', 'tooltip'].includes(where)) continue;
        assert.doesNotMatch(said.replace(/^\$\(check\) /, ''), /\$\(|\]\(/, where);
        assert.ok(where === 'modal detail' || !said.includes('\n'), `${where}: ${said}`);
        assert.ok(said.length < 3100, `${where}: ${said.length} characters`);
      }
      for (const { text: html } of shown.filter(({ where }) => where === 'page'))
        for (const [tag] of html.matchAll(/<[a-z][^>]*>/g)) assert.doesNotMatch(tag, /\son\w+\s*=/);
    });
  }
});
