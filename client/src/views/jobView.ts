import * as vscode from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { literal } from '../../../shared-core/src/base/index.js';
import { JOBS, type JobModule, type JobsParams, type JobsResult } from '../../../shared-core/src/protocol/jobs.js';
import { isDump } from '../activeDump.js';
import { isOutdated } from '../ask.js';
import type { CurrentDump } from '../currentDump.js';
import { type DumpOffers, looksLikeDump } from '../offerDump.js';
import { nameOf } from '../places.js';
import { fileUri } from '../rawUri.js';
import { unsavedTexts } from '../unsaved.js';
import { inShort } from './inShort.js';
import {
  childrenOf,
  isNamed,
  type JobNode,
  jobItem,
  moduleNamed,
  moduleOf,
  nextNode,
  nextOf,
  parentOf,
  rootsOf,
  toNote,
} from './jobItems.js';

export interface JobView extends vscode.Disposable {
  /** What people call the vehicles whose dumps are here; a dump that names none is nobody's name for one. */
  readonly vehicles: () => readonly string[];
  /** Keeps what is shown while a person is asked what a new file is: until then it has no job of its own. */
  readonly hold: <T>(asking: () => Promise<T>) => Promise<T>;
}

/** Changes come in bursts: what is shown follows once they pause. In milliseconds. */
const PAUSE = 250;

const NOTHING: JobsResult = { vehicles: [], unread: [], compared: [], similar: [], left: 0 };

/** The jobs of the vehicles at hand: for each module its steps, what is open, and one thing to do next. */
export function createJobView(
  client: BaseLanguageClient,
  current: CurrentDump,
  onFiles: vscode.Event<void>,
  offers: Pick<DumpOffers, 'inFront' | 'onDidChange'>,
): JobView {
  let found = NOTHING;
  let shown: string | undefined;
  let waiting: ReturnType<typeof setTimeout> | undefined;
  let asking: 'no' | 'yes' | 'again' = 'no';
  let held = 0;
  const changed = new vscode.EventEmitter<undefined>();
  const currentUri = () => {
    const uri = current.document()?.uri;
    return uri && fileUri(uri).toString();
  };
  let inWork: string | undefined;
  /** The dump that is worked on: while another file is in front, such as one to compare with, the one before it. */
  const atHand = () => {
    const uri = currentUri();
    if (moduleNamed(found, uri) !== undefined) inWork = uri;
    return moduleNamed(found, inWork) === undefined ? uri : inWork;
  };
  const view = vscode.window.createTreeView<JobNode>('countersum.job', {
    treeDataProvider: {
      onDidChangeTreeData: changed.event,
      getChildren: (node) => (node === undefined ? rootsOf(found, offers.inFront()) : childrenOf(node)),
      getParent: (node) => parentOf(found, node),
      getTreeItem: (node) => jobItem(found, node, atHand()),
    },
  });

  view.message = literal(vscode.l10n.t('Looking through the folder…'));
  let answered = (): void => {};
  /** Shown only while the view is: of a hidden view nothing is worked out, and its icon would have a clock without end. */
  const showProgress = (): void => {
    if (!view.visible || shown !== undefined) return;
    const first = new Promise<void>((resolve) => {
      answered = resolve;
    });
    void vscode.window.withProgress({ location: { viewId: 'countersum.job' } }, () => first);
  };
  showProgress();

  // An entry that is pressed while it is drawn anew does nothing: that is done only where something has changed.
  const show = async (): Promise<void> => {
    answered();
    const offered = offers.inFront();
    const now = JSON.stringify([found, atHand(), offered]);
    if (now === shown) return;
    shown = now;
    const own = moduleOf(found, atHand());
    const [only, ...more] = found.vehicles;
    view.description = only === undefined || more.length > 0 ? '' : literal(only.title);
    view.message = literal(offered === undefined ? messageOf(found, own) : looksLikeDump(offered));
    // At once, so that what is above the list and the list are of one state.
    changed.fire(undefined);
    await vscode.commands.executeCommand('setContext', 'countersum.job', stateOf(found));
    revealNext(own);
  };
  /**
   * The next step stays in sight where what is shown of its module changes, and where the view opens; the cursor stays where
   * it is. No editor tells of a window that becomes smaller.
   */
  let inSight: string | undefined;
  const revealNext = (own: JobModule | undefined): void => {
    const now = own && JSON.stringify(own);
    if (now === inSight || !view.visible) return;
    inSight = now;
    const node = own && nextNode(own);
    // Where the list has changed once more meanwhile, the next look at it shows its step.
    if (node !== undefined)
      view.reveal(node, { select: false, focus: false, expand: true }).then(undefined, () => {
        inSight = undefined;
      });
  };
  /** What was shown is not known to be so any more, so it is taken away. */
  const fail = async (error: unknown): Promise<void> => {
    answered();
    found = NOTHING;
    shown = undefined;
    const why = error instanceof Error ? error.message : String(error);
    view.message = literal(vscode.l10n.t('The steps of the job could not be worked out: {0}', why));
    await vscode.commands.executeCommand('setContext', 'countersum.job', 'failed');
    changed.fire(undefined);
  };
  const ask = async (): Promise<void> => {
    const params: JobsParams = { unsaved: unsavedTexts(), around: currentUri() ?? null };
    try {
      const answer = await client.sendRequest<JobsResult>(JOBS, params);
      // Asked again once nothing is held any more.
      if (held > 0) return;
      found = answer;
      await show();
    } catch (error) {
      // Whoever types all the time is asked again once they pause.
      if (isOutdated(error)) soon();
      else await fail(error);
    }
  };
  const update = async (): Promise<void> => {
    if (!client.isRunning() || !view.visible || held > 0) return;
    if (asking !== 'no') {
      asking = 'again';
      return;
    }
    do {
      asking = 'yes';
      await ask();
    } while (isAskedAgain());
    asking = 'no';
  };
  const isAskedAgain = () => asking === 'again';
  const soon = (): void => {
    clearTimeout(waiting);
    waiting = setTimeout(() => void update(), PAUSE);
  };
  soon();
  const disposable = vscode.Disposable.from(
    view,
    changed,
    onFiles(soon),
    // Before there was an answer, what is said is that one is waited for.
    offers.onDidChange(() => {
      if (shown !== undefined && held === 0) void show();
    }),
    client.onDidChangeState(soon),
    current.onDidChange(soon),
    view.onDidChangeVisibility(() => {
      answered();
      shown = undefined;
      inSight = undefined;
      showProgress();
      soon();
    }),
    // What lies in no folder that is open comes and goes unseen, but not without a tab.
    vscode.window.tabGroups.onDidChangeTabs(soon),
    vscode.workspace.onDidChangeTextDocument(({ document }) => {
      if (isOurs(document)) soon();
    }),
    vscode.workspace.onDidSaveTextDocument((document) => {
      if (isOurs(document)) soon();
    }),
  );
  return {
    vehicles: () => found.vehicles.filter(isNamed).map(({ title }) => title),
    hold: async (work) => {
      held++;
      try {
        return await work();
      } finally {
        held--;
        soon();
      }
    },
    dispose: () => {
      answered();
      clearTimeout(waiting);
      disposable.dispose();
    },
  };
}

