import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { nodeHost } from './nodeHost.js';
import { startServer } from './server.js';

startServer(createConnection(ProposedFeatures.all), nodeHost);
