import type * as vscode from 'vscode';
import { base64Of } from '../../shared-core/src/base/index.js';
import { FORM_OF_FILE, type FormOfFileParams, type FormOfFileResult } from '../../shared-core/src/protocol/raw.js';
import { nameOf } from './places.js';
import type { Services } from './services.js';

/** In which form a file with these bytes is; refused where it is of another kind and no headers beside it say otherwise. */
export async function formOfFile(
  client: Services['client'],
  file: vscode.Uri,
  bytes: Uint8Array,
  { headers, isReadBack }: Pick<FormOfFileParams, 'headers' | 'isReadBack'>,
): Promise<FormOfFileResult> {
  const params: FormOfFileParams = { name: nameOf(file), base64: base64Of(bytes), headers, isReadBack };
  return client.sendRequest<FormOfFileResult>(FORM_OF_FILE, params);
}
