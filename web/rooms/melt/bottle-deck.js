import { html } from "lit";
import { placeOf } from "../../parts/route.js";
import { nameSaid, unitsSaid, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { bottle } from "../../store/acts.js";
import { babies, wetHoney } from "../../parts/safety.js";
import { MakingDeck } from "./making-deck.js";
import { madeGoods } from "../../parts/weighing.js";

/** A bottling run: bucket to jars. What is filled is counted, what stays behind is weighed. Property `from`. */
class BottleDeck extends MakingDeck {
  static properties = { from: {}, good: { state: true } };

  constructor() {
    super();
    this.from = "honey_bulk";
    this.good = "";
  }

  render() {
    const goods = madeGoods("honey");
    const good = house.view.goods.get(this.good) ?? goods[0];
    if (!good)
      return html`<a class="key tight back" href=${placeOf("melt")}>back</a><p>No jars yet: put them into <a href=${placeOf("settings", "goods")}>Settings</a>.</p>`;
    const { lot, units } = this.source(this.from);
    const jars = this.values.jars ?? 0;
    const net = jars * (good.net_g || 0);
    const used = this.values.used ?? net;
    const lost = this.values.lost ?? 0;
    const permille = house.view.lots.get(lot ?? "")?.measures?.water_permille;
    return html`
      <a class="key tight back" href=${placeOf("melt")}>back</a>
      <h2 class="where">Bottle${lot ? ` ${lot}` : ""}: ${weightSaid(units)} there</h2>
      ${this.outcome()}
      ${wetHoney(permille) ? html`<p class="heed" role="alert">${wetHoney(permille)}</p>` : ""}
      ${this.lotKeys(this.from)}
      <div class="keyrow goods" role="group" aria-label="Into which jar">${goods.map(
        (one) => html`
        <button type="button" class="key tight" aria-pressed=${one.id === good.id} @click=${() => {
          this.good = one.id;
          this.values = {};
        }}>${nameSaid(one)}</button>`,
      )}</div>
      <weigh-walk .fields=${[
        { key: "jars", words: "filled", said: (/** @type {number} */ filled) => unitsSaid(good, filled), unit: good.short || good.plural },
        { key: "used", words: "honey in them", usual: net || null },
        { key: "lost", words: "left behind" },
      ]}
        .values=${this.values} @change=${this.put}></weigh-walk>
      <p class="faint">${jars ? `${weightSaid(net)} by the label; ${used > net ? `${weightSaid(used - net)} given away` : used < net ? "less than the label says: weigh again" : "weigh the bucket before and after to know what is given away"}.` : "Bottle at 95 to 110 °F (35 to 43 °C); hotter darkens it."}</p>
      <p>${babies()}</p>
      <button type="button" class="key say" ?disabled=${!jars || used <= 0} @click=${() =>
        this.act(
          () => bottle({ from: this.from, lot: lot ?? undefined, used_g: used, lost_g: lost, jars: [{ good: good.id, units: jars }] }),
          `${unitsSaid(good, jars)} on the shelf.`,
        )}>
        ${jars ? `${unitsSaid(good, jars)} to the shelf` : "to the shelf"}</button>`;
  }
}
customElements.define("bottle-deck", BottleDeck);
