import { html } from "lit";
import { Part } from "../../parts/part.js";
import { FORMS, goodPicture } from "../../parts/good-picture.js";
import { Act } from "../../parts/act.js";
import { go, placeOf } from "../../parts/route.js";
import { addGood } from "../../store/acts.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Shape } from "../../parts/good-picture.js" */

/** Something of one's own: a name, and what it looks like. Price and measures follow. */
class GoodNew extends Part {
  static properties = { form: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    /** @type {Shape} */
    this.form = "jar";
  }

  /** @param {Submitted} event */
  async #add(event) {
    event.preventDefault();
    /** @param {string} field */
    const text = (field) => String(new FormData(event.target).get(field)).trim();
    const name = text("name");
    const plural = text("plural") || name;
    const added = await this.#act.run(() => addGood({ name, plural, form: this.form }), "Added. What does one cost?", { focus: false });
    if (added) go("settings", "goods", added.good, "price");
  }

  render() {
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings", "goods", "add")}>usual goods</a>
      <h1>Something of my own</h1>
      <form class="fields" id="good-new" @submit=${this.#add} novalidate>
        <label class="write"><span>one of it, such as “jar of basswood honey (1 lb)”</span><input name="name" maxlength="100" autocomplete="off" /></label>
        <label class="write"><span>several of them</span><input name="plural" maxlength="100" autocomplete="off" placeholder="jars of basswood honey (1 lb)" /></label>
      </form>
      <h2 class="where">It looks like</h2>
      <div class="usual-goods" role="group" aria-label="It looks like">${FORMS.map(
        (form) => html`<button type="button" class="key" aria-pressed=${form === this.form} @click=${() => {
          this.form = form;
        }}>
        ${goodPicture({ form })}<span>${form === "comb" ? "comb in a box" : form}</span></button>`,
      )}</div>
    </div></div>
    <div class="deck">${this.#act.outcome()}<button class="key say" form="good-new">add it</button></div>`;
  }
}
customElements.define("good-new", GoodNew);
