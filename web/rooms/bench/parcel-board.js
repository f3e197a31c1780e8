import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { placeOf } from "../../parts/route.js";
import { daySaid, phoneSaid, unitsSaid, weightSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { addressSaid } from "../counter/sentence.js";
import { CallAnswer } from "../counter/call-answer.js";
import { linesToPack, linesWaiting, lotsFor, orderRequest } from "./order-work.js";
import "../../parts/heat-pictures.js";
import "../../parts/picture.js";
import "./pack-deck.js";

/** One order opened large: its carton, the drawing, the steps, the lots to take, heat, and the keys of its next step. */
class ParcelBoard extends Part {
  static properties = { order: {}, place: {}, ticked: { state: true } };

  #call = new CallAnswer(() => this.requestUpdate());

  constructor() {
    super();
    this.ticked = new Set();
  }

  willUpdate(changed) {
    if (changed.has("order")) this.ticked = new Set();
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
        ${posts ? this.#steps() : nothing}
        <dl class="under">
          ${this.#call.answer?.posting_off ? html`<div><dt>honey</dt><dd class="heed">${this.#call.answer.posting_off}</dd></div>` : nothing}
          ${this.#take(order)}${this.#waits(order)}${posts ? this.#heat(order) : nothing}
          ${(this.#call.answer?.cautions ?? []).map((caution) => html`<div><dt>mind</dt><dd>${caution}</dd></div>`)}
          ${person ? html`<div><dt>${posts ? "to" : "who"}</dt><dd><p>${person.name}${posts ? html`, ${addressSaid(person) || html`<span class="heed">no address yet</span>`}` : nothing}</p>
            ${person.phone ? html`<p><a class="figures" href="tel:${person.phone}">${phoneSaid(person.phone)}</a></p>` : nothing}</dd></div>` : nothing}
          ${order.note ? html`<div><dt>note</dt><dd>${order.note}</dd></div>` : nothing}
          <div><dt>order</dt><dd><a href=${placeOf("book", "order", order.id)}>${order.number}</a></dd></div>
        </dl>
      </div></div>
      <pack-deck class="deck" .order=${order.id} .answer=${this.#call.answer} .left=${this.#left(order)}></pack-deck>`;
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
    if (!parcels.length) return html`<h1 class="heed">No carton here holds it</h1>${whyNotSaid(whyNot)}`;
    return html`<h1 class="carton">${parcels.map((parcel) => parcel.carton_name).join(" + ")}</h1>
      <p class="faint">${parcels.map((parcel) => parcel.gross_words).join(" + ")} packed. ${said || (proved ? "Proved the smallest." : "The best found.")}</p>
      ${whyNot?.length ? html`<details><summary class="faint">why not another carton</summary>${whyNotSaid(whyNot)}</details>` : nothing}`;
  }

  #steps() {
    const parcels = this.#call.answer?.parcel?.parcels ?? [];
    return parcels.filter((parcel) => parcel.steps?.length).map((parcel) => html`
      ${parcels.length > 1 ? html`<h2 class="day">Box ${parcel.part} of ${parcel.of}: ${parcel.carton_name}</h2>` : nothing}
      <ol class="steps">${parcel.steps.map((step) => html`<li>${String(step).replace(/^\d+\.\s*/, "")}</li>`)}</ol>`);
  }

  /** Lots to take, oldest first, ticked off as they go in. */
  #take(order) {
    const { view } = house;
    const picks = linesToPack(order, view).flatMap((line) => lotsFor(line.good, line.units, view).map((lot) => ({ ...line, ...lot, key: `${line.line} ${lot.lot}` })));
    if (!picks.length) return nothing;
    return html`<div class="whole"><dt>take</dt><dd class="takes">${picks.map((pick) => html`
      <button type="button" class="take" role="checkbox" aria-checked=${this.ticked.has(pick.key)} @click=${() => this.#tick(pick.key)}>
        <span class="tick" aria-hidden="true"></span>
        <span><strong>${unitsSaid(view.goods.get(pick.good), pick.units)}</strong><small>${pick.lot ? `from ${pick.lot}` : "no lot written"}</small></span></button>`)}</dd></div>`;
  }

  #tick(key) {
    const ticked = new Set(this.ticked);
    if (!ticked.delete(key)) ticked.add(key);
    this.ticked = ticked;
  }

  #left = (order) => linesToPack(order, house.view).flatMap((line) => lotsFor(line.good, line.units, house.view).map((lot) => `${line.line} ${lot.lot}`))
    .filter((key) => !this.ticked.has(key)).length;

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

const whyNotSaid = (rows) => html`<ul class="why-not">${(rows ?? []).map(({ name, why }) => html`<li><strong>${name}</strong>: ${why}</li>`)}</ul>`;
