import type * as vscode from 'vscode';
import { base64Of } from '../../shared-core/src/base/index.js';
import { FORM_OF_FILE, type FormOfFileParams, type FormOfFileResult } from '../../shared-core/src/protocol/raw.js';
import { headersBeside } from './headersBeside.js';
import { nameOf } from './places.js';
import type { Services } from './services.js';

/** In which form a file with these bytes is; refused where it is of another kind and no headers beside it say otherwise. */
export async function formOfFile(
  client: Services['client'],
  file: vscode.Uri,
  bytes: Uint8Array,
  isReadBack = false,
): Promise<FormOfFileResult> {
  const hasHeaders = (await headersBeside(file)) !== '';
  const params: FormOfFileParams = { name: nameOf(file), base64: base64Of(bytes), hasHeaders, isReadBack };
  return client.sendRequest<FormOfFileResult>(FORM_OF_FILE, params);
}
