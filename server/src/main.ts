/** One bundle for both: a worker of a browser, which alone can import scripts, or a process of Node.js. */
void ('importScripts' in globalThis ? import('./browserMain.js') : import('./nodeMain.js'));
