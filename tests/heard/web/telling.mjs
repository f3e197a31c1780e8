/**
 * @file A hook of Node's: the app's modules come in with every function that has a name wrapped (`listen.mjs`). What was written anew once is
 * kept, by what it was: to read JavaScript's syntax takes longer than most tests.
 */

import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const WEB = resolve(import.meta.dirname, "../../../web");
const KEPT = resolve(import.meta.dirname, "../../../.setup/heard-web");
const PARTS = /^(kernel|parts|rooms|store)\/(?!built\/).*\.js$/;
const HOW = 2;
let compiler;

/** @param {string} url @param {any} context @param {any} next */
export async function load(url, context, next) {
  const read = await next(url, context);
  if (!url.startsWith("file:") || !read.source) return read;
  const path = relative(WEB, fileURLToPath(url.split("?")[0]));
  return PARTS.test(path) ? { ...read, source: told(path, String(read.source)) } : read;
}

/** @param {string} path @param {string} text */
function told(path, text) {
  const file = `${KEPT}/${createHash("sha256").update(`${HOW} ${path} ${text}`).digest("hex")}.js`;
  if (existsSync(file)) return readFileSync(file, "utf8");
  const made = wrapped(path, text);
  mkdirSync(KEPT, { recursive: true });
  writeFileSync(`${file}.${process.pid}`, made);
  renameSync(`${file}.${process.pid}`, file);
  return made;
}

/** @param {string} path @param {string} text */
function wrapped(path, text) {
  compiler ??= createRequire(`${WEB}/package.json`)("typescript");
  const ts = compiler;
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.Latest, true);
  const added = [];
  const walk = (node, inside) => {
    const name = nameOf(ts, node).replace(/\W/g, "_");
    const here = name ? (inside ? `${inside}.${name}` : name) : inside;
    if (name && node.body && ts.isFunctionLike(node) && !node.asteriskToken && !ts.isConstructorDeclaration(node))
      wrap(ts, source, node, `${path} ${here}`, added);
    ts.forEachChild(node, (child) => walk(child, here));
  };
  walk(source, "");
  let made = text;
  for (const [at, , words] of added.sort((a, b) => b[0] - a[0] || b[1] - a[1])) made = made.slice(0, at) + words + made.slice(at);
  return made;
}

/** Its own, or that of what it is kept as. @param {any} ts @param {any} node */
function nameOf(ts, node) {
  if (ts.isClassDeclaration(node) || ts.isFunctionDeclaration(node) || ts.isMethodDeclaration(node)) return node.name?.getText() ?? "";
  if (ts.isGetAccessor(node) || ts.isSetAccessor(node)) return `${ts.isGetAccessor(node) ? "get" : "set"}_${node.name.getText()}`;
  if (!ts.isArrowFunction(node) && !ts.isFunctionExpression(node)) return "";
  const { parent } = node;
  return ts.isVariableDeclaration(parent) || ts.isPropertyAssignment(parent) || ts.isPropertyDeclaration(parent)
    ? parent.name.getText()
    : "";
}

/** @param {any} ts @param {any} source @param {any} node @param {string} name @param {any[]} added */
function wrap(ts, source, node, name, added) {
  const given = node.parameters.flatMap((one) => bound(ts, one.name)).filter((one) => one !== "this");
  const isLater = node.modifiers?.some((one) => one.kind === ts.SyntaxKind.AsyncKeyword);
  const start = `globalThis.${isLater ? "heardLater" : "heardAtOnce"}(${JSON.stringify(name)}, [${given}], ${isLater ? "async " : ""}() => `;
  const [from, to] = [node.body.getStart(source), node.body.end];
  if (ts.isBlock(node.body)) added.push([from, from, `{ return ${start}`], [to, -from, "); }"]);
  else added.push([from, from, `${start}(`], [to, -from, "))"]);
}

/** @param {any} ts @param {any} name */
function bound(ts, name) {
  if (ts.isIdentifier(name)) return [name.text];
  return name.elements.flatMap((one) => (ts.isOmittedExpression(one) ? [] : bound(ts, one.name)));
}
