import { spawnSync } from 'node:child_process';

/** What to do about a program that a test needs and that is not there. */
export function programMissing(command: string): string {
  const script = `const { whatToDo } = await import('./scripts/prepare.mjs'); console.log(whatToDo(process.argv[1]));`;
  const { stdout } = spawnSync(process.execPath, ['--input-type=module', '-e', script, command], { encoding: 'utf8' });
  return stdout.trim();
}

/** What to do where a program could not be started because it is not there; else undefined. */
export function whyNotStarted(command: string, error: Error | undefined): string | undefined {
  return error !== undefined && 'code' in error && error.code === 'ENOENT' ? programMissing(command) : undefined;
}
