import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, it } from 'mocha';

/** What the command line writes where a terminal names its language so. */
function said(language: Readonly<Record<string, string>>, ...args: readonly string[]): string {
  const env = { ...process.env, LC_ALL: '', LC_MESSAGES: '', LANG: '', ...language };
  const { stdout, stderr } = spawnSync(process.execPath, ['dist/cli.js', ...args], { env, encoding: 'utf8' });
  return stdout + stderr;
}

describe('the language of the command line', () => {
  it('is that of the terminal', () => {
    assert.match(
      said({ LANG: 'de_DE.UTF-8' }, 'check', 'examples/trailer-socket'),
      /Zeile 4: Ihre Prüfsumme ist 88, ihre Bytes ergeben A8/,
    );
    assert.match(said({ LANG: 'de_DE.UTF-8' }, 'chek'), /^countersum: Es gibt keinen Befehl "chek"/);
    assert.match(said({ LANG: 'de_CH' }, '--help'), /Steuergerät/);
  });

  it('writes numbers and the names of groups as that language does', () => {
    const folder = mkdtempSync(join(tmpdir(), 'countersum-'));
    try {
      const names = ['20', '20', '00', '00'].map((byte, i) => {
        writeFileSync(join(folder, `${i}.cfgdump`), `@vin DEM0${i}\n1: 07 ${byte}\n2: 00 00\n`);
        return join(folder, `${i}.cfgdump`);
      });
      const groups = ['--with', ...names.slice(0, 2), '--without', ...names.slice(2)];
      const text = said({ LANG: 'de_DE.UTF-8' }, 'find-option', ...groups);
      // Fisher's exact test, two-sided, of two against two: 2 of the 6 tables, which is 0.33.
      assert.match(
        text,
        /; mit: .*, ohne: .*; könnte Zufall sein: 1 von 3 \(p = 0,33, q = 0,33\); oder die ganze Ziffer, /m,
      );
      assert.match(text, /1 von 3 \(p = 0,33, q = 0,33\).*\(2 mit, 2 ohne\)\. .* 1 von 3\. /s);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });

  it('is chosen by LC_ALL before LC_MESSAGES before LANG', () => {
    assert.match(said({ LANG: 'de', LC_MESSAGES: 'en_GB' }, 'chek'), /There is no command/);
    assert.match(said({ LANG: 'en', LC_MESSAGES: 'en_GB', LC_ALL: 'de_AT' }, 'chek'), /keinen Befehl/);
  });

  it('is English where none is named, or one without a translation', () => {
    for (const LANG of ['', 'C', 'C.UTF-8', 'POSIX', 'fr_FR.UTF-8', '../de'])
      assert.match(said({ LANG }, 'chek'), /There is no command/);
  });
});
