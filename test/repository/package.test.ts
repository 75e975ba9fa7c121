import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { copyFileSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { inflateSync } from 'node:zlib';
import { describe, it } from 'mocha';
import { shortFor, type Translation } from '../../shared-core/src/base/phrase.js';

/** What a function of one of the project's scripts gives, or the message of what it throws. */
function called(script: string, name: string, ...args: readonly unknown[]): unknown {
  const code = `import { ${name} } from './scripts/${script}.mjs';
    const answer = (() => { try { return { value: ${name}(...${JSON.stringify(args)}) }; } catch (e) { return { error: e.message }; } })();
    process.stdout.write(JSON.stringify(answer.value instanceof Uint8Array ? { value: answer.value.toString('base64') } : answer));`;
  const { stdout, stderr } = spawnSync(process.execPath, ['--input-type=module', '-e', code], { encoding: 'utf8' });
  assert.equal(stderr, '');
  const { value, error } = JSON.parse(stdout);
  return value ?? error;
}

describe('what is given away', () => {
  it('the notices name each package that is in a bundle, with its licence', () => {
    const packages: readonly { name: string; version: string }[] = JSON.parse(
      readFileSync('dist/bundled.json', 'utf8'),
    );
    const notices = readFileSync('dist/NOTICES.txt', 'utf8');
    const shipped = ['client.js', 'server.code.js', 'cli.code.js'].map((file) => readFileSync(`dist/${file}`, 'utf8'));
    assert.ok(packages.length > 0 && shipped.every((code) => code.length > 0));
    for (const { name, version } of packages) assert.ok(notices.includes(`\n${name} ${version} (`), name);
    // Each licence asks that its text is kept; these two stand in a sentence that only they have.
    for (const words of ['Permission is hereby granted, free of charge', 'Blue Oak Model License'])
      assert.ok(notices.includes(words), words);
  });

  it('the command line runs without what was compiled when it was built, also when it is started again', () => {
    const folder = mkdtempSync(join(tmpdir(), 'countersum-'));
    try {
      for (const file of ['cli.js', 'cli.code.js']) copyFileSync(join('dist', file), join(folder, file));
      const { version } = JSON.parse(readFileSync('package.json', 'utf8'));
      for (let start = 0; start < 2; start++) {
        const { stdout, stderr } = spawnSync(process.execPath, [join(folder, 'cli.js'), '--version'], {
          encoding: 'utf8',
        });
        assert.deepEqual([stdout.includes(version), stderr], [true, '']);
      }
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it('the extension has the sentences of the editor and of its server, and none that only the command line says', () => {
    const folder = mkdtempSync(join(tmpdir(), 'countersum-'));
    try {
      mkdirSync(join(folder, 'dist/l10n'), { recursive: true });
      called('translate', 'keepSentencesOf', ['client.js', 'server.code.js'], folder);
      const kept: Translation = JSON.parse(readFileSync(join(folder, 'dist/l10n/bundle.l10n.de.json'), 'utf8'));
      const all: Translation = JSON.parse(readFileSync('l10n/bundle.l10n.de.json', 'utf8'));
      const textOf = (folders: readonly string[]) =>
        folders
          .flatMap((at) => readdirSync(at, { recursive: true, encoding: 'utf8' }).map((name) => join(at, name)))
          .filter((file) => file.endsWith('.ts'))
          .map((file) => readFileSync(file, 'utf8'))
          .join('\n');
      const [editor, others, command] = [
        textOf(['client/src', 'server/src/features']),
        textOf(['shared-core/src']),
        textOf(['server/src/cli']),
      ];
      const isKept = (sentence: string) => (kept[sentence] ?? kept[shortFor(sentence)]) === all[sentence];
      const said = Object.keys(all).filter((sentence) => editor.includes(`'${sentence}'`));
      assert.ok(said.length > 300);
      assert.deepEqual(
        said.filter((sentence) => !isKept(sentence)),
        [],
      );
      const only = Object.keys(all).filter(
        (sentence) => [editor, others].every((text) => !text.includes(sentence)) && command.includes(`'${sentence}'`),
      );
      assert.ok(only.some((sentence) => !isKept(sentence)));
    } finally {
      rmSync(folder, { recursive: true, force: true });
    }
  });

  it('the icon is what its script draws, 256 pixels wide and high', () => {
    const icon = readFileSync('media/icon.png');
    assert.equal(icon.toString('latin1', 1, 4), 'PNG');
    assert.deepEqual([icon.readUInt32BE(16), icon.readUInt32BE(20)], [256, 256]);
    const at = icon.indexOf('IDAT');
    const rows = inflateSync(icon.subarray(at + 4, at + 4 + icon.readUInt32BE(at - 4)));
    assert.equal(rows.toString('base64'), called('icon', 'iconRows'));
  });

  it('a release gives what was not released a heading with its version and day, and leaves the rest as it was', () => {
    const log = '# Changes\n\n## Unreleased\n\n- New.\n- Costs $& nothing.\n\n## 0.1.0 – 2026-01-02\n\n- Old.\n';
    assert.equal(
      called('release', 'releasedLog', log, '0.2.0', '2026-11-27'),
      '# Changes\n\n## Unreleased\n\n## 0.2.0 – 2026-11-27\n\n- New.\n- Costs $& nothing.\n\n## 0.1.0 – 2026-01-02\n\n- Old.\n',
    );
    const first = '# Changes\n\n## Unreleased\n\n- New.\n';
    assert.equal(
      called('release', 'releasedLog', first, '0.2.0', '2026-11-27'),
      '# Changes\n\n## Unreleased\n\n## 0.2.0 – 2026-11-27\n\n- New.\n',
    );
  });

  it('nothing to release, or no place that says what, is refused', () => {
    assert.match(
      String(called('release', 'releasedLog', '# Changes\n\n## Unreleased\n\n', '1.0.0', '')),
      /nothing to release/,
    );
    assert.match(String(called('release', 'releasedLog', '# Changes\n', '1.0.0', '')), /no heading "## Unreleased"/);
  });

  it('a release is refused without a version, before anything is run', () => {
    for (const args of [[], ['0.2'], ['latest']]) {
      const { status, stderr } = spawnSync(process.execPath, ['scripts/release.mjs', ...args], { encoding: 'utf8' });
      assert.deepEqual([status, stderr], [1, 'Say which version, for example: npm run release 0.2.0\n']);
    }
  });
});
