import { html, nothing } from "lit";
import { given, Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { canShare } from "../../parts/share.js";
import { counted, mailingWeightSaid, money, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { handOver, letGo, pack, weigh } from "../../store/acts.js";
import { keepWeighing, note } from "../../parts/bench-notes.js";
import { byLot, lotsTaken } from "./lots.js";
import { honeyOff } from "../../store/sureness.js";
import { linesToPack, linesWaiting, parcelRow, planRequest } from "./order-work.js";
import { cartonsLow } from "../../parts/cartons-low.js";
import { labelSize } from "./day-pile.js";
import { printSlip, shareSlip, SLIP, slipRequest } from "./slip.js";
import { paperSize } from "../../parts/papers.js";
import "../../parts/print-key.js";
import "./learnt-weight.js";
import "./scale-deck.js";

/** @import { CallAnswer } from "../../kernel/answers.d.ts" */
/** @import { BenchNote } from "../../parts/bench-notes.js" */
/** @import { Call } from "../../parts/call-answer.js" */
/** @import { Changed, Told } from "../../parts/events.d.ts" */
/** @import { Order, Parcel } from "../../store/shapes.d.ts" */

/** A piece as the plan that is kept has it. @typedef {{mass_mg: number, mass_sd_mg: number}} KeptPiece */

const MG_PER_G = 1000;

/** @param {Order} order @returns {[string, Record<string, any>]} */
const labelAsked = (order) => ["quoting.label", { ...slipRequest(order, paperSize()), label_size: labelSize() }];

/** What a packed parcel should weigh and holds, as it was kept; null for one packed by eye. @param {Parcel} parcel */
const plannedOf = ({ plan, gross_g }) =>
  plan?.pieces ? { gross_g, gross_sd_g: plan.gross_sd_mg / MG_PER_G, contents: plan.contents } : null;

/** Its pieces with their weights of that day. @param {Parcel} parcel */
const piecesOf = ({ plan }) =>
  plan?.pieces?.map((/** @type {KeptPiece} */ { mass_mg, mass_sd_mg, ...piece }) => ({
    ...piece,
    mass_g: mass_mg / MG_PER_G,
    mass_sd_g: mass_sd_mg / MG_PER_G,
  })) ?? null;

/**
 * The keys of an order's next step: packed, weighed, slip, gone.
 * Properties: `order` (id), `call` (the question about it), `answer` (its answer, or null), `left` (steps not ticked off yet), `note` (of the bench).
 * Sends `noted` when it has noted something.
 */
class PackDeck extends Part {
  static properties = {
    order: {},
    call: {},
    answer: {},
    left: {},
    note: {},
    emptying: { state: true },
    scale: { state: true },
    slip: { state: true },
    paying: { state: true },
  };

  constructor() {
    super();
    this.order = "";
    /** @type {Call | undefined} */
    this.call = given;
    /** @type {CallAnswer | null} */
    this.answer = null;
    this.left = 0;
    /** @type {BenchNote | undefined} */
    this.note = undefined;
    this.emptying = false;
    /** @type {Parcel | null} */
    this.scale = null;
    /** @type {{words: string, address?: string} | null} */
    this.slip = null;
    this.paying = false;
  }

  #doing = new Act(this);

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("order")) return;
    this.#doing.about(this.order);
    Object.assign(this, { emptying: false, scale: null, slip: null, paying: false });
  }

  /** @param {() => Promise<{op: string | null}>} act @param {string} words */
  async #act(act, words) {
    const done = await this.#doing.run(act, words);
    if (done) Object.assign(this, { scale: null, slip: null, paying: false });
    return done;
  }

  render() {
    const order = house.view.orders.get(this.order);
    if (!order) return nothing;
    if (this.emptying) {
      return html`<scale-deck empty @weighed=${(/** @type {Told<{grams: number, division_g: number}>} */ { detail }) => this.#noted({ empty_g: detail.grams })} @close=${() => {
        this.emptying = false;
      }}></scale-deck>`;
    }
    const { scale } = this;
    if (scale) {
      return html`<scale-deck .empty_g=${this.#emptyG(scale)} .parcel=${scale} .planned=${plannedOf(scale)} .pieces=${piecesOf(scale)}
        @weighed=${(/** @type {Told<{grams: number, division_g: number}>} */ { detail }) => this.#weighed(scale, detail)} @close=${() => {
          this.scale = null;
        }}></scale-deck>
        ${this.#doing.outcome()}`;
    }
    return html`
      ${this.#doing.outcome()}
      ${this.slip?.words ? html`<p role="status">${this.slip.words} ${this.slip.address ? html`<a class="key tight" href=${this.slip.address} target="_blank">open the slip</a>${canShare(SLIP) ? html` <button type="button" class="key tight" @click=${() => this.#share(order)}>send it on</button>` : nothing}` : nothing}</p>` : nothing}
      ${order.way === "pick_up" ? this.#pickUp(order) : this.#post(order)}`;
  }

  /** The empty carton was weighed for a single parcel only: of several nobody knows which it was. @param {Parcel} parcel */
  #emptyG = (parcel) => (house.view.parcelsOf(parcel.order).length === 1 ? (this.note?.empty_g ?? null) : null);

  /** @param {Partial<BenchNote>} change */
  #noted(change) {
    note(this.order, change);
    this.emptying = false;
    this.dispatchEvent(new CustomEvent("noted"));
  }

  /**
   * Kept with the parcel; and, weighed by difference with one good in it, a lesson about that good's weight.
   * @param {Parcel} parcel
   * @param {{grams: number, division_g: number}} weighing
   */
  async #weighed(parcel, { grams, division_g }) {
    const contents = Object.entries(parcel.plan?.contents ?? {});
    const empty_g = this.#emptyG(parcel);
    const done = await this.#act(() => weigh(parcel.id, grams), `Weighed: ${mailingWeightSaid(grams)}.`);
    if (!done || empty_g === null || contents.length !== 1) return;
    const [[good, count]] = contents;
    keepWeighing(good, { parcel: parcel.id, count, net_g: grams - empty_g, division_g });
  }

  /** What really leaves, lot by lot, where the bench noted another than the oldest. @param {Order} order */
  #lots = (order) => {
    const { note: noted } = this;
    const otherwise = linesToPack(order, house.view).filter(({ line }) => noted?.lots[line]);
    return Object.fromEntries(otherwise.map((line) => [line.line, byLot(noted ? lotsTaken(line, noted, house.view) : [])]));
  };

  /** Its note stays for the day: undone, it leaves again by the same lots. @param {Order} order @param {{cents?: number, how?: "cash" | "check"}} paid @param {string} words */
  #handOver(order, paid, words) {
    return this.#act(() => handOver(order.id, { ...paid, lots: this.#lots(order) }), words);
  }

  /** @param {Order} order */
  #post(order) {
    const slip = html`<button type="button" class="key tight" @click=${() => this.#print(order)}>print the slip</button>`;
    const label = html`<print-key words="print the address label" .of=${order.id} .asked=${() => labelAsked(order)}></print-key>`;
    if (order.state === "gone")
      return html`<div class="keyrow three">${slip}${label}<a class="key tight" href=${placeOf("book", "order", order.id)}>look at it</a></div>`;
    const ready = linesToPack(order, house.view).length;
    if (order.state === "promised") {
      const working = this.call?.state === "working";
      return html`<button type="button" class="key say" ?disabled=${!ready || working || this.#honeyOff(order)} @click=${() => this.#pack(order)}>Packed${
        working
          ? html`<small>the carton is still being worked out</small>`
          : this.left && ready
            ? html`<small>${counted(this.left, "step")} not checked off yet</small>`
            : nothing
      }</button>
        <div class="keyrow three">${slip}${label}<button type="button" class="key tight quiet" @click=${() => {
          this.emptying = true;
        }}>empty carton on the scale${this.note?.empty_g ? html`<small>${weightSaid(this.note.empty_g)}</small>` : nothing}</button></div>`;
    }
    const parcels = house.view.parcelsOf(order.id);
    return html`
      <div class="keyrow">${parcels.map(
        (parcel) => html`<button type="button" class="key" @click=${() => {
          this.scale = parcel;
        }}>
        ${parcel.scale_g ? "weigh again" : "on the scale"}<small>${parcels.length > 1 ? `box ${parcel.part}: ` : ""}${parcel.scale_g ? mailingWeightSaid(parcel.scale_g) : parcel.gross_g ? `planned ${mailingWeightSaid(parcel.gross_g)}` : "not weighed yet"}</small></button>`,
      )}</div><div class="keyrow two">${slip}${label}</div>
      ${Object.keys(parcels[0]?.plan?.contents ?? {}).map((good) => html`<learnt-weight .good=${good}></learnt-weight>`)}
      <button type="button" class="key say" @click=${() => this.#handOver(order, {}, "Mailed.")}>Mailed</button>`;
  }

  /** Honey of whoever goes in the same parcel counts, there and still to come. @param {Order} order */
  #honeyOff(order) {
    const { view } = house;
    const waiting = linesWaiting(order, view).map(({ line: { good }, units }) => ({ good, units }));
    return honeyOff({ ...order, lines: [...linesToPack(order, view), ...waiting] }, view);
  }

  /** By the plan made for this very order as it stands; where none can be made, by eye. @param {Order} order */
  async #pack(order) {
    const present = planRequest(order);
    this.call?.about(present, order.id); // other lines or another stock since the last drawing: the plan is made anew first
    if (this.call?.state === "working") return;
    const answer = this.call?.answerTo(present, order.id);
    const planned = answer?.parcel?.parcels ?? [];
    const told = answer?.heat?.chance_permille ?? null;
    const carton = this.note?.carton ?? null; // chosen by hand and packed against the reckoning: what was done is what is kept
    const byEye = [{ carton, told_permille: told, dressing: order.dressing, plan: {}, gross_g: 0, gross_sd_g: 0 }];
    const parcels = planned.length ? planned.map((parcel) => parcelRow(parcel, order.dressing, told)) : byEye;
    await this.#act(() => pack(order.id, { parcels }), "Packed. Put it on the scale.");
    const low = cartonsLow(house.view, house.today()).filter(({ id }) => parcels.some((parcel) => parcel.carton === id));
    const { done } = this.#doing;
    if (done && low.length) done.words += ` Cartons run low: ${low.map(({ words }) => words).join("; ")}.`;
    this.requestUpdate();
  }

  /** @param {Order} order */
  async #print(order) {
    this.slip = { words: "making the slip …" };
    const told = await printSlip(order);
    if (this.order === order.id) this.slip = told; // another order may have been opened meanwhile
  }

  /** @param {Order} order */
  async #share(order) {
    const told = await shareSlip(order);
    if (told.words && this.order === order.id) this.slip = told;
  }

  /** Someone comes to the door: what they owe, how they pay, and it is theirs. @param {Order} order */
  #pickUp(order) {
    if (order.state === "gone") return html`<a class="key" href=${placeOf("book", "order", order.id)}>look at it</a>`;
    const { view } = house;
    const waits = linesWaiting(order, view).length > 0;
    if (!linesToPack(order, view).length)
      return html`<p>Nothing of it is here yet.</p><button type="button" class="key undo" @click=${() => this.#act(() => letGo(order.id), "Canceled.")}>cancel the order</button>`;
    if (waits)
      return html`<p>Part of it still waits. Change the order to what they take now.</p><a class="key" href=${placeOf("counter", "change", order.id)}>change the order</a>`;
    const owes = view.owed(order.id);
    if (owes <= 0)
      return html`<button type="button" class="key say" @click=${() => this.#handOver(order, {}, "Handed over.")}>Handed over<small>nothing owed</small></button>`;
    return html`<h2 class="where">They owe ${money(owes)}</h2>
      <div class="keyrow two">
        <button type="button" class="key say" @click=${() => this.#handOver(order, { cents: owes, how: "cash" }, "Handed over, paid in cash.")}>Handed over<small>paid in cash</small></button>
        <button type="button" class="key" @click=${() => this.#handOver(order, { cents: owes, how: "check" }, "Handed over, paid by check.")}>by check</button>
      </div>
      <button type="button" class="key quiet" @click=${() => this.#handOver(order, {}, `Handed over. They owe ${money(owes)}.`)}>handed over, they still owe it</button>`;
  }
}
customElements.define("pack-deck", PackDeck);
