import {
  ErrorCodes,
  type InitializeParams,
  Message,
  type MessageStrategy,
  type RequestMessage,
  ResponseError,
  type WorkspaceFolder,
} from './lsp.js';
import { wrongParams } from './params.js';

/** The name under which requests arrive that come after "shutdown". */
const AFTER_SHUTDOWN = 'countersum/afterShutdown';

/** The name under which requests arrive whose parameters are wrong. */
const WRONG_PARAMS = 'countersum/wrongParams';

/** What every connection of the server does with a message before anything else sees it. */
export function soundMessages(): MessageStrategy {
  let isShutDown = false;
  return {
    handleMessage: (message, next) => {
      if (!Message.isRequest(message)) return next(message);
      if (isShutDown) return next(asMethod(message, AFTER_SHUTDOWN));
      if (message.method === 'shutdown') isShutDown = true;
      const wrong = wrongParams(message.method, message.params);
      if (wrong !== undefined) return next(asMethod({ ...message, params: { wrong } }, WRONG_PARAMS));
      if (message.method !== 'initialize') return next(message);
      const sound: RequestMessage = { ...message, params: soundParams(message.params) };
      return next(sound);
    },
  };
}

function asMethod(message: RequestMessage, method: string): RequestMessage {
  return { ...message, method };
}

/** Answers what comes after "shutdown". */
export const afterShutdown = {
  method: AFTER_SHUTDOWN,
  answer: () => new ResponseError(ErrorCodes.InvalidRequest, 'The server was shut down.'),
};

/** Answers what has wrong parameters. */
export const afterWrongParams = {
  method: WRONG_PARAMS,
  answer: ({ wrong }: { readonly wrong: string }) => new ResponseError(ErrorCodes.InvalidParams, wrong),
};

/** What a client says of itself, without the parts that are not of the kind that they should be. */
function soundParams(given: unknown): InitializeParams {
  const params = objectOf(given);
  const { processId, rootUri, capabilities, locale, trace, workspaceFolders, initializationOptions } = params;
  const folders = Array.isArray(workspaceFolders) ? workspaceFolders.filter(isFolder) : undefined;
  return {
    processId: typeof processId === 'number' ? processId : null,
    rootUri: typeof rootUri === 'string' ? rootUri : null,
    capabilities: objectOf(capabilities),
    ...(typeof locale === 'string' && { locale }),
    ...((trace === 'off' || trace === 'messages' || trace === 'verbose') && { trace }),
    ...(folders !== undefined && { workspaceFolders: folders }),
    initializationOptions: objectOf(initializationOptions),
  };
}

function objectOf(given: unknown): Readonly<Partial<Record<string, unknown>>> {
  return typeof given === 'object' && given !== null && !Array.isArray(given) ? { ...given } : {};
}

function isFolder(given: unknown): given is WorkspaceFolder {
  const { uri } = objectOf(given);
  return typeof uri === 'string';
}
