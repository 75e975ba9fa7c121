import type { ExtensionContext } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import type { AskServer } from './ask.js';
import type { BackupFirst } from './backupFirst.js';
import type { CurrentDump } from './currentDump.js';
import type { ShowPage } from './pages/markdownPages.js';
import type { ByteOverview } from './views/byteOverview.js';
import type { Changes } from './views/changesView.js';
import type { Comparison } from './views/comparison.js';
import type { JobView } from './views/jobView.js';
import type { OptionsView } from './views/optionsView.js';
import type { WriteEdit } from './writeEdit.js';

/** What commands have to work with. */
export interface Services {
  readonly client: BaseLanguageClient;
  readonly ask: AskServer;
  readonly write: WriteEdit;
  readonly backupFirst: BackupFirst;
  readonly current: CurrentDump;
  readonly showPage: ShowPage;
  readonly changes: Changes;
  readonly comparison: Comparison;
  readonly job: JobView;
  readonly byteOverview: ByteOverview;
  readonly options: OptionsView;
  readonly extension: Pick<ExtensionContext, 'extensionUri' | 'globalStorageUri' | 'workspaceState'>;
}
