// For the test of the browser build: a folder that lies on no disk. What is in it at first comes with the page.
const vscode = require('vscode');

exports.activate = async (context) => {
  const answer = await fetch(vscode.Uri.joinPath(context.extensionUri, 'files.json').toString(true));
  const first = Object.entries(await answer.json()).map(([path, codes]) => [
    path,
    Uint8Array.from(codes, (one) => one.charCodeAt(0)),
  ]);
  const files = new Map(first);
  const changed = new vscode.EventEmitter();
  const isFolder = (path) => path === '/' || [...files.keys()].some((name) => name.startsWith(`${path}/`));
  const entry = (uri) => {
    const bytes = files.get(uri.path);
    if (bytes === undefined) throw vscode.FileSystemError.FileNotFound(uri);
    return bytes;
  };
  const change = (type, uri) => changed.fire([{ type, uri }]);
  const provider = {
    onDidChangeFile: changed.event,
    watch: () => new vscode.Disposable(() => {}),
    stat: (uri) =>
      isFolder(uri.path)
        ? { type: vscode.FileType.Directory, ctime: 0, mtime: 0, size: 0 }
        : { type: vscode.FileType.File, ctime: 0, mtime: 0, size: entry(uri).length },
    readDirectory: ({ path }) => {
      const start = path === '/' ? path : `${path}/`;
      const below = [...files.keys()].filter((name) => name.startsWith(start)).map((name) => name.slice(start.length));
      return [...new Set(below.map((name) => name.split('/')[0]))].map((name) => [
        name,
        isFolder(start + name) ? vscode.FileType.Directory : vscode.FileType.File,
      ]);
    },
    readFile: entry,
    writeFile: (uri, bytes) => {
      const type = files.has(uri.path) ? vscode.FileChangeType.Changed : vscode.FileChangeType.Created;
      files.set(uri.path, bytes);
      change(type, uri);
    },
    delete: (uri) => {
      files.delete(uri.path);
      change(vscode.FileChangeType.Deleted, uri);
    },
    rename: (from, to) => {
      files.set(to.path, entry(from));
      files.delete(from.path);
      change(vscode.FileChangeType.Deleted, from);
      change(vscode.FileChangeType.Created, to);
    },
    createDirectory: () => {},
  };
  /** All files as they were at first, and no others; what is as it was is left alone. */
  const putBack = () => {
    const known = new Map(first);
    const at = (path) => vscode.Uri.from({ scheme: 'memory', path });
    for (const path of [...files.keys()].filter((one) => !known.has(one))) provider.delete(at(path));
    for (const [path, bytes] of first.filter(([path, bytes]) => files.get(path) !== bytes))
      provider.writeFile(at(path), bytes);
  };
  context.subscriptions.push(
    vscode.workspace.registerFileSystemProvider('memory', provider),
    vscode.commands.registerCommand('memory.putBack', putBack),
  );
};
