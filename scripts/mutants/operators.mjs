// What can be changed at one place of a program: small faults as people make them. Each is the text that takes the place
// of an expression; of a statement, nothing does.
import { SyntaxKind } from 'typescript/unstable/ast';

/** Operators and what they are taken for. Of "+", only where no text is in sight: there it joins. */
const SWAPPED = {
  '<': ['<='],
  '<=': ['<'],
  '>': ['>='],
  '>=': ['>'],
  '===': ['!=='],
  '!==': ['==='],
  '-': ['+'],
  '*': ['/'],
  '/': ['*'],
  '%': ['*'],
  '&': ['|'],
  '|': ['&'],
  '^': ['&'],
  '<<': ['>>'],
  '>>': ['<<'],
  '>>>': ['<<'],
  '+=': ['-='],
  '-=': ['+='],
  '&&': ['||'],
  '||': ['&&'],
};

/** Methods that may be left out of a chain, and those that are taken for another. */
const LEFT_OUT = ['filter', 'sort', 'toSorted', 'slice', 'reverse', 'trim', 'trimEnd', 'toUpperCase', 'toLowerCase'];
const RENAMED = { some: 'every', every: 'some', startsWith: 'endsWith', min: 'max', max: 'min', floor: 'ceil' };

/** Every fault at a node: what it is called and the text that takes its place. */
export function faultsAt(node, file) {
  const text = (one) => file.text.slice(one.getStart(file), one.end);
  switch (node.kind) {
    case SyntaxKind.BinaryExpression:
      return binaryFaults(node, text);
    case SyntaxKind.PrefixUnaryExpression:
      return node.operator === SyntaxKind.ExclamationToken || node.operator === SyntaxKind.MinusToken
        ? [`(${text(node.operand)})`]
        : [];
    case SyntaxKind.NumericLiteral:
      return numberFaults(Number(node.text));
    case SyntaxKind.BigIntLiteral:
      return [`(${text(node)} + 1n)`];
    case SyntaxKind.TrueKeyword:
      return ['false'];
    case SyntaxKind.FalseKeyword:
      return ['true'];
    case SyntaxKind.StringLiteral:
      return isCode(node) ? ["''"] : [];
    case SyntaxKind.ArrayLiteralExpression:
      return node.elements.map((_, left) => `[${withoutOne(node.elements, left, text)}]`);
    case SyntaxKind.CallExpression:
      return callFaults(node, text);
    default:
      return [];
  }
}

function binaryFaults({ left, right, operatorToken }, text) {
  const operator = text(operatorToken);
  const joined = (other) => `((${text(left)}) ${other} (${text(right)}))`;
  const isAssignment = operator === '+=' || operator === '-=';
  const swapped = (SWAPPED[operator] ?? []).map((other) =>
    isAssignment ? `(${text(left)} ${other} ${text(right)})` : joined(other),
  );
  if (operator === '+') return isText(left) || isText(right) ? [] : [joined('-')];
  if (operator === '&&' || operator === '||') return [...swapped, `(${text(left)})`, `(${text(right)})`];
  return operator === '??' ? [`(${text(left)})`] : swapped;
}

function isText(node) {
  const kinds = [SyntaxKind.StringLiteral, SyntaxKind.TemplateExpression, SyntaxKind.NoSubstitutionTemplateLiteral];
  return (
    kinds.includes(node.kind) ||
    (node.kind === SyntaxKind.BinaryExpression && (isText(node.left) || isText(node.right)))
  );
}

function numberFaults(number) {
  return number > 0 && number <= 64 ? [String(number + 1), String(number - 1)] : [String(number + 1)];
}

/** A word that a program goes by, as against a sentence for people. */
function isCode({ text, parent }) {
  if (!/^[a-z][a-z0-9-]+$/i.test(text)) return false;
  const isSaid = parent.kind === SyntaxKind.CallExpression && parent.expression.text === 'phrase';
  const isName =
    (parent.kind === SyntaxKind.PropertyAssignment &&
      parent.name.pos === parent.pos &&
      parent.initializer.text !== text) ||
    parent.kind === SyntaxKind.ElementAccessExpression;
  return !isSaid && !isName;
}

function withoutOne(elements, left, text) {
  return elements
    .filter((_, at) => at !== left)
    .map((element) => text(element))
    .join(', ');
}

function callFaults({ expression, arguments: given }, text) {
  if (expression.kind !== SyntaxKind.PropertyAccessExpression || expression.questionDotToken) return [];
  const name = expression.name.text;
  if (LEFT_OUT.includes(name)) return [text(expression.expression)];
  return !Object.hasOwn(RENAMED, name)
    ? []
    : [`${text(expression.expression)}.${RENAMED[name]}(${given.map(text).join(', ')})`];
}

/** Faults of a condition as a whole; one that compares is turned round already. */
export function conditionFaults(condition, isGuard) {
  if (isGuard) return ['false'];
  const isTurned =
    condition.kind === SyntaxKind.PrefixUnaryExpression ||
    (condition.kind === SyntaxKind.BinaryExpression &&
      [SyntaxKind.EqualsEqualsEqualsToken, SyntaxKind.ExclamationEqualsEqualsToken].includes(
        condition.operatorToken.kind,
      ));
  return isTurned ? [] : ['true', 'false'];
}

/** What a function may give in place of its answer, by the type that it says it has. */
export function answerFaults(type) {
  if (type === undefined) return [];
  if (/^(?:readonly\s.*|[\w.<>]+)\[\]$|^ReadonlyArray</s.test(type)) return ['[]'];
  if (type === 'boolean') return ['true', 'false'];
  return /(?:^|\|)\s*undefined\s*(?:\||$)/.test(type) ? ['undefined'] : [];
}
