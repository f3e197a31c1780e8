/** The keyboard's short ways, for who sits at the table, and the sheet that tells them. */
import { html } from "lit";
import { showOver } from "./over.js";
import { go, ROOMS } from "./route.js";
import { showSearch } from "./search-sheet.js";

const KEPT = "honeyhold.single-keys";
/** @type {[string, string][]} */
const WAYS = [
  ["Alt + 1 to 6", "Counter, Shelf, Bench, Melt, Book, Settings"],
  ["/", "search: a person, an order, a lot, a note"],
  ["Enter", "opens the first one found"],
  ["Tab, Space", "to the next key, and press it"],
  ["Esc", "closes a drawing or this sheet"],
  ["?", "this sheet; Alt + / opens it too"],
];

/** Single keys can be turned off: speech input and a cat on the keys press them by mistake (WCAG 2.1.4). */
const singleKeys = () => localStorage.getItem(KEPT) !== "off";

/** Whether somebody is writing. @param {EventTarget | null} target */
const writes = (target) => target instanceof HTMLElement && Boolean(target.closest("input, textarea, select, [contenteditable]"));

/** @param {KeyboardEvent} event */
function pressed(event) {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || document.querySelector("dialog[open]")) return;
  const place = /^Digit([1-6])$/.exec(event.code)?.[1];
  if (event.altKey && place) go(ROOMS[Number(place) - 1]);
  else if (event.altKey && event.code === "Slash") showShortcuts();
  else if (!event.altKey && singleKeys() && !writes(event.target) && event.key === "?") showShortcuts();
  else if (!event.altKey && singleKeys() && !writes(event.target) && event.key === "/") showSearch();
  else return;
  event.preventDefault();
}

export function listenForShortcuts() {
  addEventListener("keydown", pressed);
}

export function showShortcuts() {
  const kept = (/** @type {Event} */ { target }) =>
    localStorage.setItem(KEPT, /** @type {HTMLInputElement} */ (target).checked ? "on" : "off");
  showOver(
    "sheet",
    (close) =>
      html`<h1 id="shortcuts-title">By keyboard</h1>
      <dl class="under">${WAYS.map(([keys, does]) => html`<div><dt><kbd>${keys}</kbd></dt><dd>${does}</dd></div>`)}</dl>
      <label class="tickline"><input type="checkbox" .checked=${singleKeys()} @change=${kept} /><span>single keys ( / and ? ) do this</span></label>
      <button type="button" class="key on" @click=${close}>close</button>`,
  ).setAttribute("aria-labelledby", "shortcuts-title");
}
