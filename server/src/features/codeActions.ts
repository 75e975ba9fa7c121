import {
  type ChangeFix,
  type CommandFix,
  FIX_EVERYTHING,
  type Fix,
  fixesForInSteps,
  fixForSaving,
  notWorkedOut,
  optionFixes,
  titleOf,
  type WishFix,
  workOut,
} from '../../../shared-core/src/actions/index.js';
import { oneLine, phrase } from '../../../shared-core/src/base/index.js';
import { checkDump } from '../../../shared-core/src/checks/index.js';
import { headerOf } from '../../../shared-core/src/model/index.js';
import { cautionAhead } from '../../../shared-core/src/options/index.js';
import { ALL_SUMS } from '../../../shared-core/src/protocol/common.js';
import { canonicalUri } from '../../../shared-core/src/workspace/index.js';
import { allowanceOfRequest, withShare } from '../allowance.js';
import { withDependents } from '../dependents.js';
import { evidenceOf } from '../evidence.js';
import { answer, type Feature } from '../feature.js';
import {
  type CancellationToken,
  type CodeAction,
  CodeActionKind,
  type Command,
  type Diagnostic,
  type Range,
} from '../lsp.js';
import type { Analysis, Session } from '../session.js';
import { inSlices, pauses } from '../slices.js';
import { toCautiousEdit, toDiagnostic } from '../toLsp.js';
import { profilesToName } from './codeActions/fromLibrary.js';
import { actionsInProfile } from './codeActions/inProfile.js';
import { laterDataOf, mayBeLater, resolved } from './codeActions/later.js';

const FIX_ALL = `${CodeActionKind.SourceFixAll}.countersum`;

/** Quick fixes at problems, choices at option bytes, and the repair of all sums when saving. */
export const codeActions: Feature = {
  capabilities: (session) => ({
    codeActionProvider: {
      codeActionKinds: [CodeActionKind.QuickFix, ALL_SUMS, CodeActionKind.RefactorRewrite, FIX_ALL],
      ...(mayBeLater(session) && { resolveProvider: true }),
    },
  }),
  register: (connection, session) => {
    connection.onCodeAction(({ textDocument: { uri }, range, context }, cancel) => {
      const open = session.documents.get(canonicalUri(uri));
      if (open !== undefined && open.kind !== 'dump') return actionsInProfile(session, open, range, context.only);
      return answer(session, uri, (explained) => actionsAt(session, explained, range, context.only, cancel), []);
    });
    connection.onCodeActionResolve((action, cancel) => resolved(connection, session, action, cancel));
  },
};

/** A fix, and where it is offered. */
interface Offered {
  readonly fix: Fix;
  readonly kind: string;
  readonly diagnostics?: readonly Diagnostic[];
}

/**
 * What can be done in a range; `only` names the kinds that are wanted. Each wish is worked out once, however often it is
 * offered, and all of them together take no more work than one request may.
 */
async function actionsAt(
  session: Session,
  explained: Analysis,
  range: Range,
  only: readonly string[] | undefined,
  cancel: CancellationToken,
): Promise<CodeAction[]> {
  const allowance = allowanceOfRequest();
  const pause = pauses(cancel);
  const offered: Offered[] = [];
  for await (const one of offeredAt(session, explained, range, only, allowance, cancel)) offered.push(one);
  const wishes = new Map(offered.flatMap(({ fix }) => (fix.kind === 'wish' ? [[keyOf(fix), fix] as const] : [])));
  const found = new Map<string, ChangeFix | undefined>();
  const subject = wishes.size > 0 ? await withDependents(session, explained) : explained;
  for (const [key, wish] of wishes) {
    await pause();
    const left = wishes.size - found.size;
    found.set(
      key,
      await inSlices(
        withShare(allowance, left, (share) => workOut(subject, wish, share)),
        cancel,
      ),
    );
  }
  const named =
    wantsKind(only, CodeActionKind.QuickFix) && explained.profile.kind === 'none' && range.start.line === 0
      ? await profilesToName(session, explained.file, pause)
      : [];
  const actions = offered.flatMap(({ fix, kind, diagnostics }): readonly CodeAction[] => {
    const done = fix.kind === 'wish' ? found.get(keyOf(fix)) : fix;
    if (fix.kind === 'wish' && isNothing(done)) return [];
    const action =
      done === undefined ? toLaterAction(session, explained, fix, kind) : toAction(session, explained, done, kind);
    return [{ ...action, ...(diagnostics && { diagnostics: [...diagnostics] }) }];
  });
  return [...named, ...withoutRepeats(actions)];
}

function wantsKind(only: readonly string[] | undefined, kind: string): boolean {
  return only === undefined || only.some((wanted) => kind === wanted || kind.startsWith(`${wanted}.`));
}

function keyOf({ wish }: WishFix): string {
  return wish.kind === 'set' ? `${wish.raw} ${wish.id}` : wish.kind;
}

/** Whether nothing would change: such a wish is met already. */
function isNothing(done: Fix | undefined): boolean {
  return done?.kind === 'change' && done.result.ok && done.result.value.edits.length === 0;
}

