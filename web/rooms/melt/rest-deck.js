import { html } from "lit";
import { placeOf } from "../../parts/route.js";
import { weightSaid } from "../../parts/words.js";
import { takeAway } from "../../store/acts.js";
import { babies } from "../../parts/safety.js";
import { MakingDeck } from "./making-deck.js";

/** @import { TakenReason } from "../../store/stocking.js" */

/** Honey from the cappings: fed to the bees, bottled, or lost. */
class RestDeck extends MakingDeck {
  render() {
    const { lot, units } = this.source("honey_residue");
    const grams = this.values.grams ?? units;
    /** @param {TakenReason} reason @param {string} words */
    const gone = (reason, words) =>
      this.act(() => takeAway("honey_residue", lot ?? undefined, grams, reason), `${weightSaid(grams)} ${words}.`);
    return html`
      <a class="key tight back" href=${placeOf("melt")}>back</a>
      <h2 class="where">Honey from the cappings: ${weightSaid(units)} there. Where does it go?</h2>
      ${this.outcome()}
      ${this.lotKeys("honey_residue")}
      <weigh-walk .fields=${[{ key: "grams", words: "how much", usual: units || null }]} .values=${this.values} @change=${this.put}></weigh-walk>
      <div class="keyrow two">
        <button type="button" class="key on" ?disabled=${!grams} @click=${() => gone("fed", "fed to the bees")}>fed to the bees</button>
        <a class="key" href=${placeOf("melt", "bottle", "honey_residue")}>bottle it</a>
        <button type="button" class="key" ?disabled=${!grams} @click=${() => gone("lost", "lost")}>lost</button>
        <button type="button" class="key" ?disabled=${!grams} @click=${() => gone("gift", "given away")}>given away</button>
      </div>
      <p><strong>Feed it only to colonies it came from:</strong> honey of others can carry foulbrood.</p><p>${babies()}</p>`;
  }
}
customElements.define("rest-deck", RestDeck);
