import * as vscode from 'vscode';

/** What a task of `tasks.json` says: the type of the manifest, and what is checked. */
interface CheckDefinition extends vscode.TaskDefinition {
  readonly type: typeof TYPE;
  /** A file or a folder, from the folder that is open; that folder itself where nothing is said. */
  readonly path?: string;
}

const TYPE = 'countersum';
const MATCHER = '$countersum';

/**
 * *Terminal: Run Task* checks a folder by the command line, which is in the bundle of the server. It needs a process that runs
 * Node.js and a folder on a disk: elsewhere nothing is offered.
 */
export function registerCheckTasks({ extensionUri }: Pick<vscode.ExtensionContext, 'extensionUri'>): vscode.Disposable {
  const program = vscode.Uri.joinPath(extensionUri, 'dist/server.js').fsPath;
  const taskFor = (definition: CheckDefinition, folder: vscode.WorkspaceFolder, name: string): vscode.Task => {
    const args = [program, 'check', '--', definition.path ?? '.'];
    // The editor's own program is Node.js where it is told to; where it is plain Node.js already, that changes nothing.
    const env = { ELECTRON_RUN_AS_NODE: '1', LC_ALL: vscode.env.language };
    const execution = new vscode.ProcessExecution(process.execPath, args, { cwd: folder.uri.fsPath, env });
    const task = new vscode.Task(definition, folder, name, TYPE, execution, listsClosedFiles() ? [] : MATCHER);
    task.group = vscode.TaskGroup.Test;
    return task;
  };
  return vscode.tasks.registerTaskProvider(TYPE, {
    provideTasks: () =>
      (vscode.workspace.workspaceFolders ?? [])
        .filter(isOnDisk)
        .map((folder) => taskFor({ type: TYPE }, folder, vscode.l10n.t('check this folder'))),
    resolveTask: ({ definition, scope, name }) =>
      isDefinition(definition) && isFolder(scope) && isOnDisk(scope) ? taskFor(definition, scope, name) : undefined,
  });
}

/** Whether the server lists the problems of closed files: those of the task would be the same, a second time. */
function listsClosedFiles(): boolean {
  return vscode.workspace.getConfiguration('countersum').get('workspaceDiagnostics', true);
}

function isOnDisk({ uri }: vscode.WorkspaceFolder): boolean {
  return uri.scheme === 'file';
}

function isFolder(scope: vscode.Task['scope']): scope is vscode.WorkspaceFolder {
  return typeof scope === 'object';
}

function isDefinition(given: vscode.TaskDefinition): given is CheckDefinition {
  const { type, path } = given;
  return type === TYPE && (path === undefined || (typeof path === 'string' && path !== ''));
}
