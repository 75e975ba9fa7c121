// The task that checks a folder: what the editor is given to run is run here, and what it says is read by the pattern of
// the manifest, as the editor does.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, it } from 'mocha';
import { registerCheckTasks } from '../../client/src/checkTask.js';
import { bench } from '../support/commandLine.js';
import { env, fake, reset, Task, Uri, workspace } from '../support/fakeEditor.js';

const { problemMatchers, taskDefinitions } = JSON.parse(readFileSync('package.json', 'utf8')).contributes;
const [matcher] = problemMatchers;
const PATTERN = new RegExp(matcher.pattern.regexp);

interface Problem {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  /** What the editor tells apart; whatever else it is given, it takes for an error. */
  readonly severity: string;
  readonly code: string;
  readonly message: string;
}

/** The problems in what a task prints, a line each. */
function problemsIn(printed: string): readonly Problem[] {
  return printed.split(/\r?\n/).flatMap((line) => {
    const found = PATTERN.exec(line);
    if (found === null) return [];
    const part = (name: keyof Problem) => found[matcher.pattern[name]] ?? '';
    return {
      file: part('file'),
      line: Number(part('line')),
      column: Number(part('column')),
      severity: part('severity'),
      code: part('code'),
      message: part('message'),
    };
  });
}

describe('the task that checks a folder', () => {
  const { path, read, write, folder, call } = bench();

  const provider = () => {
    const editor = reset();
    const context = { extensionUri: Uri.parse(pathToFileURL(resolve('.')).href) };
    registerCheckTasks(context as unknown as Parameters<typeof registerCheckTasks>[0]);
    workspace.workspaceFolders = [
      { uri: Uri.parse(pathToFileURL(folder()).href), name: 'cars' },
      { uri: Uri.parse('vscode-vfs://host/cars'), name: 'elsewhere' },
    ];
    const found = editor.tasks.get('countersum');
    assert.ok(found);
    return found;
  };
  const run = ({ execution }: Task) => {
    assert.ok(execution);
    const { cwd, env: more } = execution.options;
    const env = { ...process.env, ...more };
    return spawnSync(execution.process, execution.args, { cwd, env, encoding: 'utf8' });
  };

  it('is offered for each folder on a disk, by the names of the manifest', () => {
    const tasks = provider().provideTasks();
    assert.deepEqual(
      tasks.map(({ source, name }) => `${source}: ${name}`),
      ['countersum: check this folder'],
    );
    assert.deepEqual(
      tasks.map(({ definition: { type } }) => type),
      taskDefinitions.map(({ type }: { readonly type: string }) => type),
    );
  });

  it('puts its problems into the list only where the server does not put those of closed files there', () => {
    const given = provider();
    const matcherOf = () => given.provideTasks()[0]?.matcher;
    assert.deepEqual(matcherOf(), []);
    fake.settings.set('countersum.workspaceDiagnostics', false);
    assert.equal(matcherOf(), `$${matcher.name}`);
    fake.settings.set('countersum.workspaceDiagnostics', true);
    assert.deepEqual(matcherOf(), []);
  });

  it('finds what check finds, until it is put right', () => {
    const [task] = provider().provideTasks();
    assert.ok(task);
    const [before, answer] = [run(task), JSON.parse(call('check', '--json', '.').stdout)];
    assert.equal(before.status, 1, before.stderr);
    const wanted = answer.files.flatMap(({ file, problems }: { file: string; problems: readonly Problem[] }) =>
      problems.map(({ line, column, severity, code, message }) => ({
        file,
        line,
        column,
        severity: severity === 'information' ? 'info' : severity,
        code,
        message,
      })),
    );
    assert.ok(wanted.length > 2);
    assert.deepEqual(problemsIn(before.stdout), wanted);
    for (const name of ['cluster.cfgdump', 'rear-body.cfgdump'])
      write(name, read(name.replace('.cfgdump', '.as-found.cfgdump')).replace(/^@seal.*\n/m, ''));
    const after = problemsIn(run(task).stdout).filter(({ file }) => /^(?:cluster|rear-body)\.cfgdump$/.test(file));
    assert.deepEqual(
      after.filter(({ severity }) => severity === 'error'),
      [],
    );
  });

  it('checks the file that tasks.json names, and says in the language of the editor what is wrong with it', () => {
    const given = provider();
    const [{ scope } = {}] = given.provideTasks();
    const named = (definition: Readonly<Record<string, unknown>>, where: unknown = scope) =>
      given.resolveTask(new Task({ type: 'countersum', ...definition }, where, 'mine', 'Workspace'));
    const [odd, language] = ['a (1) 12:3: ä.cfgdump', env.language];
    write(odd, read('rear-body.cfgdump'));
    try {
      env.language = 'de';
      const task = named({ path: odd });
      assert.ok(task);
      const found = problemsIn(run(task).stdout);
      assert.ok(found.length > 0);
      assert.ok(found.every(({ file }) => file === odd));
      assert.match(found.map(({ message }) => message).join('\n'), /Zeile/);
      assert.equal(task.name, 'mine');
    } finally {
      env.language = language;
    }
    for (const path of ['', 3, ['a']]) assert.equal(named({ path }), undefined);
    assert.equal(named({}, 2), undefined);
    assert.equal(named({}, { uri: Uri.parse('vscode-vfs://host/cars'), name: 'elsewhere' }), undefined);
  });

  it('takes no other line for a problem, and paths of Windows as they are', () => {
    assert.deepEqual(problemsIn(call('check', path('rear-body.as-found.cfgdump')).stdout), []);
    assert.deepEqual(problemsIn(call('--help').stdout), []);
    const [found] = problemsIn('C:\\cars\\a.cfgdump:12:26: error line-sum: Line 4: its sum is 88.');
    assert.deepEqual([found?.file, found?.line], ['C:\\cars\\a.cfgdump', 12]);
  });
});