/** Everything that is offered in a range, with wishes that are not worked out. */
async function* offeredAt(
  session: Session,
  explained: Analysis,
  range: Range,
  only: readonly string[] | undefined,
  allowance: ReturnType<typeof allowanceOfRequest>,
  cancel: CancellationToken,
): AsyncGenerator<Offered, void, undefined> {
  const wants = (kind: string) => wantsKind(only, kind);
  // What was read back, or is only to compare with, stays as it is: only what leaves its bytes alone is offered.
  const isEvidence = (await evidenceOf(session, explained)) !== undefined;
  if (!isEvidence && only !== undefined && wants(FIX_ALL)) {
    const fix = fixForSaving(explained);
    if (fix !== undefined) yield { fix, kind: FIX_ALL };
  }
  let sums = !wants(CodeActionKind.QuickFix) && wants(ALL_SUMS);
  if (wants(CodeActionKind.QuickFix)) {
    const commands = session.client.initializationOptions?.commands === true;
    const pause = pauses(cancel);
    const problems = problemsIn(explained, range);
    const subject = problems.length > 0 ? await withDependents(session, explained) : explained;
    for (const problem of problems) {
      await pause();
      const diagnostics = [toDiagnostic(session, explained.file, problem)];
      for (const fix of await inSlices(fixesForInSteps(subject, problem, commands, allowance), cancel))
        if (!isEvidence || leavesAlone(fix)) yield { fix, kind: CodeActionKind.QuickFix, diagnostics };
      sums ||= problem.code === 'line-sum' || problem.code === 'total-sum';
    }
  }
  if (isEvidence) return;
  if (sums) yield { fix: { ...FIX_EVERYTHING, caution: cautionAhead(explained.dump, []) }, kind: ALL_SUMS };
  if (wants(CodeActionKind.RefactorRewrite)) {
    const { line, character } = range.start;
    const commands = session.client.initializationOptions?.commands === true;
    if (commands && explained.profile.kind === 'read' && headerOf(explained.dump, 'profile')?.row === line)
      yield { fix: SIMILAR, kind: CodeActionKind.RefactorRewrite };
    for (const fix of optionFixes(explained, line, character)) yield { fix, kind: CodeActionKind.RefactorRewrite };
  }
}

/** At the header that names the profile. */
const SIMILAR: CommandFix = {
  kind: 'command',
  title: phrase('Use Profile in Similar Dumps'),
  command: 'similar',
};

function leavesAlone(fix: Fix): boolean {
  return fix.kind === 'command' && fix.command !== 'rebalance';
}

function problemsIn(explained: Analysis, { start: from, end: to }: Range) {
  return checkDump(explained).filter(
    ({ row, start, end }) =>
      row >= from.line &&
      row <= to.line &&
      (row > from.line || end >= from.character) &&
      (row < to.line || start <= to.character),
  );
}

/** Of several problems with one fix, the fix once, for all of them. */
function withoutRepeats(actions: readonly CodeAction[]): CodeAction[] {
  const kept = new Map<string, CodeAction>();
  for (const action of actions) {
    const { diagnostics, isPreferred: _, ...does } = action;
    const key = JSON.stringify(does);
    const before = kept.get(key);
    kept.set(
      key,
      before === undefined
        ? action
        : { ...before, ...(diagnostics && { diagnostics: [...(before.diagnostics ?? []), ...diagnostics] }) },
    );
  }
  return [...kept.values()];
}

function toAction(session: Session, explained: Analysis, fix: Fix, kind: string): CodeAction {
  const { say, client } = session;
  const title = oneLine(say(titleOf(fix)));
  if (fix.kind === 'command') return { title, kind, command: toCommand(explained, title, fix) };
  if (fix.kind === 'wish') return toAction(session, explained, notWorkedOut(fix), kind);
  const { result } = fix;
  if (!result.ok) {
    // A client that cannot show a greyed-out action still shows why there is none.
    const greys = client.capabilities.textDocument?.codeAction?.disabledSupport === true;
    const why = oneLine(say(result.why));
    return greys ? { title, kind, disabled: { reason: why } } : { title: `${title} – ${why}`, kind };
  }
  return {
    title,
    kind,
    edit: toCautiousEdit(session, explained, title, result.value),
    ...(fix.preferred ? { isPreferred: true } : {}),
  };
}

/** A wish that was not worked out: worked out once it is chosen, where the client can wait for that. */
function toLaterAction(session: Session, explained: Analysis, fix: Fix, kind: string): CodeAction {
  if (fix.kind !== 'wish' || !mayBeLater(session)) return toAction(session, explained, fix, kind);
  return { title: oneLine(session.say(titleOf(fix))), kind, data: laterDataOf(explained, fix.wish) };
}

const COMMANDS: Readonly<Record<CommandFix['command'], string>> = {
  learn: 'countersum.learn',
  rebalance: 'countersum.rebalance',
  readAs: 'countersum._readAs',
  openProfile: 'countersum._openProfile',
  heading: 'countersum._alwaysHeading',
  similar: 'countersum.useForSimilar',
};

function toCommand({ file, profileFile, dump }: Analysis, title: string, { command, argument }: CommandFix): Command {
  const profile =
    command === 'openProfile'
      ? [dump.profile.flaw?.span.file ?? profileFile, dump.profile.flaw?.span.start]
      : command === 'heading'
        ? [profileFile]
        : [];
  return {
    title,
    command: COMMANDS[command],
    arguments: [file, ...(argument === undefined ? [] : [argument]), ...profile],
  };
}
