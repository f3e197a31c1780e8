import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { notWritten } from "../../parts/not-written.js";
import { placeOf } from "../../parts/route.js";
import { daySaid, phoneSaid, unitsSaid, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { addressSaid } from "../counter/sentence.js";
import { CallAnswer } from "../counter/call-answer.js";
import { amend } from "../../store/acts.js";
import { note, noteOf } from "./bench-notes.js";
import { linesToPack, linesWaiting, lotsTaken, orderRequest } from "./order-work.js";
import { packOtherwise } from "./otherwise.js";
import "../../parts/heat-pictures.js";
import "../../parts/picture.js";
import "./lot-deck.js";
import "./pack-deck.js";

/** One order opened large: its carton, the drawing, the steps, the lots to take, heat, and the keys of its next step. */
class ParcelBoard extends Part {
  static properties = { order: {}, place: {}, note: { state: true }, swapping: { state: true }, error: { state: true } };

  #call = new CallAnswer(() => this.requestUpdate());

  constructor() {
    super();
    Object.assign(this, { note: null, swapping: null, error: null });
  }

  willUpdate(changed) {
    if (changed.has("order") || !this.note) Object.assign(this, { note: noteOf(this.order), swapping: null, error: null });
    const order = house.view.orders.get(this.order);
    const posts = order?.way === "post" && ["promised", "packed"].includes(order.state) && linesToPack(order, house.view).length;
    this.#call.about(posts ? orderRequest(order, house.view, house.today()) : null);
  }

  render() {
    const { view } = house;
    const order = view.orders.get(this.order);
    if (!order) return html`<div class="board"><p>That order is not on this device.</p></div>`;
    const person = order.person ? view.people.get(order.person) : null;
    const posts = order.way === "post";
    return html`
      <div class="board"><div class="column">
        <a class="key tight back" href=${placeOf("bench")}>all parcels</a>
        <p class="where">${person?.name ?? "No name"}${person?.city && posts ? `, ${person.city}` : ""}${this.place ? ` · ${this.place}` : ""}</p>
        ${posts ? this.#carton(order) : html`<h1>${order.state === "gone" ? "Handed over" : `Pick up ${daySaid(order.leave_on, house.today())}`}</h1>`}
        ${posts && this.#call.answer?.parcel?.ok ? html`
          <kernel-picture name="answers.parcel_picture" .request=${orderRequest(order, view, house.today())} waiting="drawing the parcel …" missing="The drawing comes when the kernel is awake."></kernel-picture>` : nothing}
        ${posts && order.state === "promised" ? packOtherwise({ order, carton: this.note.carton, answer: this.#call.answer, choose: this.#choose, dress: this.#dress }) : nothing}
        ${posts ? this.#steps() : nothing}
        ${this.error ? notWritten(this.error) : nothing}
        <dl class="under">
          ${this.#call.answer?.posting_off ? html`<div><dt>honey</dt><dd class="heed">${this.#call.answer.posting_off}</dd></div>` : nothing}
          ${this.#take(order)}${this.#waits(order)}${posts ? this.#heat(order) : nothing}
          ${this.#minded().map((caution) => html`<div><dt>mind</dt><dd>${caution}</dd></div>`)}
          ${person ? html`<div><dt>${posts ? "to" : "who"}</dt><dd><p>${person.name}${posts ? html`, ${addressSaid(person) || html`<span class="heed">no address yet</span>`}` : nothing}</p>
            ${person.phone ? html`<p><a class="figures" href="tel:${person.phone}">${phoneSaid(person.phone)}</a></p>` : nothing}</dd></div>` : nothing}
          ${order.note ? html`<div><dt>note</dt><dd>${order.note}</dd></div>` : nothing}
          <div><dt>order</dt><dd><a href=${placeOf("book", "order", order.id)}>${order.number}</a>${["promised", "packed"].includes(order.state) ? html` · <a href=${placeOf("counter", "change", order.id)}>change it</a>` : nothing}</dd></div>
        </dl>
      </div></div>
      ${this.swapping ? html`<div class="deck"><lot-deck .pick=${this.swapping} @taken=${({ detail }) => this.#took(order, detail)} @close=${() => { this.swapping = null; }}></lot-deck></div>`
        : html`<pack-deck class="deck" .order=${order.id} .answer=${this.#call.answer} .left=${this.#left(order)} .note=${this.note} @noted=${() => { this.note = noteOf(this.order); }}></pack-deck>`}`;
  }

  /** What to mind: of the goods, and of each box by its maker's certificate and the price table. */
  #minded() {
    const { cautions = [], parcel } = this.#call.answer ?? {};
    const boxes = parcel?.parcels ?? [];
    return [...cautions, ...boxes.flatMap(({ notes = [], part }) => notes.map((note) => (boxes.length > 1 ? `Box ${part}: ${note}` : note)))];
  }

  /** What has left: when, in which cartons, how heavy. */
  #gone(order) {
    const parcels = house.view.parcelsOf(order.id);
    return html`<h1>Gone ${daySaid(order.gone_on, house.today())}</h1>
      <p class="faint">${parcels.map((parcel) => `${house.view.cartons.get(parcel.carton)?.name ?? "carton by eye"}, ${weightSaid(parcel.scale_g || parcel.gross_g)}`).join("; ")}</p>`;
  }

  #carton(order) {
    if (order.state === "gone") return this.#gone(order);
    const { state, answer, why } = this.#call;
    if (state === "working") return html`<h1 class="faint">choosing the carton …</h1>`;
    if (!answer?.parcel) return html`<h1>Carton by eye</h1><p class="faint">${state === "refused" ? why : state === "none" ? "Nothing of it is here to pack yet." : `${why} Pack as you know how; weigh it, and it is kept.`}</p>`;
    const { parcels, proved, said, why_not: whyNot } = answer.parcel;
    if (!parcels.length && order.state === "packed" && packedIn(order)) return html`<h1 class="carton">${house.view.cartons.get(packedIn(order))?.name}</h1><p class="faint">Packed by hand, against the reckoning.</p>${whyNotSaid(whyNot)}`;
    if (!parcels.length) return html`<h1 class="heed">No carton here holds it</h1>${whyNotSaid(whyNot)}`;
    return html`<h1 class="carton">${parcels.map((parcel) => parcel.carton_name).join(" + ")}</h1>
      <p class="faint">${parcels.map((parcel) => parcel.gross_words).join(" + ")} packed. ${this.#whyThis(order) || said || (proved ? "Proved the smallest." : "The best found.")}</p>
      ${whyNot?.length ? html`<details><summary class="faint">why not another carton</summary>${whyNotSaid(whyNot)}</details>` : nothing}`;
  }

  /** No proof is claimed for a carton that somebody chose: no other was looked at. */
  #whyThis = (order) => (order.state === "packed" && packedIn(order) ? "As it was packed." : this.note.carton && order.state === "promised" ? "Chosen by hand." : "");

  #steps() {
    const parcels = this.#call.answer?.parcel?.parcels ?? [];
    return parcels.filter((parcel) => parcel.steps?.length).map((parcel) => html`
      ${parcels.length > 1 ? html`<h2 class="day">Box ${parcel.part} of ${parcel.of}: ${parcel.carton_name}</h2>` : nothing}
      <ol class="steps">${parcel.steps.map((step) => html`<li>${String(step).replace(/^\d+\.\s*/, "")}</li>`)}</ol>`);
  }

  #picks = (order) => linesToPack(order, house.view).flatMap((line) => lotsTaken(line, this.note, house.view)
    .map((lot) => ({ ...line, ...lot, key: `${line.line} ${lot.lot}` })));

  #left = (order) => this.#picks(order).filter(({ key }) => !this.note.ticked.includes(key)).length;

  /** Lots to take, oldest first, ticked off as they go in; a wrong one is noticed and put down as it was. */
  #take(order) {
    const { view } = house;
    const picks = this.#picks(order);
    if (!picks.length) return nothing;
    return html`<div class="whole"><dt>take</dt><dd class="takes">${picks.map((pick) => html`<div class="take-row">
      <button type="button" class="take" role="checkbox" aria-checked=${this.note.ticked.includes(pick.key)} @click=${() => this.#tick(pick.key)}>
        <span class="tick" aria-hidden="true"></span>
        <span><strong>${unitsSaid(view.goods.get(pick.good), pick.units)}</strong>
          <small class=${pick.meant ? "heed" : ""}>${pick.lot ? html`from <span class="lot">${pick.lot}</span>` : "no lot written"}${pick.meant ? html`; it was to be <span class="lot">${pick.meant}</span>` : nothing}</small></span></button>
      ${view.lotBalance(pick.good).filter((one) => one.lot).length > 1 ? html`<button type="button" class="key tight quiet" @click=${() => { this.swapping = pick; }}>another lot</button>` : nothing}
    </div>`)}</dd></div>`;
  }

  #tick(key) {
    const { ticked } = this.note;
    this.note = note(this.order, { ticked: ticked.includes(key) ? ticked.filter((one) => one !== key) : [...ticked, key] });
  }

  /** Another lot was in the hand: as many of it as lie there, the rest as planned. */
  #took(order, lot) {
    const { line, good, units, lot: planned, meant } = this.swapping;
    const there = lot === null ? units : Math.max(0, house.view.lotBalance(good).find((one) => one.lot === lot)?.units ?? 0);
    const others = this.#picks(order).filter((pick) => pick.line === line && pick.lot !== planned);
    const before = others.find((pick) => pick.lot === lot)?.units ?? 0;
    const most = Math.min(units, there - before);
    if (most <= 0) {
      Object.assign(this, { swapping: null, error: { message: `No more of ${lot} lies here by the book.`, remedy: "Count that lot on the Shelf, then choose it again." } });
      return;
    }
    const parts = [{ lot, units: most, ...(lot === (meant ?? planned) ? {} : { meant: meant ?? planned }) }, { lot: planned, units: units - most }];
    const lots = [...others.map(({ lot: other, units: some, meant: was }) => ({ lot: other, units: some, ...(was ? { meant: was } : {}) })), ...parts].filter((one) => one.units > 0);
    this.note = note(this.order, { lots: { ...this.note.lots, [line]: joined(lots) }, ticked: [...this.note.ticked, `${line} ${lot}`] });
    Object.assign(this, { swapping: null, error: null });
  }

  #choose = (carton) => {
    this.note = note(this.order, { carton });
  };

  #dress = async (dressing) => {
    try {
      await amend(this.order, { dressing });
      this.error = null;
    } catch (error) {
      this.error = error;
    }
  };

  #waits(order) {
    return linesWaiting(order, house.view).map(({ line, units }) => html`
      <div><dt>waits</dt><dd><span class="heed">${unitsSaid(house.view.goods.get(line.good), units)}</span> for the next pour. <a href=${placeOf("counter", "change", order.id)}>change the order</a></dd></div>`);
  }

  #heat(order) {
    const dressed = { plain: "plain paper", lined: "lined", chilled: "lined and chilled" }[order.dressing] ?? order.dressing;
    const { heat, advice, unknown = [] } = this.#call.answer ?? {};
    return html`<div><dt>dressing</dt><dd><strong>${dressed}</strong></dd></div>
      ${heat ? html`<div><dt>heat</dt><dd><p><span class=${heat.harmless ? "" : "heed"}>${heat.verdict}</span>${heat.harmless ? "" : `, ${[heat.chance_words, heat.when_words].filter(Boolean).join(", ")}`}</p>
        ${advice && !heat.harmless ? html`<p>${advice.words}</p>` : nothing}
        ${this.#call.answer?.basis ? html`<p class="faint">By the ${this.#call.answer.basis}.</p>` : nothing}
        <heat-pictures .request=${this.#call.asked} .number=${order.number} .who=${house.view.people.get(order.person)?.name}></heat-pictures></dd></div>`
      : unknown.length ? html`<div><dt>heat</dt><dd class="faint">${unknown.join(" ")}</dd></div>` : nothing}`;
  }
}
customElements.define("parcel-board", ParcelBoard);

/** The one carton it stands in, if it is one and known. */
const packedIn = (order) => (house.view.parcelsOf(order.id).length === 1 ? house.view.parcelsOf(order.id)[0].carton : null);

const whyNotSaid = (rows) => html`<ul class="why-not">${(rows ?? []).map(({ name, why }) => html`<li><strong>${name}</strong>: ${why}</li>`)}</ul>`;

/** One row a lot. */
function joined(lots) {
  const found = new Map();
  for (const { lot, units, meant } of lots) {
    const known = found.get(lot);
    found.set(lot, { lot, units: units + (known?.units ?? 0), ...(meant || known?.meant ? { meant: meant ?? known?.meant } : {}) });
  }
  return [...found.values()];
}
