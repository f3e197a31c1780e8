/**
 * Every string of the app that a person can meet, one JSON line each: {file, line, words}. Read from the syntax, not by pattern: text
 * and spoken attributes of templates, and plain strings that read like words. Comments, addresses and styles are nobody's words.
 */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const [compiler, ...files] = process.argv.slice(2);
const ts = createRequire(import.meta.url)(compiler);
const SPOKEN = /(?:aria-label|aria-description|placeholder|title|alt)\s*=\s*"([^"]*)"/g;
const HOLE = "\u2026";

const CODE = /[{}=]|:not\(|^[.#[(]|^[a-z]+-[a-z-]+[ .>[]|^(?:main|nav|input|button)[ ,.>[]/; // selectors, styles, scripts

/** Whether a plain string reads like words to a person. @param {string} text */
const saidToSomebody = (text) => /[a-z]/i.test(text) && /\s/.test(text.trim()) && !CODE.test(text.trim());

/** @param {any} template the whole of a template, its holes as an ellipsis */
const whole = (template) =>
  template.head ? template.head.text + template.templateSpans.map(({ literal }) => HOLE + literal.text).join("") : template.text;

/** Texts between the tags, then what a screen reader or an empty field says. @param {string} text */
function* ofTemplate(text) {
  const bare = text.replace(/<style[\s\S]*?<\/style>/g, "");
  for (const [, spoken] of bare.matchAll(SPOKEN)) yield spoken;
  const tagless = bare.replace(/<[^>]*>/g, "\n");
  for (const line of tagless.split(/\n+/)) if (/[a-z]{2}/i.test(line)) yield line;
}

/** @param {any} node @param {(node: any, words: string) => void} met */
function walk(node, met) {
  if (ts.isImportDeclaration(node) || ts.isExportDeclaration(node)) return;
  if (ts.isTaggedTemplateExpression(node)) {
    const tag = node.tag.getText();
    if (tag === "html" || tag === "svg") for (const words of ofTemplate(whole(node.template))) met(node, words);
    if (ts.isTemplateExpression(node.template)) node.template.templateSpans.forEach((span) => walk(span.expression, met));
    return;
  }
  if (ts.isStringLiteral(node) || ts.isNoSubstitutionTemplateLiteral(node)) {
    if (saidToSomebody(node.text)) met(node, node.text);
  } else if (ts.isTemplateExpression(node)) {
    if (saidToSomebody(whole(node))) met(node, whole(node));
  }
  ts.forEachChild(node, (child) => walk(child, met));
}

for (const file of files) {
  const source = ts.createSourceFile(file, readFileSync(file, "utf8"), ts.ScriptTarget.Latest, true);
  walk(source, (node, words) => {
    const line = source.getLineAndCharacterOfPosition(node.getStart()).line + 1;
    console.log(JSON.stringify({ file, line, words: words.replace(/\s+/g, " ").trim() }));
  });
}
