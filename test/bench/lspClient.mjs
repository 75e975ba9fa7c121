// A client that speaks to a server process over stdio and knows how long each answer took.
import { spawn } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createMessageConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-jsonrpc/node';

export async function startLsp(command, args, { initializationOptions = {} } = {}) {
  const began = performance.now();
  const child = spawn(command, args, { stdio: ['pipe', 'pipe', 'ignore'] });
  const connection = createMessageConnection(
    new StreamMessageReader(child.stdout),
    new StreamMessageWriter(child.stdin),
  );
  connection.onRequest('workspace/configuration', ({ items }) => items.map(() => null));
  connection.onRequest('client/registerCapability', () => null);
  connection.onRequest('workspace/diagnostic/refresh', () => null);
  connection.listen();
  await connection.sendRequest('initialize', {
    processId: process.pid,
    rootUri: null,
    initializationOptions,
    capabilities: { textDocument: { diagnostic: {}, hover: { contentFormat: ['markdown'] } } },
  });
  await connection.sendNotification('initialized', {});
  const started = performance.now() - began;
  return {
    started,
    request: (method, params) => connection.sendRequest(method, params),
    notify: (method, params) => connection.sendNotification(method, params),
    /** Peak resident memory in MB, as the kernel counted it. */
    peak: () => Number(/VmHWM:\s+(\d+)/.exec(readFileSync(`/proc/${child.pid}/status`, 'utf8'))?.[1] ?? 0) / 1024,
    stop: () => {
      connection.dispose();
      child.kill();
    },
  };
}

export const median = (numbers) => [...numbers].sort((a, b) => a - b)[numbers.length >> 1];

/** Opens a text, types into it, hovers, and gives the medians in milliseconds. */
export async function measure(server, { uri, languageId, text, edits, hoverAt }) {
  const textDocument = { uri, languageId, version: 1, text };
  const pull = () => server.request('textDocument/diagnostic', { textDocument: { uri } });
  const began = performance.now();
  await server.notify('textDocument/didOpen', { textDocument });
  await pull();
  const opened = performance.now() - began;
  const typed = [];
  let version = 1;
  for (let round = 0; round < 15; round++) {
    for (const contentChanges of edits) {
      const start = performance.now();
      await server.notify('textDocument/didChange', {
        textDocument: { uri, version: ++version },
        contentChanges: [contentChanges],
      });
      await pull();
      typed.push(performance.now() - start);
    }
  }
  const hovers = [];
  for (let round = 0; round < 15; round++) {
    const start = performance.now();
    await server.request('textDocument/hover', { textDocument: { uri }, position: hoverAt });
    hovers.push(performance.now() - start);
  }
  return { opened, typed: median(typed), hover: median(hovers), peak: server.peak() };
}