function isOurs(document: vscode.TextDocument): boolean {
  return isDump(document) || /\.(?:(?:dump-profile|retrofit)\.json|job-card\.(?:md|html))$/.test(document.uri.path);
}

function stateOf({ vehicles, unread, compared, left }: JobsResult): 'none' | 'job' {
  return vehicles.length + unread.length + compared.length + left === 0 ? 'none' : 'job';
}

/** What is to be done now, in full: entries of the view are cut off where the side bar is narrow. */
function messageOf(found: JobsResult, module: JobModule | undefined): string {
  const more =
    found.left === 0
      ? ''
      : vscode.l10n.t('There are many dumps here, so only the folder of the dump in the editor is looked at.');
  return [whatIsNext(found, module), more].filter((part) => part !== '').join(' ');
}

function whatIsNext({ vehicles }: JobsResult, module: JobModule | undefined): string {
  if (module === undefined)
    return vehicles.length < 2
      ? ''
      : vscode.l10n.t('There are {0} vehicles here. Open one below, or one of its dumps.', vehicles.length);
  const step = nextOf(module);
  if (step === undefined) return allDone(module);
  // Which file it is, the step below says; a module without a profile is called like its file.
  const says = inShort(step.says.replace(`${nameOf(vscode.Uri.parse(module.uri))}: `, ''));
  // The list names the step; where the window is small, each line here is a row less of it.
  return says.includes(module.title) ? says : vscode.l10n.t('{0} – {1}', module.title, says);
}

/** What is left to a person where all is proved, in two lines at most: the list has its buttons. */
function allDone(module: JobModule): string {
  return toNote(module) === undefined
    ? vscode.l10n.t('{0}: all steps are done.', module.title)
    : vscode.l10n.t('{0}: all steps are done. Try it in the car.', module.title);
}
