import { html, nothing } from "lit";
import { keyed } from "lit/directives/keyed.js";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { sayAloud } from "../../parts/aloud.js";
import { HeldHeights } from "../../parts/held-heights.js";
import { placeOf } from "../../parts/route.js";
import { addressSaid, counted, daySaid, phoneSaid, whoSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { callQuestion } from "../../parts/call-answer.js";
import { amend } from "../../store/acts.js";
import { note, noteOf } from "../../parts/bench-notes.js";
import { lotsTaken, withLot } from "./lots.js";
import { linesToPack, planRequest } from "./order-work.js";
import { packOtherwise } from "./otherwise.js";
import { cartonSaid, heatSaid, minded, packedPicture, waitsSaid } from "./parcel-said.js";
import { postingAnew } from "../../parts/posting-anew.js";
import { leftOf, tickRows, ticksOf } from "./tick-rows.js";
import "../../parts/heat-pictures.js";
import "../../parts/new-address.js";
import "../../parts/one-parcel.js";
import "../../parts/picture.js";
import "./lot-deck.js";
import "./pack-deck.js";
import "./tick-list.js";

/** @import { BenchNote, LotRun } from "../../parts/bench-notes.js" */
/** @import { Changed, Told } from "../../parts/events.d.ts" */
/** @import { Slice, TickRow } from "./tick-rows.js" */
/** @import { Amendment, Order } from "../../store/shapes.d.ts" */

/** A piece that is of another lot than planned. @typedef {{row: TickRow, slice: Slice, run: LotRun, at: number}} Swap */

/** One order opened large: its carton, the drawing, the steps to tick off with their lots, heat, and the keys of its next step. */
class ParcelBoard extends Part {
  static properties = { order: {}, place: {}, note: { state: true }, swapping: { state: true }, said: { state: true } };

  #call = callQuestion(this);
  #act = new Act(this);
  #held = new HeldHeights(this, () => this.#call.state === "working");

  constructor() {
    super();
    this.order = "";
    this.place = "";
    this.note = noteOf("");
    /** @type {Swap | null} */
    this.swapping = null;
    this.said = "";
    this.addEventListener("drawn", () => this.requestUpdate());
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("order")) {
      Object.assign(this, { note: noteOf(this.order), swapping: null, said: "" });
      this.#held.letGo();
    }
    this.#act.about(this.order);
    const order = house.view.orders.get(this.order);
    this.#call.about(planRequest(order), this.order);
  }

  render() {
    const { view } = house;
    const order = view.orders.get(this.order);
    if (!order) return html`<div class="board"><p>That order is not on this device.</p></div>`;
    const person = order.person ? view.people.get(order.person) : null;
    const posts = order.way === "post";
    const to = view.destination(order);
    const { answer } = this.#call;
    const rows = tickRows(order, view, this.note, posts ? (answer?.parcel?.parcels ?? []) : []);
    return html`
      <div class="board"><div class="column">
        <a class="key tight back" href=${placeOf("bench")}>all parcels</a>
        <p class="where" data-title>${whoSaid(person)}${to.city && posts ? `, ${to.city}` : ""}${this.place ? ` · ${this.place}` : ""}</p>
        <div data-held>${posts ? cartonSaid(order, this.#call, this.note) : html`<h1>${order.state === "gone" ? "Handed over" : `Pick up${order.leave_on ? " " : ", "}${daySaid(order.leave_on, house.today())}`}</h1>`}</div>
        <div class="packing"><div class="drawn">
        <div data-held>${
          posts && answer?.parcel?.ok
            ? html`
          <kernel-picture name="quoting.parcel_picture" .request=${this.#call.asked} waiting="drawing the parcel …" missing="The drawing comes by itself a little later."></kernel-picture>`
            : nothing
        }</div>
        ${posts && order.state !== "promised" ? packedPicture(order) : nothing}
        ${posts && order.state === "promised" ? packOtherwise({ order, carton: this.note.carton, answer, choose: this.#choose, dress: this.#dress }) : nothing}
        <new-address .order=${order.id}></new-address>
        <one-parcel .order=${order.id}></one-parcel>
        </div><div class="in-order">
        ${this.#act.outcome()}
        ${
          rows.length
            ? html`<tick-list .rows=${rows} .note=${this.note} @counts=${(/** @type {Told<Record<string, number>>} */ { detail }) => this.#note({ counts: detail })} @swap=${(
                /** @type {Told<Swap>} */ { detail },
              ) => {
                this.swapping = detail;
              }}></tick-list>`
            : nothing
        }
        ${this.said ? html`<p role="status" class="heed">${this.said}</p>` : nothing}
        </div></div>
        <dl class="under">
          ${answer?.posting_off ? html`<div><dt>honey</dt><dd class="heed">${answer.posting_off}</dd></div>` : nothing}
          ${waitsSaid(order)}${posts ? heatSaid(order, this.#call) : nothing}
          ${minded(answer).map((words) => html`<div><dt>careful</dt><dd>${words}</dd></div>`)}
          ${
            person
              ? html`<div><dt>${posts ? "to" : "who"}</dt><dd><p>${posts ? html`${to.name}, ${addressSaid(to) || html`<span class="heed">no address yet</span>`}` : person.name}</p>
            ${posts && to.name !== person.name ? html`<p class="faint">from ${person.name}</p>` : nothing}${order.gift_note && posts ? html`<p>“${order.gift_note}”</p>` : nothing}
            ${person.phone ? html`<p><a class="figures" href="tel:${person.phone}">${phoneSaid(person.phone)}</a></p>` : nothing}</dd></div>`
              : nothing
          }
          ${order.note ? html`<div><dt>note</dt><dd>${order.note}</dd></div>` : nothing}
          <div><dt>order</dt><dd><a href=${placeOf("book", "order", order.id)}>${order.number}</a>${["promised", "packed"].includes(order.state) ? html` · <a href=${placeOf("counter", "change", order.id)}>change it</a>` : nothing}</dd></div>
        </dl>
      </div></div>
      ${
        this.swapping
          ? html`<div class="deck">${keyed(
              `${this.swapping.slice.line} ${this.swapping.slice.at} ${this.swapping.run.lot}`, // what was typed wrong for one is not told of the next
              html`<lot-deck .pick=${{ good: this.swapping.slice.good, lot: this.swapping.run.lot, units: this.swapping.run.units }}
          @taken=${(/** @type {Told<string | null>} */ { detail }) => this.#took(order, detail)} @close=${() => {
            this.swapping = null;
          }}></lot-deck>`,
            )}</div>`
          : html`<pack-deck class="deck" .order=${order.id} .call=${this.#call} .answer=${answer} .left=${leftOf(rows, this.note)} .note=${this.note} @noted=${() => {
              this.note = noteOf(this.order);
            }}></pack-deck>`
      }`;
  }

  /** @param {Partial<BenchNote>} change */
  #note(change) {
    this.note = note(this.order, change);
  }

  /**
   * Another lot was in the hand: as many of it as lie there, the rest as planned; and they are in.
   * @param {Order} order
   * @param {string | null} lot
   */
  #took(order, lot) {
    if (!this.swapping) return;
    const { row, slice, run, at } = this.swapping;
    const lines = linesToPack(order, house.view).filter(({ good }) => good === slice.good);
    const packing = lines.find(({ line }) => line === slice.line);
    if (!packing) return; // the order has changed meanwhile
    const inAll = lines
      .flatMap((line) => lotsTaken(line, this.note, house.view))
      .filter((one) => one.lot === lot)
      .reduce((sum, one) => sum + one.units, 0);
    const there = house.view.lotBalance(slice.good).find((one) => one.lot === lot)?.units ?? 0;
    const most = lot === run.lot || lot === null ? run.units : Math.min(run.units, there - inAll);
    if (most <= 0) {
      this.swapping = null;
      this.#act.failed({
        message: `No more of ${lot} lies here by the book.`,
        remedy: "Count that lot on the Shelf, then choose it again.",
      });
      return;
    }
    const runs = lotsTaken(packing, this.note, house.view);
    this.#note({
      lots: { ...this.note.lots, [slice.line]: withLot(runs, at, most, lot) },
      counts: { ...this.note.counts, [row.key]: Math.min(row.count, ticksOf(row, this.note) + most) },
    });
    this.said =
      most < run.units
        ? `Only ${most} of ${lot} ${most === 1 ? "lies" : "lie"} here by the book: the other ${counted(run.units - most, "piece")} as planned.`
        : "";
    if (this.said) sayAloud(this.said);
    this.swapping = null;
    this.#act.clear();
  }

  /** @param {string | null} carton */
  #choose = async (carton) => {
    this.#note({ carton });
    await this.#otherwise({});
  };

  /** @param {Order["dressing"]} dressing */
  #dress = (dressing) => this.#otherwise({ dressing });

  /**
   * Packed otherwise: what posting costs then is asked before it is written down, so that both are one entry.
   * @param {Pick<Amendment, "dressing">} change
   */
  async #otherwise(change) {
    const order = house.view.orders.get(this.order);
    if (!order) return;
    await this.#act.run(
      async () => {
        const posting = await postingAnew(order, change, this.note.carton);
        return { ...(await amend(order.id, { ...change, ...posting.change })), posting: posting.words };
      },
      ({ posting }) => posting,
      { focus: false },
    );
    if (this.order !== order.id) this.#act.clear();
  }
}
customElements.define("parcel-board", ParcelBoard);
