import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { house } from "../../store/house.js";
import { work } from "../../kernel/work.js";
import "../../parts/picture.js";

/** "melt by Thursday, 9 pours". Hidden while the work behind it is not there. Property `good`. */
class MeltBy extends Part {
  static properties = { good: {}, answer: { state: true } };

  #asked = "";

  willUpdate() {
    const { view } = house;
    const good = view.goods.get(this.good);
    const request = good ? meltRequest(good, view, house.today()) : null;
    const asked = JSON.stringify(request);
    if (!good || asked === this.#asked) return;
    this.#asked = asked;
    work("trade.melt_by", request).then((answer) => { if (asked === this.#asked) this.answer = answer; }, () => { if (asked === this.#asked) this.answer = null; });
  }

  render() {
    if (!this.answer?.words) return nothing;
    const { words, run_down, melt_by } = this.answer;
    return html`<dl class="under goes-on"><div><dt>${/^melt by /i.test(words) ? "melt by" : "melt"}</dt><dd><strong>${words.replace(/^melt by /i, "")}</strong>
      ${run_down?.length ? html`<kernel-picture name="trade.run_down_picture" .request=${{ good: house.view.goods.get(this.good), today: house.today(), run_down, melt_by }}></kernel-picture>` : nothing}</dd></div></dl>`;
  }
}
customElements.define("melt-by", MeltBy);

/** The request of `trade.melt_by`: one row of sales a caller, from the orders this device knows. */
function meltRequest(good, view, today) {
  const sales = [...view.lines.values()].filter((line) => line.good === good.id && line.units > 0 && view.orders.get(line.order)?.taken_on && view.orders.get(line.order).state !== "let_go")
    .map((line) => ({ on: view.orders.get(line.order).taken_on, units: line.units })).sort((a, b) => a.on.localeCompare(b.on));
  const wax = [...view.goods.values()].find((other) => other.kind === "bulk" && /wax/i.test(other.name));
  return {
    good, today, sales, free_units: view.free(good.id), waiting_units: view.waitingFor(good.id).reduce((sum, { units }) => sum + units, 0),
    pour_units: good.row || 10, wax_ready_g: wax ? view.onHand(wax.id) : null,
  };
}
