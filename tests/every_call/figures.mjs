/**
 * @file Every figure, word and flag that the browser's code holds outside of what a function does: constants of a module, what a parameter
 * is where it is not given, what a field of a class begins with. Prints a line each, as `parts/undo-key.js LOOK_AGAIN_MS = 10_000`.
 */

import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { resolve } from "node:path";

const WEB = resolve(import.meta.dirname, "../../web");
const ts = createRequire(`${WEB}/package.json`)("typescript");
const LONGEST = 200;
const SHOWN = 80;

/** What is written, without what a function in it does: that is another's to hold. @param {any} node @param {any} source @returns {string} */
function written(node, source) {
  const inner = [];
  const met = (one) => {
    if (ts.isFunctionLike(one) && one.body) inner.push([one.body.getStart(source), one.body.end]);
    else ts.forEachChild(one, met);
  };
  met(node);
  const begin = node.getStart(source);
  let text = source.text.slice(begin, node.end);
  for (const [from, to] of inner.reverse()) text = `${text.slice(0, from - begin)}…${text.slice(to - begin)}`;
  const line = text.replace(/\s+/g, " ");
  if (line.length <= LONGEST) return line;
  return `${line.slice(0, SHOWN)} … ${line.length} letters, ${createHash("sha256")
    .update(line)
    .digest("hex")
    .slice(0, SHOWN / 10)}`;
}

/** @param {any} node @param {any} source @param {string} within @param {string[]} lines */
function tell(node, source, within, lines) {
  const name = node.name?.getText(source).replace(/\s+/g, " ") ?? "";
  const holds = ts.isVariableDeclaration(node)
    ? !within
    : ts.isParameter(node) || ts.isBindingElement(node) || ts.isPropertyDeclaration(node);
  if (holds && node.initializer && !ts.isArrowFunction(node.initializer))
    lines.push(`${within}${name} = ${written(node.initializer, source)}`);
  const goesOn =
    ts.isFunctionLike(node) || ts.isClassLike(node) || (ts.isVariableDeclaration(node) && ts.isArrowFunction(node.initializer ?? node));
  const inside = goesOn && name ? `${within}${name}.` : ts.isFunctionLike(node) && node.body && !within ? "(." : within;
  ts.forEachChild(node, (one) => tell(one, source, inside, lines));
}

const files = ["store", "parts", "rooms", "kernel"].flatMap((folder) =>
  readdirSync(`${WEB}/${folder}`, { recursive: true }).map((name) => `${folder}/${String(name).replaceAll("\\", "/")}`),
);
for (const path of files.filter((name) => name.endsWith(".js") && !name.includes("built/")).sort()) {
  const source = ts.createSourceFile(path, readFileSync(`${WEB}/${path}`, "utf8"), ts.ScriptTarget.Latest, true);
  const lines = [];
  tell(source, source, "", lines);
  for (const line of lines) console.log(`${path} ${line}`);
}
