/**
 * One bundle for all: a worker of a browser, which alone can import scripts; the command line, where the first word is a
 * command; or the server in a process of Node.js.
 */
void ('importScripts' in globalThis
  ? import('./browserMain.js')
  : /^\w/.test(process.argv[2] ?? '')
    ? import('./cli/main.js')
    : import('./nodeMain.js'));
