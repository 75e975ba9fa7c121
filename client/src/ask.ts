import * as vscode from 'vscode';
import type { BaseLanguageClient, Middleware } from 'vscode-languageclient';
import type { Accepted, DumpParams, Refusal } from '../../shared-core/src/protocol/common.js';
import { confirmRisk, warn } from './ui.js';

/** Asks the server; undefined where it refuses, or a person does not accept what they are asked to. */
export type AskServer = <R>(
  request: string,
  params: DumpParams,
  token?: vscode.CancellationToken,
) => Promise<R | undefined>;

export interface Asking extends vscode.Disposable {
  readonly ask: AskServer;
}

/**
 * Where the server refuses because of a doubt that a person may accept, they are asked, and the request is repeated
 * with what they accept. That the profile is for this module is asked once for a dump while it is open: another
 * sentence, or another dump, is another question.
 */
export function createAsking(client: BaseLanguageClient): Asking {
  const confirmed = new Map<string, string>();
  const closed = vscode.workspace.onDidCloseTextDocument(({ uri }) => confirmed.delete(uri.toString()));

  const accept = async (
    uri: string,
    { refused, asks, helps }: Refusal,
    accepted: Accepted,
  ): Promise<Accepted | undefined> => {
    if (asks?.kind === 'unconfirmed' && accepted.unconfirmed !== true) {
      const isKnown = confirmed.get(uri) === refused;
      if (!isKnown && !(await confirmRisk(refused, 'isForModule'))) return undefined;
      confirmed.set(uri, refused);
      return { ...accepted, unconfirmed: true };
    }
    const before = accepted.despite ?? [];
    if (asks?.kind === 'despite' && asks.options.some((option) => !before.includes(option))) {
      if (!(await confirmRisk(refused, 'setAllTheSame'))) return undefined;
      return { ...accepted, despite: [...new Set([...before, ...asks.options])] };
    }
    void tellRefused(uri, refused, helps);
    return undefined;
  };

  const ask: AskServer = async <R>(request: string, params: DumpParams, token?: vscode.CancellationToken) => {
    let accepted: Accepted | undefined = {};
    while (accepted !== undefined) {
      const asked = { ...params, ...accepted };
      const answer: R | Refusal = await client.sendRequest<R | Refusal>(request, asked, token);
      if (!isRefusal(answer)) return answer;
      accepted = await accept(params.uri, answer, accepted);
    }
    return undefined;
  };
  return { ask, dispose: () => closed.dispose() };
}

/** Says why something cannot be had, with a button for what would help. */
async function tellRefused(uri: string, refused: string, helps: Refusal['helps']): Promise<void> {
  if (helps === undefined) {
    void warn(refused);
    return;
  }
  if ((await warn(refused, 'makeBackup')) === 'makeBackup')
    await vscode.commands.executeCommand('countersum.makeBackup', uri);
}

/** Whoever types all the time gets no answer in the end. */
const MOST_TRIES = 5;

/** Asks again where a document has moved on while the server worked. */
export const askAgain: NonNullable<Middleware['sendRequest']> = async (type, params, token, next) => {
  for (let tries = 1; ; tries++) {
    try {
      return await next(type, params, token);
    } catch (error) {
      const isOurs = typeof type === 'string' && type.startsWith('countersum/');
      if (!isOurs || tries === MOST_TRIES || !isOutdated(error)) throw error;
    }
  }
};

/** So the server says it: `ContentModified` of the protocol. */
export function isOutdated(error: unknown): boolean {
  return typeof error === 'object' && error !== null && 'code' in error && error.code === -32801;
}

export function isRefusal(answer: unknown): answer is Refusal {
  return typeof answer === 'object' && answer !== null && 'refused' in answer;
}
