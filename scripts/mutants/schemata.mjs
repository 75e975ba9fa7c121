// Puts all mutants of a file into its text at once, each behind a switch: so that one build serves for all of them.
import { SyntaxKind } from 'typescript/unstable/ast';
import { isTypeNode } from 'typescript/unstable/ast/is';
import { answerFaults, conditionFaults, faultsAt } from './operators.mjs';

const AS_IT_IS = [
  SyntaxKind.ImportDeclaration,
  SyntaxKind.ExportDeclaration,
  SyntaxKind.InterfaceDeclaration,
  SyntaxKind.TypeAliasDeclaration,
  SyntaxKind.TypeParameter,
];

const FUNCTIONS = [
  SyntaxKind.FunctionDeclaration,
  SyntaxKind.FunctionExpression,
  SyntaxKind.ArrowFunction,
  SyntaxKind.MethodDeclaration,
];

/**
 * The text of a file with its mutants. `number` gives each its own; "__M(7)" is true where mutant 7 is switched on.
 * Only those of `switched` have a switch, where it is given.
 */
export function withMutants(file, path, number, switched) {
  const mutants = [];
  const source = file.text;
  const lines = lineStarts(source);
  const has = (id) => switched === undefined || switched.has(id);

  const add = (node, from, to) => {
    const start = node.getStart(file);
    const line = lineOf(lines, start);
    const id = number();
    const inLine = source.slice(lines[line], lines[line + 1]).trim();
    mutants.push({
      id,
      path,
      line: line + 1,
      column: start - lines[line] + 1,
      from: short(from),
      to: short(to),
      inLine,
      change: { start, end: node.end, text: to === 'nothing' ? ';' : to },
    });
    return id;
  };

  const childrenOf = (node) => {
    const children = [];
    node.forEachChild((child) => {
      children.push(child);
    });
    return children.sort((a, b) => a.pos - b.pos);
  };

  /** The text of a node, what stands before it included, with the mutants of all that is in it. */
  const emit = (node) => {
    if (AS_IT_IS.includes(node.kind) || isTypeNode(node)) return source.slice(node.pos, node.end);
    const start = node.getStart(file);
    let text = '';
    let at = start;
    for (const child of childrenOf(node)) {
      // The first child begins before what stands before the node.
      const from = Math.max(child.pos, at);
      text += source.slice(at, from) + emit(child).slice(from - child.pos);
      at = child.end;
    }
    text += source.slice(at, node.end);
    return source.slice(node.pos, start) + withSwitches(node, text);
  };

  const withSwitches = (node, text) => {
    const plain = source.slice(node.getStart(file), node.end);
    if (node.kind === SyntaxKind.ExpressionStatement && !isDirective(node)) {
      const id = add(node, plain, 'nothing');
      return has(id) ? `{ if (!__M(${id})) { ${text} } }` : text;
    }
    const faults = mayChange(node) ? [...faultsAt(node, file), ...asCondition(node), ...asAnswer(node)] : [];
    if (faults.length === 0) return text;
    const choices = [...new Set(faults)].map((fault) => ({ id: add(node, plain, fault), fault }));
    const tried = choices.filter(({ id }) => has(id));
    if (tried.length === 0) return text;
    return `(${tried.map(({ id, fault }) => `__M(${id}) ? ${fault} : `).join('')}${text})`;
  };

  const asCondition = (node) => {
    const { parent } = node;
    if (parent.kind === SyntaxKind.ConditionalExpression && parent.condition === node)
      return conditionFaults(node, false);
    // A loop that never ends shows nothing that one which never begins does not.
    if (parent.kind === SyntaxKind.WhileStatement && parent.expression === node) return ['false'];
    if (parent.kind !== SyntaxKind.IfStatement || parent.expression !== node) return [];
    return conditionFaults(node, parent.elseStatement === undefined && leaves(parent.thenStatement));
  };

  const asAnswer = (node) => {
    const { parent } = node;
    const isReturned =
      (parent.kind === SyntaxKind.ReturnStatement && parent.expression === node) ||
      (parent.kind === SyntaxKind.ArrowFunction && parent.body === node && node.kind !== SyntaxKind.Block);
    if (!isReturned) return [];
    let around = parent;
    while (around !== undefined && !FUNCTIONS.includes(around.kind)) around = around.parent;
    const type = around?.type && source.slice(around.type.getStart(file), around.type.end);
    const isSame = (fault) => source.slice(node.getStart(file), node.end) === fault;
    return answerFaults(type).filter((fault) => !isSame(fault));
  };

  let text = '';
  let at = 0;
  for (const statement of file.statements) {
    text += source.slice(at, statement.pos) + emit(statement);
    at = statement.end;
  }
  return { text: text + source.slice(at), mutants };
}

