import { html, nothing } from "lit";
import { placeOf } from "../../parts/route.js";
import { counted, weightSaid } from "../../parts/words.js";
import { extract } from "../../store/acts.js";
import { Question } from "../../kernel/question.js";
import { pailSafety } from "../../parts/safety.js";
import { MakingDeck } from "./making-deck.js";

/** @import { Changed } from "../../parts/events.d.ts" */

const WHOLE = 10; // one decimal of a percent is kept as a whole per mille
const [LEAST, MOST] = [10, 35]; // percent: what a refractometer for honey shows, and stock/honey.py takes
const [COLDEST_F, WARMEST_F] = [41, 113]; // 5 to 45 C, as it takes

/** An extraction day: buckets one by one, cappings, water by refractometer, colour. */
class ExtractDeck extends MakingDeck {
  static properties = { buckets: { state: true }, apart: { state: true }, itself: { state: true } };

  #moisture = new Question(this, "stock.honey_moisture");

  constructor() {
    super();
    /** Net grams, one by one. @type {number[]} */
    this.buckets = [];
    this.apart = false;
    this.itself = true;
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    super.willUpdate(changed);
    this.#moisture.about(this.#reading());
  }

  /** Water as the house's Python corrects it; the reading itself while that is not awake. */
  get water() {
    const { answer, state, why } = this.#moisture;
    return answer ?? (state === "unknown" ? { words: "" } : state === "refused" ? { words: why } : null);
  }

  /** The first figure of one that is still being typed, or a slip of the finger: nothing is asked of it, and it is not written down. */
  get #beyond() {
    const { reading, warmth } = this.values;
    if (reading && (reading < LEAST || reading > MOST)) return `Water: ${LEAST} to ${MOST} %.`;
    const asked = reading && !this.itself && warmth;
    return asked && (warmth < COLDEST_F || warmth > WARMEST_F) ? `The honey's warmth: ${COLDEST_F} to ${WARMEST_F} °F.` : "";
  }

  #reading() {
    const { reading, warmth } = this.values;
    return !reading || this.#beyond
      ? null
      : {
          reading_percent: reading,
          temperature_c: this.itself ? 20 : Math.round((((warmth ?? 68) - 32) * 50) / 9) / 10,
          corrects_itself: this.itself,
        };
  }

  #bucket = () => {
    if (this.values.bucket) this.buckets = [...this.buckets, this.values.bucket];
    this.values = { ...this.values, bucket: null };
  };

  #write() {
    const { cappings, supers, color, reading } = this.values;
    const percent = this.water?.water_percent ?? (this.itself ? reading : null);
    const day = {
      buckets_g: this.buckets,
      each_a_lot: this.apart,
      cappings_g: cappings ?? 0,
      supers: supers ?? undefined,
      color_mm: color ?? undefined,
      water_permille: percent ? Math.round(percent * WHOLE) : undefined,
    };
    return extract(day).then((made) => {
      this.buckets = [];
      return made;
    });
  }

  render() {
    const total = this.buckets.reduce((sum, grams) => sum + grams, 0);
    const fields = [
      { key: "bucket", words: "a bucket, net" },
      { key: "cappings", words: "drained cappings" },
      { key: "supers", words: "supers", unit: "supers" },
      { key: "reading", words: "water", unit: "%", point: true },
      ...(this.itself ? [] : [{ key: "warmth", words: "honey's warmth", unit: "°F" }]),
      { key: "color", words: "color", unit: "mm Pfund" },
    ];
    return html`
      <a class="key tight back" href=${placeOf("melt")}>back</a>
      <h2 class="where">Extraction: ${this.buckets.length ? `${counted(this.buckets.length, "bucket")}, ${weightSaid(total)}` : "weigh the buckets, without the bucket's own weight"}</h2>
      ${this.outcome()}
      <weigh-walk .fields=${fields} .values=${this.values} @change=${this.put}></weigh-walk>
      ${this.values.bucket ? html`<button type="button" class="key on" @click=${this.#bucket}>this bucket: ${weightSaid(this.values.bucket)}</button>` : nothing}
      ${this.#beyond ? html`<p role="status" class="faint">${this.#beyond}</p>` : this.water?.words ? html`<p role="status">${this.water.words}</p>` : nothing}
      ${
        this.values.reading
          ? html`<button type="button" class="key quiet" aria-pressed=${this.itself} @click=${() => {
              this.itself = !this.itself;
            }}>the instrument corrects for warmth ${this.itself ? "itself" : "not: say how warm"}</button>`
          : nothing
      }
      ${
        this.buckets.length > 1
          ? html`<button type="button" class="key quiet" aria-pressed=${this.apart} @click=${() => {
              this.apart = !this.apart;
            }}>each bucket a lot of its own</button>`
          : nothing
      }
      ${pailSafety()}
      <button type="button" class="key say" ?disabled=${!this.buckets.length || this.buckets.length > 7 || Boolean(this.#beyond)} @click=${() => this.act(() => this.#write(), `${weightSaid(total)} of honey extracted.`)}>to the book</button>`;
  }
}
customElements.define("extract-deck", ExtractDeck);
