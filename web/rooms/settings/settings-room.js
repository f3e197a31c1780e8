import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { isDemo } from "../../parts/demo.js";
import { dressWanted, wearDress } from "../../parts/dress.js";
import { isOwner, leftToAnswer } from "../../parts/first-questions.js";
import { howManyNeedYou } from "../../parts/needs-you.js";
import { placeOf } from "../../parts/route.js";
import { isWide, WideWatch } from "../../parts/wide.js";
import { house } from "../../store/house.js";
import "./first/first-walk.js";
import "./calendar-board.js";
import "./cartons-board.js";
import "./enrol-board.js";
import "./device-board.js";
import "./devices-board.js";
import "./goods-board.js";
import "./heat-board.js";
import "./house-board.js";
import "./late-board.js";
import "./lost-board.js";
import "./measure-board.js";
import "./melting-board.js";
import "./moved-board.js";
import "./out-board.js";
import "./own-board.js";
import "./padding-board.js";
import "./papers-board.js";
import "./people-board.js";
import "./prices-board.js";
import "./needs-board.js";
import "./tax-board.js";

/** Place, name, what is there. @type {[string, string, string][]} */
const BOARDS = [
  ["device", "this device", "its name, what is set aside for it, its storage"],
  ["devices", "other devices", "make a code for one more, or remove one"],
  ["lost", "a lost or a new phone", "what to do, also when no owner's device is left"],
  ["moved", "the main computer moved", "another address: send there what is only here"],
  ["house", "your honey house", "name, address, mailing days"],
  ["goods", "what you sell", "add, rename, price, put in order, stop"],
  ["tax", "sales tax", "which of your goods are taxed, at what rate"],
  ["heat", "heat and weather", "what wax and honey bear, the forecast"],
  ["measures", "measures", "how large and heavy jars, bars and cartons are"],
  ["people", "people you already have", "from a spreadsheet or a phone's contacts"],
  ["cartons", "cartons", "which lie here, how many, what one costs"],
  ["padding", "padding and cold packs", "against heat: which lie here, how many"],
  ["prices", "prices of mailing", "your carrier's, by zone and weight"],
  ["papers", "papers and labels", "price list, care cards, sheets of labels, your picture"],
  ["melting", "melting", "mold sets, hours, how seldom anyone goes without"],
  ["calendar", "calendar", "mailing days and pick-ups in the one you have"],
  ["out", "everything out", "all your records in one file, any day"],
  ["needs", "needs you", "entries the main computer could not take"],
  ["late", "late entries", "what lost and copied devices still sent"],
];
/** @type {[string, string, string]} */
const OWN = ["own", "start my own", "leave the demo, begin your own honey house"];
/** @type {["device" | "light" | "dark", string][]} */
const DRESSES = [
  ["device", "automatic"],
  ["light", "light"],
  ["dark", "dark"],
];

/** Devices, the house, and what needs the keeper. Without a house yet: how to become one of its devices. */
class SettingsRoom extends Part {
  static properties = { path: {} };

  constructor() {
    super();
    /** @type {string[]} */
    this.path = [];
    new WideWatch(this);
  }

  render() {
    const { status } = house;
    if (!status.started) return html`<div class="room" data-lone><div class="board"><p class="faint">Opening the book …</p></div></div>`;
    if (this.path[0] === "lost" && !status.enrolled) return html`<lost-board class="room" data-lone></lost-board>`;
    if (this.path[0] === "own" && !status.enrolled) return html`<own-board class="room" data-lone></own-board>`;
    // a stopped or turned-away device may take a new name
    const again = this.path[0] === "enrol" && (status.frozen || status.turnedAway);
    if (!status.enrolled || again)
      return html`<enrol-board class="room" data-lone .code=${this.path[0] === "enrol" ? (this.path[1] ?? "") : ""}></enrol-board>`;
    if (this.path[0] === "first") return html`<first-walk .path=${this.path.slice(1)}></first-walk>`;
    const boards = isDemo() ? [OWN, ...BOARDS] : BOARDS;
    const open = boards.some(([place]) => place === this.path[0]) ? this.path[0] : null;
    const shown = open ?? (isWide() ? "device" : null);
    return html`<section class="pair" aria-label="Settings" ?data-open=${Boolean(shown)}>
      <div class="list">
        <h1 class="where">Settings</h1>
        ${isOwner() ? html`<backup-said trouble></backup-said>` : nothing}
        <trust-said brief></trust-said>
        <ul class="goods-list">${isOwner() && !isDemo() ? this.#firstRow() : nothing}${boards.map((board) => this.#row(board, shown))}</ul>
        <h2 class="where">screen</h2>
        <div class="keyrow three" role="group" aria-label="Light or dark screen">${DRESSES.map(
          ([dress, words]) => html`
          <button type="button" class="key tight" aria-pressed=${dressWanted() === dress} @click=${() => {
            wearDress(dress);
            this.requestUpdate();
          }}>${words}</button>`,
        )}</div>
      </div>
      ${shown ? this.#board(shown) : nothing}
    </section>`;
  }

  #firstRow() {
    const left = leftToAnswer(house.view);
    return html`<li><a class="good-row plain" href=${placeOf("settings", "first")}><span><strong>first questions</strong>
      <small>${left ? `${left} without an answer` : "all answered"}</small></span></a></li>`;
  }

  /** @param {[string, string, string]} board @param {string | null} shown */
  #row([place, words, more], shown) {
    const needs = place === "needs" ? howManyNeedYou() : 0;
    return html`<li><a class="good-row plain" href=${placeOf("settings", place)} aria-current=${place === shown ? "true" : "false"}>
      <span><strong class=${needs ? "heed" : ""}>${words}${needs ? `: ${needs}` : ""}</strong><small>${more}</small></span></a></li>`;
  }

  /** @param {string} shown */
  #board(shown) {
    if (shown === "devices") return html`<devices-board class="room"></devices-board>`;
    if (shown === "house") return html`<house-board class="room"></house-board>`;
    if (shown === "goods") return html`<goods-board class="room" .path=${this.path.slice(1)}></goods-board>`;
    if (shown === "tax") return html`<tax-board class="room"></tax-board>`;
    if (shown === "heat") return html`<heat-board class="room"></heat-board>`;
    if (shown === "measures") return html`<measure-board class="room" .good=${this.path[1] ?? ""}></measure-board>`;
    if (shown === "padding") return html`<padding-board class="room"></padding-board>`;
    if (shown === "people") return html`<people-board class="room"></people-board>`;
    if (shown === "cartons") return html`<cartons-board class="room" .carton=${this.path[1] ?? ""}></cartons-board>`;
    if (shown === "prices") return html`<prices-board class="room"></prices-board>`;
    if (shown === "papers") return html`<papers-board class="room"></papers-board>`;
    if (shown === "melting") return html`<melting-board class="room"></melting-board>`;
    if (shown === "lost") return html`<lost-board class="room"></lost-board>`;
    if (shown === "moved") return html`<moved-board class="room" .link=${this.path[1] ?? ""}></moved-board>`;
    if (shown === "calendar") return html`<calendar-board class="room"></calendar-board>`;
    if (shown === "out") return html`<out-board class="room"></out-board>`;
    if (shown === "own") return html`<own-board class="room"></own-board>`;
    if (shown === "late") return html`<late-board class="room"></late-board>`;
    if (shown === "needs") return html`<needs-board class="room"></needs-board>`;
    return html`<device-board class="room"></device-board>`;
  }
}
customElements.define("settings-room", SettingsRoom);
