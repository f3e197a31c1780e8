/** What is said of one order at the bench: its carton and why, heat, what waits, what to mind. */
import { html, nothing } from "lit";
import { PACKINGS, verdictSaid } from "../../parts/heat-words.js";
import { placeOf } from "../../parts/route.js";
import { daySaid, mailingWeightSaid, unitsSaid } from "../../parts/words.js";
import { whyNotSaid } from "../../parts/why-not.js";
import { house } from "../../store/house.js";
import { linesWaiting } from "./order-work.js";

/** @import { CallAnswer } from "../../kernel/answers.d.ts" */
/** @import { BenchNote } from "../../parts/bench-notes.js" */
/** @import { Call } from "../../parts/call-answer.js" */
/** @import { Order, Parcel } from "../../store/shapes.d.ts" */

/** The carton of a packed parcel, by the name it had then. @param {Parcel} parcel */
const packedIn = (parcel) => parcel.plan?.name || house.view.cartons.get(parcel.carton ?? "")?.name || "carton by eye";

/** What it weighs: by the scale, else as planned; by eye nobody knows before it was weighed. @param {Parcel} parcel */
const packedWeight = ({ scale_g, gross_g }) => (scale_g || gross_g ? mailingWeightSaid(scale_g || gross_g) : "not weighed yet");

/** What has left: when, in which cartons, how heavy. @param {Order} order */
function goneSaid(order) {
  const parcels = house.view.parcelsOf(order.id);
  return html`<h1>Mailed ${daySaid(order.gone_on, house.today())}</h1>
    <p class="faint">${parcels.map((parcel) => `${packedIn(parcel)}, ${packedWeight(parcel)}`).join("; ")}</p>`;
}

/** What is packed: read from its parcels, never planned again. @param {Order} order */
function packedSaid(order) {
  const parcels = house.view.parcelsOf(order.id);
  return html`<h1 class="carton">${parcels.map(packedIn).join(" + ")}</h1>
    <p class="faint">${parcels.map(packedWeight).join(" + ")}. As it was packed.</p>`;
}

/** How packed parcels stand in their cartons, drawn from what was kept; nothing for what was packed by eye. @param {Order} order */
export function packedPicture(order) {
  const parcels = house.view.parcelsOf(order.id).filter(({ plan }) => plan?.placements?.length);
  if (!parcels.length) return nothing;
  const request = { parcels, unit: house.view.setting("length_unit", "in"), view: "both" };
  return html`<kernel-picture name="quoting.packed_picture" .request=${request} waiting="drawing the parcel …" missing="The drawing comes later."></kernel-picture>`;
}

/**
 * The carton, large, and why it is this one.
 * @param {Call} call the question about it
 * @param {BenchNote} note of the bench
 * @param {Order} order
 */
export function cartonSaid(order, call, note) {
  if (order.state === "gone") return goneSaid(order);
  if (order.state === "packed") return packedSaid(order);
  const { state, answer, why } = call;
  if (state === "working") return html`<h1 class="faint">choosing the carton …</h1>`;
  if (!answer?.parcel)
    return html`<h1>Carton by eye</h1><p class="faint">${state === "refused" ? why : state === "none" ? "Nothing of it is here to pack yet." : `${why} Pack as you know how; weigh it, and it is kept.`}</p>`;
  const { parcels, proved, said, why_not: whyNot } = answer.parcel;
  if (!parcels.length) return html`<h1 class="heed">No carton here holds it</h1>${whyNotSaid(whyNot)}`;
  return html`<h1 class="carton" ?data-several=${parcels.length > 1}>${parcels.map((parcel) => parcel.carton_name).join(" + ")}</h1>
    <p class="faint">${parcels.map((parcel) => parcel.gross_words).join(" + ")} packed. ${(note.carton && "Chosen by hand.") || said || (proved ? "Proved the smallest." : "The best found.")}</p>
    ${whyNot?.length ? html`<details><summary class="faint">why not another carton</summary>${whyNotSaid(whyNot)}</details>` : nothing}`;
}

/**
 * What to mind: of the goods, and of each box by its maker's certificate and the price table.
 * @param {CallAnswer | null} answer
 * @returns {string[]}
 */
export function minded(answer) {
  const { cautions = [], parcel } = answer ?? {};
  const boxes = parcel?.parcels ?? [];
  return [...cautions, ...boxes.flatMap(({ notes = [], part }) => notes.map((one) => (boxes.length > 1 ? `Box ${part}: ${one}` : one)))];
}

/** What still waits for a pour. @param {Order} order */
export const waitsSaid = (order) =>
  linesWaiting(order, house.view).map(
    ({ line, units }) => html`
  <div><dt>waits</dt><dd><span class="heed">${unitsSaid(house.view.goods.get(line.good) ?? { name: line.good }, units)}</span> for the next pour. <a href=${placeOf("counter", "change", order.id)}>change the order</a></dd></div>`,
  );

/** How it is dressed against heat, and what heat will do. @param {Order} order @param {Call} call */
export function heatSaid(order, call) {
  const dressed = PACKINGS[order.dressing] ?? order.dressing;
  if (order.state !== "promised") {
    return html`<div><dt>packing</dt><dd><strong>${dressed}</strong></dd></div>
      ${order.heat ? html`<div><dt>heat</dt><dd>${order.heat}</dd></div>` : nothing}`;
  }
  const { heat, advice, unknown = [], basis } = call.answer ?? {};
  return html`<div><dt>packing</dt><dd><strong>${dressed}</strong></dd></div>
    ${
      heat
        ? html`<div><dt>heat</dt><dd><p><span class=${heat.harmless ? "" : "heed"}>${verdictSaid(heat)}</span>${heat.harmless ? "" : `, ${[heat.chance_words, heat.when_words].filter(Boolean).join(", ")}`}</p>
      ${advice && !heat.harmless ? html`<p>${advice.words}</p>` : nothing}
      ${basis ? html`<p class="faint">By the ${basis}.</p>` : nothing}
      <heat-pictures .request=${call.asked} .number=${order.number} .who=${house.view.people.get(order.person ?? "")?.name}></heat-pictures></dd></div>`
        : unknown.length
          ? html`<div><dt>heat</dt><dd class="faint">${unknown.join(" ")}</dd></div>`
          : nothing
    }`;
}
