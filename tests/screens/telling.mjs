/**
 * @file A hook of Node's that reads the app's modules in with a word in every function of theirs: that it is called, on what and with what, and
 * how it may be asked once more (`once_more.mjs` hears it). Beside it stand the figures and words that each function compares with, and a
 * word in every loop, so that none is without an end.
 */

import { createHash } from "node:crypto";
import { existsSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { fileURLToPath } from "node:url";

const PLACE = /\/web\/((?:store|parts|rooms|kernel)\/.*\.js)$/;
const WORD_MOST = 24;
let ts;
let given = { web: "", folder: "" };

/** @param {{web: string, folder: string}} how `folder`: where what was read in is kept, for the next play */
export async function initialize(how) {
  given = how;
}

/** @param {string} url @param {any} context @param {Function} next */
export async function load(url, context, next) {
  const [, module] = PLACE.exec(url) ?? [];
  if (!module || module.includes("built/")) return next(url, context);
  const text = readFileSync(fileURLToPath(url), "utf8");
  const kept = `${given.folder}/${createHash("sha256").update(`${module}\n${text}`).digest("hex")}.js`;
  if (!existsSync(kept)) {
    writeFileSync(`${kept}.${process.pid}`, told(module, text));
    renameSync(`${kept}.${process.pid}`, kept); // whole or not at all
  }
  return { format: "module", shortCircuit: true, source: readFileSync(kept, "utf8") };
}

/** A module that tells of its calls. @param {string} module @param {string} text */
function told(module, text) {
  ts ??= createRequire(`${given.web}/package.json`)("typescript");
  const source = ts.createSourceFile(module, text, ts.ScriptTarget.Latest, true);
  const edits = [];
  const bounds = {};
  const constants = constantsOf(source);
  const met = new Map();
  const walk = (node, within) => {
    let inside = within;
    if (ts.isClassLike(node)) inside = `${within}${node.name?.text ?? "class"}.`;
    else if (ts.isFunctionLike(node) && node.body && !ts.isConstructorDeclaration(node)) {
      const called = numbered(met, `${within}${nameOf(node, source)}`);
      const name = `${module} ${called}`;
      inside = `${called}.`;
      const word = inFunction(node, name, source);
      if (word) {
        edits.push(...word);
        bounds[name] = boundsOf(node, constants);
      }
    } else if (ts.isWhileStatement(node) || ts.isDoStatement(node) || ts.isForStatement(node))
      edits.push(...inLoop(node.statement, source));
    ts.forEachChild(node, (one) => walk(one, inside));
  };
  walk(source, "");
  let written = text;
  for (const [at, words] of edits.map((edit, order) => [...edit, order]).sort(([a, , x], [b, , y]) => b - a || y - x))
    written = written.slice(0, at) + words + written.slice(at);
  return `${written}\nglobalThis.askedOnceMore.bounds(${JSON.stringify(bounds)});\n`;
}

/** A word at the head of what has a name to be called by; around what has none. */
function inFunction(node, name, source) {
  const said = JSON.stringify(name);
  if (ts.isArrowFunction(node) || ts.isFunctionExpression(node))
    return [[node.getStart(source), `globalThis.askedOnceMore.made(${said}, `], [node.end, ")"]]; // prettier-ignore
  const head = node.body.getStart(source) + 1;
  const again = (how) => [[head, `globalThis.askedOnceMore.called?.(${said}, ${how}, this, arguments);`]];
  if (ts.isFunctionDeclaration(node)) return node.name && again(node.name.text);
  if (!ts.isIdentifier(node.name) && !ts.isPrivateIdentifier(node.name)) return null;
  const own = `this.${node.name.text}`;
  if (ts.isGetAccessor(node)) return again(`() => ${own}`);
  if (ts.isSetAccessor(node)) return again(`(given) => void (${own} = given)`);
  return again(`(...given) => ${own}(...given)`);
}

/** @param {any} body @param {any} source */
function inLoop(body, source) {
  const begin = body.getStart(source);
  if (ts.isBlock(body)) return [[begin + 1, "globalThis.askedOnceMore.turn();"]];
  return [[begin, "{globalThis.askedOnceMore.turn();"], [body.end, "}"]]; // prettier-ignore
}

/** What a function is called, by itself or by what it is given to. */
function nameOf(node, source) {
  if (node.name) return node.name.getText(source);
  const { parent } = node;
  if (ts.isVariableDeclaration(parent) || ts.isPropertyAssignment(parent) || ts.isPropertyDeclaration(parent))
    return parent.name.getText(source);
  if (ts.isCallExpression(parent)) return `for ${parent.expression.name?.getText(source) ?? (parent.expression.text || "it")}`;
  return "one";
}

/** @param {Map<string, number>} met @param {string} name */
function numbered(met, name) {
  const number = (met.get(name) ?? 0) + 1;
  met.set(name, number);
  return number === 1 ? name : `${name} ${number}`;
}

/** The figures and words of each constant of a module. @returns {Map<string, any[]>} */
function constantsOf(source) {
  const found = new Map();
  for (const statement of source.statements) {
    if (!ts.isVariableStatement(statement)) continue;
    for (const { name, initializer } of statement.declarationList.declarations) {
      if (!initializer || !ts.isIdentifier(name) || ts.isFunctionLike(initializer)) continue;
      found.set(name.text, literals(initializer, new Map()).slice(0, 8));
    }
  }
  return found;
}

/** @param {any} node @param {Map<string, any[]>} constants @returns {any[]} */
function literals(node, constants) {
  const found = [];
  const met = (one) => {
    if (ts.isNumericLiteral(one)) found.push(Number(one.text));
    else if (ts.isStringLiteralLike(one) && !ts.isTaggedTemplateExpression(one.parent) && one.text.length < WORD_MOST) found.push(one.text);
    else if (ts.isIdentifier(one)) found.push(...(constants.get(one.text) ?? []));
    ts.forEachChild(one, met);
  };
  met(node);
  return found;
}

/** @param {any} node @param {Map<string, any[]>} constants @returns {[number[], string[]]} what it compares with */
function boundsOf(node, constants) {
  const all = [...new Set(literals(node, constants))];
  return [all.filter((one) => typeof one === "number"), all.filter((one) => typeof one === "string")];
}
