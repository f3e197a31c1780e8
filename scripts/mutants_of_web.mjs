/**
 * Where a mistake can be planted in the browser's JavaScript, one JSON line each: {path, line, reached_at, what, start, end, instead}; or, asked
 * with `mark`, the files written anew with a call at the head of every function that says it was reached. Read from the syntax; text is
 * changed at one place and otherwise kept. `reached_at` is where the innermost function begins, 0 for what runs as a file is read in.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";

const [compiler, task, ...files] = process.argv.slice(2);
const ts = createRequire(import.meta.url)(compiler);
const { SyntaxKind: Kind } = ts;

const SIGNS = {
  "===": ["compare", "!=="], "!==": ["compare", "==="], "<": ["compare", "<="], "<=": ["compare", "<"], ">": ["compare", ">="],
  ">=": ["compare", ">"], "+": ["sum", "-"], "-": ["sum", "+"], "*": ["sum", "+"], "/": ["sum", "*"], "%": ["sum", "*"],
  "&&": ["logic", "||"], "||": ["logic", "&&"], "??": ["logic", "&&"],
}; // prettier-ignore

/** Lit draws nothing of either: one for the other is no mistake. */
const NOTHING = ["undefined", "nothing"];
const isText = (node) => ts.isStringLiteral(node) || ts.isTemplateLiteral?.(node) || ts.isTemplateExpression(node) || ts.isNoSubstitutionTemplateLiteral(node);
const isFunction = (node) => ts.isFunctionLike(node) && node.body;

/** What stands instead of a piece of this node's own text: [kind, from, to, instead]. @param {any} node @param {any} source */
function* mistakes(node, source) {
  const whole = [node.getStart(source), node.end];
  if (ts.isBinaryExpression(node)) {
    const [what, instead] = SIGNS[node.operatorToken.getText(source)] ?? [];
    const joins = what === "sum" && (isText(node.left) || isText(node.right)); // texts: turning the sign only breaks them loudly
    if (what && !joins) yield [what, node.operatorToken.getStart(source), node.operatorToken.end, instead];
  } else if (ts.isPrefixUnaryExpression(node) && node.operator === Kind.ExclamationToken) {
    yield ["not", ...whole, `(${node.operand.getText(source)})`];
  } else if (ts.isIfStatement(node) || ts.isWhileStatement(node)) {
    yield ["condition", node.expression.getStart(source), node.expression.end, `!(${node.expression.getText(source)})`];
  } else if (ts.isConditionalExpression(node)) {
    yield ["condition", node.condition.getStart(source), node.condition.end, `!(${node.condition.getText(source)})`];
  } else if (ts.isNumericLiteral(node)) {
    yield ["constant", ...whole, `(${node.getText(source)} + 1)`];
  } else if (node.kind === Kind.TrueKeyword || node.kind === Kind.FalseKeyword) {
    yield ["constant", ...whole, node.kind === Kind.TrueKeyword ? "false" : "true"];
  } else if (ts.isReturnStatement(node) && node.expression && !NOTHING.includes(node.expression.getText(source))) {
    yield ["return", ...whole, "return undefined;"];
  } else if (ts.isExpressionStatement(node) && isCall(node.expression)) {
    yield ["call", ...whole, ";"];
  }
}

/** A call for its effect, waited for or not; `super()` cannot be left out. @param {any} node */
function isCall(node) {
  const bare = ts.isAwaitExpression(node) ? node.expression : node;
  return ts.isCallExpression(bare) && bare.expression.kind !== Kind.SuperKeyword;
}

/** @param {any} node @param {number} reach @param {(node: any, reach: number) => void} met */
function walk(node, reach, met) {
  if (ts.isImportDeclaration(node)) return;
  met(node, reach);
  const inside = isFunction(node) ? node.getStart() : reach;
  ts.forEachChild(node, (child) => walk(child, inside, met));
}

/** Every place of one file. @param {string} path @param {any} source */
function tellSites(path, source) {
  walk(source, 0, (node, reach) => {
    for (const [what, start, end, instead] of mistakes(node, source)) {
      const line = source.getLineAndCharacterOfPosition(start).line + 1;
      console.log(JSON.stringify({ path, line, reached_at: reach, what, start, end, instead }));
    }
  });
}

/** The file with a word at the head of every function. @param {string} path @param {any} source */
function mark(path, source) {
  const added = [[source.end, `\nglobalThis.reached?.("${path}", 0);\n`]];
  walk(source, 0, (node) => {
    if (!isFunction(node)) return;
    const says = `globalThis.reached?.("${path}", ${node.getStart(source)})`;
    if (ts.isBlock(node.body)) added.push([node.body.getStart(source) + 1, `${says};`]);
    else added.push([node.body.getStart(source), `(${says}, `], [node.body.end, ")"]);
  });
  let text = source.text;
  const later = ([a], [b]) => b - a;
  for (const [at, words] of added.reverse().sort(later)) text = text.slice(0, at) + words + text.slice(at);
  writeFileSync(path, text);
}

for (const path of files) {
  const source = ts.createSourceFile(path, readFileSync(path, "utf8"), ts.ScriptTarget.Latest, true);
  if (task === "mark") mark(path, source);
  else tellSites(path, source);
}
