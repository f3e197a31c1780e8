import { html, nothing } from "lit";
import { keyed } from "lit/directives/keyed.js";
import { Part } from "../../../parts/part.js";
import { firstOpen, isOver, isOwner, questionsHere, screenPlace, screensOf, stateOf, walkPlace } from "../../../parts/first-questions.js";
import { placeOf } from "../../../parts/route.js";
import { stateSaid } from "../../../parts/state.js";
import { house } from "../../../store/house.js";
import "./ask-carton-count.js";
import "./ask-cartons.js";
import "./ask-choice.js";
import "./ask-goods.js";
import "./ask-help.js";
import "./ask-name.js";
import "./ask-price.js";
import "./ask-shelf.js";

/** @import { Drawn } from "../../../parts/events.d.ts" */
/** @import { FirstQuestion } from "../../../parts/first-questions.js" */
/** @import { View } from "../../../store/view.js" */

/** What is drawn of a question. @type {Record<string, (at: [string, string]) => Drawn>} */
const SCREENS = {
  name: (at) => html`<ask-name .at=${at}></ask-name>`,
  goods: (at) => html`<ask-goods .at=${at}></ask-goods>`,
  prices: (at) => html`<ask-price .at=${at}></ask-price>`,
  shelf: (at) => html`<ask-shelf .at=${at}></ask-shelf>`,
  cartons: (at) => (at[1] ? html`<ask-carton-count .at=${at}></ask-carton-count>` : html`<ask-cartons .at=${at}></ask-cartons>`),
  molds: (at) => html`<ask-molds .at=${at}></ask-molds>`,
  honey: (at) => html`<ask-honey .at=${at}></ask-honey>`,
  help: (at) => html`<ask-help .at=${at}></ask-help>`,
};

/** The first questions: one a screen, or the list of them. Property `path`: `[question, part]`; empty for the list. */
class FirstWalk extends Part {
  static properties = { path: {} };

  constructor() {
    super();
    /** @type {string[]} */
    this.path = [];
  }

  render() {
    if (!isOwner())
      return html`<div class="room" data-lone><div class="board">${stateSaid({ what: "This is a helper's device.", todo: "An owner's device answers the first questions." })}</div></div>`;
    const at = this.#at();
    return at ? keyed(at.join("/"), SCREENS[at[0]](at)) : this.#list();
  }

  /** The screen asked for, or the first of its question; null is the list. */
  #at() {
    const [question, part = ""] = this.path;
    const screens = screensOf(house.view).filter(([id]) => id === question);
    return screens.find((screen) => screen[1] === part) ?? screens[0] ?? null;
  }

  #list() {
    const { view } = house;
    return html`<div class="room first" data-lone><div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>First questions</h1>
      <p class="faint">What a new honey house is asked. Touch one to answer it, or to answer it anew.</p>
      <ul class="goods-list">${questionsHere(view).map((question) => this.#row(question, view))}</ul>
    </div></div>
    ${firstOpen(view) ? html`<div class="deck"><a class="key say" href=${walkPlace(view)}>${isOver(view) ? "answer what is open" : "go on"}</a></div>` : nothing}</div>`;
  }

  /** @param {FirstQuestion} question @param {View} view */
  #row(question, view) {
    const state = stateOf(question, view);
    const said = question.told(view) || (state === "answered" ? "answered" : state === "skipped" ? "skipped" : "not answered yet");
    const place = screenPlace(screensOf(view).find(([id]) => id === question.id) ?? [question.id, ""]);
    return html`<li><a class="good-row plain" href=${place}><span><strong>${question.words}</strong>
      <small class=${state === "open" ? "heed" : ""}>${said}</small></span></a></li>`;
  }
}
customElements.define("first-walk", FirstWalk);
