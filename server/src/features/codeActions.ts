import { type CodeAction, CodeActionKind, type Command, type Range } from 'vscode-languageserver';
import {
  ALL_SUMS,
  type CommandFix,
  checkDump,
  type Fix,
  fixEverything,
  fixesFor,
  fixForSaving,
  oneLine,
  optionFixes,
} from '../../../shared-core/src/index.js';
import { answer, type Feature } from '../feature.js';
import type { Analysis, Session } from '../session.js';
import { toCautiousEdit, toDiagnostic } from '../toLsp.js';

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
    const fix = fixForSaving(explained);
    if (fix !== undefined) actions.push(toAction(session, explained, fix, FIX_ALL));
  }
  if (wants(CodeActionKind.QuickFix)) actions.push(...quickFixes(session, explained, range));
  else if (wants(ALL_SUMS)) actions.push(...allSums(session, explained));
  if (wants(CodeActionKind.RefactorRewrite)) {
    actions.push(
      ...optionFixes(explained, range.start.line, range.start.character).map((fix) =>
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
  const fix = fixEverything(explained);
  return fix === undefined ? [] : [toAction(session, explained, fix, ALL_SUMS)];
}

function toAction(session: Session, explained: Analysis, fix: Fix, kind: string): CodeAction {
  const { say, client } = session;
  const title = oneLine(say(fix.title));
  if (fix.kind === 'command') return { title, kind, command: toCommand(explained, title, fix) };
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

const COMMANDS: Readonly<Record<CommandFix['command'], string>> = {
  learn: 'countersum.learn',
  rebalance: 'countersum.rebalance',
  readAs: 'countersum._readAs',
  openProfile: 'countersum._openProfile',
};

function toCommand({ file, profileFile, dump }: Analysis, title: string, { command, argument }: CommandFix): Command {
  const profile = command === 'openProfile' ? [profileFile, dump.profile.flaw?.span.start] : [];
  return {
    title,
    command: COMMANDS[command],
    arguments: [file, ...(argument === undefined ? [] : [argument]), ...profile],
  };
}
