import * as vscode from 'vscode';
import type { Refusal } from '../../../shared-core/src/protocol/common.js';
import type { DescribeParams } from '../../../shared-core/src/protocol/jobs.js';
import {
  VERIFY_READ_BACK,
  type VerifyReadBackParams,
  type VerifyReadBackResult,
} from '../../../shared-core/src/protocol/retrofit.js';
import { isRefusal } from '../ask.js';
import { nameOf } from '../places.js';
import { fileUri, isRaw } from '../rawUri.js';
import type { Services } from '../services.js';
import { choosing } from '../ui.js';

/**
 * What is to be written into a file that was brought in as the read-back of a dump: that it is of the same vehicle, but for
 * one that looks like the reading of another. Of that, the person says what it is; undefined where they go away.
 */
export async function whoseReading(
  { client }: Pick<Services, 'client'>,
  document: vscode.TextDocument,
  of: vscode.Uri,
): Promise<Pick<DescribeParams, 'like' | 'use'> | undefined> {
  const doubt = await doubtOf(client, document, of);
  if (doubt === null) return { like: of.toString() };
  const question = vscode.l10n.t('Is {0} of this vehicle?', nameOf(fileUri(document.uri)));
  // What the Enter key takes proves nothing of this vehicle.
  switch (await choosing(question, ['onlyToCompare', 'isOfVehicle'], [doubt])) {
    case 'isOfVehicle':
      return { like: of.toString() };
    case 'onlyToCompare':
      return { use: 'comparison' };
    default:
      return undefined;
  }
}

/** Why what was brought in may be of another vehicle; nothing where it holds nothing yet or cannot be compared. */
async function doubtOf(
  client: Services['client'],
  document: vscode.TextDocument,
  of: vscode.Uri,
): Promise<string | null> {
  if (document.getText().trim() === '') return null;
  // Raw bytes are opened as the text of them, which the server knows by the address of the file.
  const shown = client.protocol2CodeConverter.asUri(of.toString());
  const opened = await vscode.workspace.openTextDocument(shown);
  const planned = isRaw(shown) ? await vscode.languages.setTextDocumentLanguage(opened, 'cfgdump') : opened;
  const params: VerifyReadBackParams = { uri: planned.uri.toString(), read: fileUri(document.uri).toString() };
  const result = await client.sendRequest<VerifyReadBackResult | Refusal>(VERIFY_READ_BACK, params);
  return isRefusal(result) ? null : result.doubt;
}
