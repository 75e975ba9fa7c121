import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join, resolve } from 'node:path';
import { after, before, describe, it } from 'mocha';
import { whyNotStarted } from '../support/programs.js';

/** An editor, the language of the block in the documentation that sets it up, and how it is made to carry out a script. */
interface Editor {
  readonly name: string;
  readonly language: string;
  readonly command: string;
  readonly args: (setUp: string) => readonly string[];
}

const script = (name: string) => resolve('test/otherEditors', name);

const EDITORS: readonly Editor[] = [
  {
    name: 'Neovim',
    language: 'lua',
    command: 'nvim',
    args: (setUp) => [
      ...['--headless', '--clean', '-n', '-u', setUp, 'rear-body.cfgdump'],
      ...['-c', `luafile ${script('neovim.lua')}`],
    ],
  },
  {
    name: 'Emacs',
    language: 'elisp',
    command: 'emacs',
    args: (setUp) => ['--batch', '--load', setUp, '--load', script('eglot.el')],
  },
];

/** What the scripts beside this file report of their session. */
interface Report {
  readonly failure?: string;
  readonly diagnostics: readonly { readonly line: number; readonly message: string }[];
  readonly hover: string;
  readonly actions: readonly string[];
  /** The last three lines of the dump after the first action. */
  readonly after: readonly string[];
}

/** What the reader of the documentation is told to put into the editor's start file. */
function setUpIn(language: string): string {
  const [, block = ''] =
    readFileSync('docs/how-to/other-editors.md', 'utf8').match(new RegExp(`\`\`\`${language}\\n([^]*?)\`\`\``)) ?? [];
  assert.notEqual(block, '');
  return block;
}

for (const { name, language, command, args } of EDITORS) {
  describe(`${name}, set up as the documentation says`, () => {
    let folder: string;
    let report: Report;
    before(function () {
      this.timeout(60_000);
      folder = mkdtempSync(join(tmpdir(), 'countersum-'));
      cpSync('examples/trailer-socket', folder, { recursive: true });
      const setUp = join(folder, `init.${language}`);
      writeFileSync(setUp, setUpIn(language));
      mkdirSync(join(folder, 'bin'));
      symlinkSync(resolve('dist/cli.js'), join(folder, 'bin', 'countersum'));
      const { PATH = '' } = process.env;
      const REPORT = join(folder, 'report.json');
      const own = { HOME: folder, XDG_STATE_HOME: folder, XDG_CACHE_HOME: folder, REPORT };
      const env = { ...process.env, ...own, PATH: `${join(folder, 'bin')}${delimiter}${PATH}` };
      const { error, stderr } = spawnSync(command, args(setUp), {
        cwd: folder,
        env,
        encoding: 'utf8',
        timeout: 50_000,
      });
      assert.ok(existsSync(REPORT), whyNotStarted(command, error) ?? error?.message ?? stderr);
      report = JSON.parse(readFileSync(REPORT, 'utf8'));
      assert.equal(report.failure, undefined, stderr);
    });
    after(() => rmSync(folder, { recursive: true, force: true }));

    it('marks the wrong line sum and the wrong file sum', () => {
      assert.deepEqual(
        report.diagnostics.map(({ line }) => line),
        [12, 27],
      );
      assert.match(report.diagnostics[0]?.message ?? '', /Line 4: its sum is 88, its bytes make A8/);
    });

    it('tells on hover what the byte means', () => {
      assert.match(report.hover, /Trailer socket/);
      assert.match(report.hover, /In the backup/);
    });

    it('offers the repairs and carries one out', () => {
      assert.match(report.actions[0] ?? '', /^Rebalance file sum using line 17: byte 6 from 5C to 3C/);
      assert.deepEqual(report.after, ['17: 10 00 FF 00  FF 3C | 55', '18: 00 1A 08 C1  00 55 | 44', 'total: 21 B2']);
    });
  });
}
