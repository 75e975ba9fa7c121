import * as vscode from 'vscode';
import {
  type DescribeParams,
  type Refusal,
  VERIFY_READ_BACK,
  type VerifyReadBackParams,
  type VerifyReadBackResult,
} from '../../../shared-core/src/index.js';
import { isRefusal } from '../ask.js';
import { nameOf } from '../places.js';
import { fileUri } from '../rawUri.js';
import type { Services } from '../services.js';
import { confirm, inform } from '../ui.js';

/**
 * What is to be written into a file that was brought in as the read-back of a dump: that it is of the same vehicle, but for
 * one that looks like the reading of another and of which the person does not say that it is.
 */
export async function whoseReading(
  { client }: Pick<Services, 'client'>,
  document: vscode.TextDocument,
  of: vscode.Uri,
): Promise<Pick<DescribeParams, 'like'>> {
  const doubt = await doubtOf(client, document, of);
  const name = nameOf(fileUri(document.uri));
  if (doubt === null || (await confirm(vscode.l10n.t('Is {0} of this vehicle?', name), 'isOfVehicle', [doubt])))
    return { like: of.toString() };
  void inform(
    vscode.l10n.t(
      '{0} is in the folder and names no vehicle yet. In the Job view, press "Name Vehicle and Time…" where it is listed.',
      name,
    ),
  );
  return {};
}

/** Why what was brought in may be of another vehicle; nothing where it holds nothing yet or cannot be compared. */
async function doubtOf(
  client: Services['client'],
  document: vscode.TextDocument,
  of: vscode.Uri,
): Promise<string | null> {
  if (document.getText().trim() === '') return null;
  // Raw bytes are opened as the text of them.
  const planned = await vscode.workspace.openTextDocument(client.protocol2CodeConverter.asUri(of.toString()));
  const params: VerifyReadBackParams = { uri: planned.uri.toString(), read: fileUri(document.uri).toString() };
  const result = await client.sendRequest<VerifyReadBackResult | Refusal>(VERIFY_READ_BACK, params);
  return isRefusal(result) ? null : result.doubt;
}