/** Whether an expression can be put into brackets with others without a change of what is around it. */
function mayChange(node) {
  const { parent } = node;
  if (parent === undefined) return false;
  if (isExpressionOf(parent, node) && isInChain(parent)) return false;
  if (node.kind === SyntaxKind.ArrayLiteralExpression && isTarget(node)) return false;
  const isName =
    ('name' in parent && parent.name === node) || ('propertyName' in parent && parent.propertyName === node);
  const isKey = parent.kind === SyntaxKind.ComputedPropertyName || parent.kind === SyntaxKind.PropertyAssignment;
  if (isName || (isKey && parent.initializer !== node && parent.expression !== node)) return false;
  // "as const" and the name of a module are no values.
  return parent.kind !== SyntaxKind.LiteralType && parent.kind !== SyntaxKind.ExternalModuleReference;
}

function isExpressionOf(parent, node) {
  return 'expression' in parent && parent.expression === node;
}

/** Whether a part of a chain with "?." goes on after it, so that brackets would end it too early. */
function isInChain(node) {
  const links = [
    SyntaxKind.PropertyAccessExpression,
    SyntaxKind.ElementAccessExpression,
    SyntaxKind.CallExpression,
    SyntaxKind.NonNullExpression,
  ];
  if (!links.includes(node.kind)) return false;
  for (let at = node; at !== undefined && links.includes(at.kind); at = at.expression)
    if (at.questionDotToken) return true;
  return false;
}

/** Whether a list is what something is assigned to. */
function isTarget(node) {
  let { parent } = node;
  let child = node;
  while (parent.kind === SyntaxKind.ArrayLiteralExpression || parent.kind === SyntaxKind.SpreadElement) {
    child = parent;
    parent = parent.parent;
  }
  const isLeft = parent.kind === SyntaxKind.BinaryExpression && parent.left === child;
  return (
    (isLeft && parent.operatorToken.kind === SyntaxKind.EqualsToken) ||
    (parent.kind === SyntaxKind.ForOfStatement && parent.initializer === child)
  );
}

function isDirective({ expression }) {
  return expression.kind === SyntaxKind.StringLiteral;
}

/** Whether a statement ends what it stands in. */
function leaves(statement) {
  const ends = [
    SyntaxKind.ReturnStatement,
    SyntaxKind.ThrowStatement,
    SyntaxKind.ContinueStatement,
    SyntaxKind.BreakStatement,
  ];
  if (statement.kind !== SyntaxKind.Block) return ends.includes(statement.kind);
  const last = statement.statements.at(-1);
  return last !== undefined && leaves(last);
}

function lineStarts(text) {
  const starts = [0];
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) starts.push(at + 1);
  return [...starts, text.length];
}

function lineOf(starts, at) {
  let line = 0;
  while (line + 1 < starts.length - 1 && starts[line + 1] <= at) line++;
  return line;
}

function short(text) {
  const plain = text.replace(/\s+/g, ' ');
  return plain.length > 100 ? `${plain.slice(0, 99)}…` : plain;
}
