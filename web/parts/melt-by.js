import { html, nothing } from "lit";
import { Part } from "./part.js";
import { house } from "../store/house.js";
import { Question } from "../kernel/question.js";
import { perUnitMg } from "./weighing.js";
import "./picture.js";

/** @import { Good } from "../store/shapes.d.ts" */
/** @import { View } from "../store/view.js" */

/** "melt by Thursday, 9 pours", or how long it lasts where nothing is due. Hidden while the work behind it is not there. Property `good`. */
class MeltBy extends Part {
  static properties = { good: {}, brief: { type: Boolean } };

  constructor() {
    super();
    this.good = "";
    this.brief = false;
  }

  #question = new Question(this, "stock.melt_by");

  willUpdate() {
    const { view } = house;
    const good = view.goods.get(this.good);
    this.#question.about(good ? meltRequest(good, view, house.today()) : null);
  }

  render() {
    const { answer } = this.#question;
    if (!answer?.words) return nothing;
    const { words, run_down, melt_by, why, due, record } = answer;
    if (this.brief && !due) return nothing; // a good with plenty of it needs no line
    const good = house.view.goods.get(this.good);
    const [, verb, by, rest] = /^(melt|bottle|usually) ((?:by|lasts) )?(.*)$/i.exec(words) ?? [null, "melt", "", words];
    const head = verb === "usually" ? "usually lasts" : `${verb} ${by ?? ""}`.trim();
    return html`<dl class="under goes-on"><div><dt>${head}</dt><dd><strong>${rest}</strong>
      ${this.brief ? nothing : html`<details><summary>why</summary><p class="faint">${why.join(" ")}</p></details>`}</dd></div></dl>
      ${run_down?.length && !this.brief ? html`<kernel-picture name="stock.run_down_picture" .request=${{ good, today: house.today(), run_down, melt_by: due ? melt_by : null, record }}></kernel-picture>` : nothing}`;
  }
}
customElements.define("melt-by", MeltBy);

const WAX_LATER = ["cappings", "wax_melted", "wax_dipped", "wax_coarse", "wax_back"];

/**
 * The request of `stock.melt_by`: one row of sales a caller, from the orders this device knows, and what lies ready to be made of.
 * @param {Good} good
 * @param {View} view
 * @param {string} today
 */
function meltRequest(good, view, today) {
  const sales = [...view.lines.values()]
    .filter((line) => line.good === good.id && line.units > 0)
    .flatMap(({ order, units }) => {
      const { taken_on: on = "", state } = view.orders.get(order) ?? {};
      return on && on <= today && state !== "let_go" ? [{ on, units }] : [];
    })
    .sort((a, b) => a.on.localeCompare(b.on));
  const one_in = view.setting("short_one_in", 20);
  return {
    good,
    today,
    sales,
    free_units: view.free(good.id),
    waiting_units: view.waitingFor(good.id).reduce((sum, { units }) => sum + units, 0),
    pour_units: good.row || 10,
    like_units: (view.setting("shelf_units", {}) || {})[good.id] ?? null,
    service_percent: Math.round(1000 * (1 - 1 / one_in)) / 10,
    ...material(good, view),
  };
}

/**
 * Wax or honey that is ready, what follows, and how many moulds and hours there are; nothing when none of it is kept by weight.
 * @param {Good} good
 * @param {View} view
 */
function material(good, view) {
  /** @param {string} id */
  const here = (id) => Math.max(0, view.onHand(id));
  if (good.kind === "honey")
    return view.goods.has("honey_bulk") && good.net_g ? { wax_ready_g: here("honey_bulk"), wax_per_unit_mg: good.net_g * 1000 } : {};
  if (!view.goods.has("wax_fine")) return {};
  const later = WAX_LATER.reduce((sum, id) => sum + here(id) * (id === "cappings" ? 0.3 : 0.95), 0);
  return {
    wax_ready_g: here("wax_fine"),
    wax_later_g: Math.floor(later),
    wax_per_unit_mg: perUnitMg(good),
    mould_sets: view.setting("mould_sets", null),
    morning_hours: view.setting("morning_hours", 4),
  };
}
