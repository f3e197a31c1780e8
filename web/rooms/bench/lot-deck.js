import { html } from "lit";
import { Part } from "../../parts/part.js";
import { dayShort, unitsSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";

/**
 * Another lot was taken than the oldest: which one? Property `pick` ({good, line, lot, units}).
 * Sends `taken` with the lot's code (null: none is written on it), `close`.
 */
class LotDeck extends Part {
  static properties = { pick: {} };

  render() {
    const { good, lot, units } = this.pick;
    const row = house.view.goods.get(good);
    const lots = house.view.lotBalance(good).filter((one) => one.lot && one.units > 0);
    return html`
      <h2 class="where">This order was to take ${unitsSaid(row, units)} of ${lot ?? "no written lot"}. Which did you take?</h2>
      <div class="keyrow two">${lots.map((one) => html`
        <button type="button" class="key" aria-pressed=${one.lot === lot} @click=${() => this.dispatchEvent(new CustomEvent("taken", { detail: one.lot }))}>
          ${one.lot}<small>${one.units} here${one.made_on ? `, ${dayShort(one.made_on)}` : ""}</small></button>`)}
        <button type="button" class="key quiet" @click=${() => this.dispatchEvent(new CustomEvent("taken", { detail: null }))}>no lot is written on it</button></div>
      <button type="button" class="key quiet" @click=${() => this.dispatchEvent(new CustomEvent("close"))}>as planned</button>`;
  }
}
customElements.define("lot-deck", LotDeck);
