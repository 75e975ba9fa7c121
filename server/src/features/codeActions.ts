import { type CodeAction, CodeActionKind, type Range } from 'vscode-languageserver';
import { ALL_SUMS, checkDump } from '../../../shared-core/src/index.js';
import { answer, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toDiagnostic, toWorkspaceEdit } from '../toLsp.js';
import type { Fix } from './fixes/fix.js';
import { fixesFor } from './fixes/fixesFor.js';
import { optionFixes } from './fixes/optionFixes.js';
import { repairEverything, rightSumsFix } from './fixes/sumFixes.js';

const FIX_ALL = `${CodeActionKind.SourceFixAll}.countersum`;

/** Quick fixes at problems, choices at option bytes, and the repair of all sums when saving. */
export const codeActions: Feature = {
  capabilities: () => ({
    codeActionProvider: {
      codeActionKinds: [CodeActionKind.QuickFix, ALL_SUMS, CodeActionKind.RefactorRewrite, FIX_ALL],
    },
  }),
  register: (connection, session) => {
    connection.onCodeAction(({ textDocument, range, context }) =>
      answer(session, textDocument.uri, (explained) => actionsAt(session, explained, range, context.only), []),
    );
  },
};

/** What can be done in a range; `only` names the kinds that are wanted. */
export function actionsAt(session: Session, explained: Analysis, range: Range, only?: readonly string[]): CodeAction[] {
  const wants = (kind: string) =>
    only === undefined || only.some((wanted) => kind === wanted || kind.startsWith(`${wanted}.`));
  const actions: CodeAction[] = [];
  if (only !== undefined && wants(FIX_ALL)) {
    const fix = rightSumsFix(explained);
    if (fix !== undefined) actions.push(toAction(session, explained, fix, FIX_ALL));
  }
  if (wants(CodeActionKind.QuickFix)) actions.push(...quickFixes(session, explained, range));
  else if (wants(ALL_SUMS)) actions.push(...allSums(session, explained));
  if (wants(CodeActionKind.RefactorRewrite)) {
    actions.push(
      ...optionFixes(explained, range.start).map((fix) =>
        toAction(session, explained, fix, CodeActionKind.RefactorRewrite),
      ),
    );
  }
  return actions;
}

function quickFixes(session: Session, explained: Analysis, range: Range): CodeAction[] {
  const here = checkDump(explained).filter(
    ({ row, start, end }) =>
      row >= range.start.line &&
      row <= range.end.line &&
      (row > range.start.line || end >= range.start.character) &&
      (row < range.end.line || start <= range.end.character),
  );
  const commands = session.client.initializationOptions?.commands === true;
  const actions = here.flatMap((problem) =>
    fixesFor(explained, problem, commands).map((fix) => ({
      ...toAction(session, explained, fix, CodeActionKind.QuickFix),
      diagnostics: [toDiagnostic(session, explained.file, problem)],
    })),
  );
  const sums = here.some(({ code }) => code === 'line-sum' || code === 'total-sum');
  return sums ? [...actions, ...allSums(session, explained)] : actions;
}

function allSums(session: Session, explained: Analysis): CodeAction[] {
  const fix = repairEverything(explained);
  return fix === undefined ? [] : [toAction(session, explained, fix, ALL_SUMS)];
}

function toAction(session: Session, explained: Analysis, fix: Fix, kind: string): CodeAction {
  const { say, client } = session;
  const title = say(fix.title);
  if (fix.kind === 'refused') {
    // A client that cannot show a greyed-out action still shows why there is none.
    const greys = client.capabilities.textDocument?.codeAction?.disabledSupport === true;
    const why = say(fix.why);
    return greys ? { title, kind, disabled: { reason: why } } : { title: `${title} – ${why}`, kind };
  }
  if (fix.kind === 'command')
    return {
      title,
      kind,
      command: { title, command: fix.command, arguments: [explained.file, ...(fix.argument ? [fix.argument] : [])] },
    };
  return {
    title,
    kind,
    edit: toWorkspaceEdit(session, explained, fix.edits),
    ...(fix.preferred ? { isPreferred: true } : {}),
  };
}
