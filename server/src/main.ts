import { createConnection, ProposedFeatures, StreamMessageReader } from 'vscode-languageserver/node';
import { createDiskHost } from './diskHost.js';
import { startServer } from './server.js';
import { stdoutWriter } from './stdoutWriter.js';
import { translationFor } from './translation.js';

startServer(
  process.argv.includes('--stdio') ? overStdio() : createConnection(ProposedFeatures.all),
  createDiskHost(),
  translationFor,
);

function overStdio() {
  const { stdin, stdout } = process;
  // An editor that is gone without saying so leaves nobody to serve.
  stdin.once('end', () => process.exit(1));
  return createConnection(ProposedFeatures.all, new StreamMessageReader(stdin), stdoutWriter(stdout));
}
