import { html, nothing } from "lit";
import { Part } from "../../../parts/part.js";
import { Act } from "../../../parts/act.js";
import { isOver, numberOf, screenPlace, screensOf, tell } from "../../../parts/first-questions.js";
import { go } from "../../../parts/route.js";
import { house } from "../../../store/house.js";

/**
 * One question of the first morning: what is asked above, large; what may be answered below, where the thumb is.
 * Property `at`: `[question, part]`. What inherits it draws `question()`, `answers()` and, if it has more to show, `below()`.
 */
export class Ask extends Part {
  static properties = { at: {} };

  #act = new Act(this);

  constructor() {
    super();
    this.at = ["name", ""];
  }

  /** An answer is being written down. */
  get working() {
    return this.#act.busy;
  }

  get part() {
    return this.at[1];
  }

  /** Writes the answer down, then goes on; what could not be written stays on the screen with its reason. @param {() => Promise<unknown>} write */
  async answer(write, how = "answered") {
    await this.#act.run(async () => {
      await write();
      await this.#onward(how);
      return {};
    }, "");
  }

  /** Something is done while the question stays. @param {() => Promise<any>} act */
  meanwhile(act) {
    return this.#act.run(act, "", { focus: false });
  }

  /** To the next screen; leaving a question, it is written down that it was told. After the walk a question leads back to the list. */
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
        <div class="column">${this.question()}${this.below?.() ?? nothing}</div>
      </div>
      <div class="deck">${this.#act.outcome()}${this.answers()}</div>
    </section>`;
  }
}
