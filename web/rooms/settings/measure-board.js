import { html } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { setGood } from "../../store/acts.js";
import { lengthMm, lengthText, sidesSaid } from "../../parts/lengths.js";
import { certificateForm, certificateRow } from "./certificate-form.js";
import { formOf, goodPicture } from "../../parts/good-picture.js";
import { FORM_DEFAULTS, honeyMl } from "../../store/usual-goods.js";
import { measurePicture } from "./measure-picture.js";

/** @import { Submitted } from "../../parts/events.d.ts" */
/** @import { Carton, Good } from "../../store/shapes.d.ts" */
/** @import { View } from "../../store/view.js" */

const WALL_MM = 8; // length and width outside, a single wall of 4 mm board twice; common practice, no source
const FLAPS_MM = 16;

/** One good or one carton, measured by hand: a picture says what L, W and H mean. Keepers only. Property `good`: its id, or none yet. */
class MeasureBoard extends Part {
  static properties = { good: {} };

  #act = new Act(this);

  constructor() {
    super();
    this.good = "";
  }

  willUpdate() {
    this.#act.about(this.good);
  }

  /** @param {Submitted} event */
  #keep(event) {
    event.preventDefault();
    const good = house.view.goods.get(this.good);
    if (!good) return;
    const form = new FormData(event.target);
    this.#act.run(async () => {
      const sides = ["L", "W", "H"].map((side) => sideTyped(side, String(form.get(side)).trim()));
      const weight = Number(form.get("weight"));
      if (!(weight > 0)) throw bad("The weight is missing.", "Put one on the scale, with lid and wrap, and write the grams.");
      return good.kind === "carton" ? this.#carton(good, sides, weight, certificateRow(form)) : this.#piece(good, sides, weight, form);
    }, "Written down.");
  }

  /** @param {Good} good @param {string[]} sides @param {number} weight @param {FormData} form */
  #piece(good, sides, weight, form) {
    const [length_mm, width_mm, height_mm] = sides.map((text) => Math.ceil((lengthMm(text) ?? 0) - 1e-6));
    const inside = String(form.get("net") ?? "").trim();
    if (!(Number(inside) >= 0)) throw bad(`“${inside}” is no weight.`, "Write what is inside in grams, such as 28.");
    const net_g = Math.round(Number(inside));
    if (net_g > weight)
      throw bad(
        `Inside are ${net_g} g, but the whole weighs ${weight} g.`,
        "Put one on the scale with lid and wrap; inside is what the label says.",
      );
    const glass = form.has("glass");
    const apart = glass && !good.glass ? { wall_mm: FORM_DEFAULTS.jar.wall_mm, gap_mm: FORM_DEFAULTS.jar.gap_mm } : {};
    const bears_g = form.has("bare") ? 0 : good.bears_g === 0 ? null : (good.bears_g ?? null);
    const liquid_ml = good.kind === "honey" && formOf(good) !== "comb" ? honeyMl(net_g) : 0;
    return setGood({
      id: good.id,
      length_mm,
      width_mm,
      height_mm,
      gross_g: Math.round(weight),
      net_g,
      liquid_ml,
      upright: form.has("upright"),
      glass,
      bears_g,
      ...apart,
      typical: false,
    });
  }

  /** @param {Good} good @param {string[]} inner @param {number} weight @param {ReturnType<typeof certificateRow>} certificate */
  #carton(good, inner, weight, certificate) {
    /** @param {string} text @param {number} more */
    const grown = (text, more) => `${Math.round((lengthMm(text) ?? 0) + more)} mm`;
    const outer = [grown(inner[0], WALL_MM), grown(inner[1], WALL_MM), grown(inner[2], FLAPS_MM)];
    const known = house.view.cartons.get(good.id);
    return setGood({ id: good.id }, { name: known?.name ?? good.name, inner, outer, tare_g: Math.round(weight), ...certificate });
  }

  render() {
    const { view, status } = house;
    const mayNot = status.device?.role !== "keeper";
    const good = view.goods.get(this.good);
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${good ? placeOf("settings", "measures") : placeOf("settings")}>${good ? "all measures" : "all settings"}</a>
      <h1>${good ? (view.cartons.get(good.id)?.name ?? good.name) : "Measures"}</h1>
      ${good ? this.#form(good, mayNot) : this.#list(view)}
      ${this.#act.outcome()}
    </div></div>`;
  }

  /** @param {View} view */
  #list(view) {
    const goods = [...view.goods.values()]
      .filter((good) => good.unit === "each" && !good.hidden)
      .sort((a, b) => Number(a.kind === "carton") - Number(b.kind === "carton") || a.rank - b.rank);
    return html`<p class="faint">Measures and weights of the demo are examples: measure your own jars and cartons.</p>
      <ul class="goods-list">${goods.map(
        (good) => html`<li><a class="good-row plain" href=${placeOf("settings", "measures", good.id)}>
        <span><strong>${view.cartons.get(good.id)?.name ?? good.name}</strong><small>${measuresSaid(good, view)}</small></span></a></li>`,
      )}</ul>`;
  }

  /** @param {Good} good @param {boolean} mayNot */
  #form(good, mayNot) {
    /** @type {Partial<Carton> | null} */
    const carton = good.kind === "carton" ? (house.view.cartons.get(good.id) ?? {}) : null;
    const sides = carton
      ? (carton.inner ?? ["", "", ""])
      : [good.length_mm, good.width_mm, good.height_mm].map((side) => (side ? `${side} mm` : ""));
    const words = carton ? ["L, inside", "W, inside", "H, inside"] : ["L", "W", "H, with its lid"];
    return html`<div class="measure-picture">${carton ? measurePicture() : goodPicture(good, { measured: true })}</div>
      <form class="fields split" @submit=${this.#keep} novalidate><fieldset class="plain whole fields split" ?disabled=${mayNot}>
        ${["L", "W", "H"].map((side, at) => html`<label class="write"><span>${words[at]}</span><input class="figures" name=${side} autocomplete="off" placeholder="3 1/4 in, or 83 mm" .value=${sides[at] ?? ""} /></label>`)}
        <label class="write"><span>${carton ? "weight, empty, grams" : "weight with lid and wrap, grams"}</span><input class="figures" name="weight" inputmode="numeric" autocomplete="off" .value=${String((carton ? carton.tare_g : good.gross_g) || "")} /></label>
        ${
          carton
            ? certificateForm(carton)
            : html`<label class="write"><span>inside, as on the label, grams</span><input class="figures" name="net" inputmode="numeric" autocomplete="off" .value=${String(good.net_g || "")} /></label>
          <label class="tickline"><input type="checkbox" name="bare" ?checked=${good.bears_g === 0} />nothing may stand on it</label>
          <label class="tickline"><input type="checkbox" name="upright" ?checked=${good.upright} />it must stand</label>
          <label class="tickline"><input type="checkbox" name="glass" ?checked=${good.glass} />it is glass</label>`
        }
        <button class="key say whole">write it down</button></fieldset></form>`;
  }
}
customElements.define("measure-board", MeasureBoard);

/** @param {string} message @param {string} remedy */
const bad = (message, remedy) => Object.assign(new Error(message), { kind: "draft", remedy });

/** @param {string} side @param {string} text */
function sideTyped(side, text) {
  if (lengthMm(text) === null) throw bad(`${side} is “${text}”, which is no length.`, "Write it like 3 1/4 in, or 83 mm.");
  return lengthText(text);
}

/** @param {Good} good @param {View} view */
function measuresSaid(good, view) {
  const carton = view.cartons.get(good.id);
  if (carton)
    return carton.inner?.length
      ? `inside ${carton.inner.join(" × ")}; ${carton.tare_g ? weightSaid(carton.tare_g) : "not weighed"} empty`
      : "not measured yet";
  return good.length_mm ? `${sidesSaid(good)}; ${good.gross_g ? weightSaid(good.gross_g) : "not weighed"}` : "not measured yet";
}
