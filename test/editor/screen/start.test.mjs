// What a person has after `npm start` on a machine without a desktop editor.
import assert from 'node:assert/strict';
import { spawn } from 'node:child_process';
import { after, before, describe, it } from 'mocha';
import { ROOT } from '../../../scripts/prepare.mjs';
import { launchBrowser } from '../driver.mjs';

describe('npm start without a desktop editor', () => {
  let command;
  let address;
  before(async () => {
    const env = { ...process.env, COUNTERSUM_VSCODE: 'server' };
    command = spawn(process.execPath, ['scripts/start.mjs'], { cwd: ROOT, env, stdio: ['ignore', 'pipe', 'inherit'] });
    address = await printedAddress(command);
  });
  after(() => command?.kill());

  it('prints an address of this machine with a key', () => {
    const { hostname, searchParams } = new URL(address);
    assert.equal(hostname, '127.0.0.1');
    assert.match(searchParams.get('tkn'), /^[0-9a-f]{32}$/);
  });

  it('lets nobody in without the key', async () => {
    const locked = new URL(address);
    locked.searchParams.set('tkn', '0'.repeat(32));
    assert.equal((await fetch(locked, { redirect: 'manual' })).status, 403);
  });

  it('opens the demo there with its wrong sums underlined', async () => {
    const browser = await launchBrowser();
    try {
      const page = await browser.newPage();
      await page.goto(address);
      await page.waitForSelector('.tab.active[data-resource-name="rear-body.cfgdump"]', { timeout: 60_000 });
      await page.waitForSelector('.squiggly-error', { timeout: 60_000 });
    } finally {
      await browser.close();
    }
  });

  it('ends when it is told to', async () => {
    const ended = new Promise((resolve) => command.on('exit', resolve));
    command.kill();
    await ended;
    await assert.rejects(fetch(address));
  });
});

function printedAddress(command) {
  return new Promise((resolve, reject) => {
    let heard = '';
    command.stdout.on('data', (chunk) => {
      heard += chunk;
      const [found] = heard.match(/http:\S+(?=\n)/) ?? [];
      if (found !== undefined) resolve(found);
    });
    command.on('exit', () => reject(new Error(`npm start ended by itself:\n${heard}`)));
  });
}
