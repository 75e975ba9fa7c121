/**
 * One bundle for all: a worker of a browser, which alone can import scripts; the command line, where it is called to check files;
 * or the server in a process of Node.js.
 */
void ('importScripts' in globalThis
  ? import('./browserMain.js')
  : process.argv[2] === 'check'
    ? import('./cli/checkOnly.js')
    : import('./nodeMain.js'));
