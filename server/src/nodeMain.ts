import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { createDiskHost } from './diskHost.js';
import { plansOnDisk } from './leftPlans.js';
import { soundMessages } from './messages.js';
import { startServer } from './server.js';
import { translationFor } from './translation.js';

startServer(
  createConnection(ProposedFeatures.all, { messageStrategy: soundMessages() }),
  createDiskHost(),
  translationFor,
  plansOnDisk(),
);
