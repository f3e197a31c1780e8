import { html, nothing } from "lit";
import { Part } from "../../../parts/part.js";
import { Act } from "../../../parts/act.js";
import { isOver, numberOf, screenPlace, screensOf, tell } from "../../../parts/first-questions.js";
import { go } from "../../../parts/route.js";
import { house } from "../../../store/house.js";

/** @import { PropertyDeclarations } from "lit" */
/** @import { Drawn } from "../../../parts/events.d.ts" */

/**
 * One question of the first morning: what is asked above, large; what may be answered below, where the thumb is.
 * Property `at`: `[question, part]`. What inherits it draws `question()`, `answers()` and, if it has more to show, `below()`.
 */
export class Ask extends Part {
  /** @type {PropertyDeclarations} */
  static properties = { at: {} };

  #act = new Act(this);

  constructor() {
    super();
    /** @type {[string, string]} */
    this.at = ["name", ""];
  }

  /** An answer is being written down. */
  get working() {
    return this.#act.busy;
  }

  /** What is asked about, where a question is asked of several things. */
  get subject() {
    return this.at[1];
  }

  /** Writes the answer down, then goes on; what could not be written stays on the screen with its reason. @param {() => Promise<unknown>} write @param {"answered" | "skipped"} [how] */
  async answer(write, how = "answered") {
    await this.#act.run(async () => {
      await write();
      await this.#onward(how);
      return {};
    }, "");
  }

  /** Something is done while the question stays. @template {object | void} T @param {() => Promise<T>} act @returns {Promise<T | null>} */
  meanwhile(act) {
    return this.#act.run(act, "", { focus: false });
  }

  /**
   * To the next screen; leaving a question, it is written down that it was told. After the walk a question leads back to the list.
   * @param {"answered" | "skipped"} how
   */
  async #onward(how) {
    const [id] = this.at;
    const over = isOver(house.view);
    const screens = screensOf(house.view);
    const following = screens.slice(1 + screens.findIndex((screen) => screen.join() === this.at.join()));
    const next = how === "skipped" ? following.find(([other]) => other !== id) : following[0];
    const leaves = !next || next[0] !== id;
    if (leaves) await tell(id, how, !next);
    if (leaves && over) go("settings", "first");
    else if (next) location.hash = screenPlace(next);
    else go("counter");
  }

  /** What is asked; given by what inherits this. @returns {Drawn} */
  question() {
    return nothing;
  }

  /** What more there is to show. @returns {Drawn} */
  below() {
    return nothing;
  }

  /** What may be answered. @returns {Drawn} */
  answers() {
    return nothing;
  }

  #back() {
    const screens = screensOf(house.view);
    const before = screens[screens.findIndex((screen) => screen.join() === this.at.join()) - 1];
    if (before && (before[0] === this.at[0] || !isOver(house.view))) location.hash = screenPlace(before);
    else go("settings", "first");
  }

  render() {
    const { number, of } = numberOf(this.at[0], house.view);
    return html`<section class="room first" aria-label="First questions">
      <div class="board">
        <div class="first-top">
          <button type="button" class="key tight quiet" @click=${() => this.#back()}>back</button>
          <p class="where">${number} of ${of}</p>
          <button type="button" class="key tight quiet" ?disabled=${this.working} @click=${() => this.answer(async () => {}, "skipped")}>skip</button>
        </div>
        <div class="column">${this.question()}${this.below()}</div>
      </div>
      <div class="deck">${this.#act.outcome()}${this.answers()}</div>
    </section>`;
  }
}
