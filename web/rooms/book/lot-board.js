import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { placeOf } from "../../parts/route.js";
import { dayShort, phoneSaid, unitsSaid, weightSaid } from "../../parts/words.js";
import { paperFacts, printPaper } from "../../parts/papers.js";
import { Question } from "../../kernel/question.js";
import { work } from "../../kernel/work.js";
import { measureSaid } from "./lot-measures.js";
import { house } from "../../store/house.js";
import { lotsLatestFirst } from "../../store/sorting.js";
import { noteLot } from "../../store/acts.js";
import { troubleOf } from "../../store/trouble.js";
import { traceRequest } from "../../store/recall.js";
import "./note-form.js";

/** @import { TraceAnswer } from "../../kernel/answers.d.ts" */
/** @import { Asking } from "../../kernel/question.js" */
/** @import { Lot, Trouble } from "../../store/shapes.d.ts" */

/**
 * First what this device knows, at once; then all of it from the house, when that is in reach.
 * @param {Asking} asking
 * @returns {Promise<TraceAnswer>}
 */
async function traced({ request: { lot, whole }, signal, tell }) {
  const here = await traceRequest(lot)
    .then(async ({ since, request }) => ({ ...(await work("stock.trace", request, { signal })), since, from_device: true }))
    .catch(() => null);
  if (here) tell(here);
  if (here && !whole) return here;
  try {
    return await house.call(`/api/lots/${encodeURIComponent(lot)}/trace`);
  } catch (error) {
    const trouble = /** @type {Trouble & Error & {status?: number}} */ (error);
    if (here) return { ...here, not_there: trouble.status === 404 };
    throw Object.assign(trouble, { unknown: trouble.kind === "no answer" });
  }
}

/** @typedef {Pick<Lot, "id" | "good" | "made_on" | "sources"> & Partial<Lot>} LotShown */

/** One lot: what it was made from, what was made of it, and what is left of it here. Without one: all lots to choose from. */
class LotBoard extends Part {
  static properties = { lot: {} };

  constructor() {
    super();
    this.lot = "";
  }

  #act = new Act(this, { asks: true });
  #trace = new Question(this, traced);

  willUpdate() {
    this.#act.about(this.lot ?? "");
    this.#trace.about(this.lot ? { lot: this.lot, whole: house.status.signal !== "none" } : null);
  }

  /** The recall sheet, printed from here. */
  #print = async () => {
    const trace = this.#trace.answer;
    const facts = paperFacts();
    const request = {
      ...facts,
      house: { ...facts.house, name: facts.house.name || "Honey house" },
      trace,
      goods: [...house.view.goods.values()].map(({ id, name, plural, unit }) => ({ id, name, plural, unit })),
      since: trace?.since ?? null,
      from_device: trace?.from_device ?? false,
    };
    await this.#act.run(async () => {
      try {
        await printPaper("documents.recall", request);
      } catch (error) {
        const { message, remedy } = troubleOf(error, "Copy the numbers by hand.");
        throw Object.assign(new Error(`No sheet: ${message}`), { remedy });
      }
      return {};
    }, "Printed from this device.");
  };

  render() {
    const { view } = house;
    const lot = view.lots.get(this.lot) ?? this.#usedUp();
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("book")}>the book</a>
      ${lot ? this.#told(lot) : this.#all()}
    </div></div>`;
  }

  /** A lot with nothing left has gone from this device, not from the house. */
  #usedUp() {
    const trace = this.#trace.answer;
    const known = trace?.lots?.find(({ lot }) => lot === this.lot);
    return known
      ? { id: known.lot, good: known.good, made_on: known.made_on, sources: (trace?.made_from ?? []).map(({ lot }) => lot) }
      : null;
  }

  #whoHasIt() {
    const { answer, waits } = this.#trace;
    if (!answer)
      return html`<span class="faint">${waits ? "asking the main computer …" : "The main computer knows; it is out of reach now."}</span>`;
    const { who_has: people, not_named: unnamed, since, from_device } = answer;
    const part = from_device
      ? html`<p class="faint">Complete only with signal; from this device: ${since ? `orders since ${dayShort(since)} ${since.slice(0, 4)}` : "what it was told"}.</p>`
      : nothing;
    if (!people.length && !unnamed.length) return html`Nobody yet.${part}`;
    return html`${part}
      <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${this.#print}>print the recall sheet</button>${this.#act.outcome()}
      ${people.map(({ name, phone, units, person }) => html`<p><a href=${placeOf("book", "person", person)}>${name}</a>, ${units}${phone ? html`, <a class="figures ring" href="tel:${phone}">${phoneSaid(phone)}</a>` : nothing}</p>`)}
      ${unnamed.length ? html`<p class="faint">${unnamed.reduce((sum, { units }) => sum + units, 0)} to people who gave no name</p>` : nothing}`;
  }

  /** What was used up long ago has left this device: only the main computer can say that there is none. */
  #missing() {
    const { answer, state, why, remedy } = this.#trace;
    if (state === "refused") return `${why} ${remedy}`;
    if (answer && (!answer.from_device || answer.not_there)) return `No lot is called ${this.lot}.`;
    return `This device knows of no lot ${this.lot}; the main computer could not be asked.`;
  }

  #all() {
    const lots = [...house.view.lots.values()].sort(lotsLatestFirst);
    return html`${this.lot && !this.#trace.waits ? html`<p class="heed" role="alert">${this.#missing()}</p>` : nothing}<h1>Which lot?</h1>
      ${
        lots.length
          ? html`<dl class="under lots">${lots.map(
              (lot) => html`<div><dt><a class="figures" href=${placeOf("book", "lot", lot.id)}>${lot.id}</a></dt>
        <dd>${house.view.goods.get(lot.good)?.plural ?? lot.good}, ${dayShort(lot.made_on)}</dd></div>`,
            )}</dl>`
          : html`<p class="faint">No lot is on the shelf now.</p>`
      }`;
  }

  /** @param {LotShown} lot */
  #told(lot) {
    const { view } = house;
    const good = view.goods.get(lot.good);
    const left = view.lotBalance(lot.good).find((found) => found.lot === lot.id)?.units ?? 0;
    const of = [...view.lots.values()].filter((other) => (other.sources ?? []).includes(lot.id));
    /** @param {string[]} codes */
    const links = (codes) =>
      codes.map((code, place) => html`${place ? ", " : ""}<a class="figures" href=${placeOf("book", "lot", code)}>${code}</a>`);
    const measures = Object.entries(lot.measures ?? {});
    return html`<h1 class="figures">${lot.id}</h1>
      <p class="faint">${good?.plural ?? lot.good}, made ${dayShort(lot.made_on)}</p>
      <dl class="under">
        <div><dt>left here</dt><dd>${!good ? left : good.unit === "g" ? weightSaid(left) : unitsSaid(good, left)}</dd></div>
        <div><dt>made from</dt><dd>${lot.sources?.length ? links(lot.sources) : "not written"}</dd></div>
        ${of.length ? html`<div><dt>went into</dt><dd>${links(of.map(({ id }) => id))}</dd></div>` : nothing}
        <div><dt>who has it</dt><dd>${this.#whoHasIt()}</dd></div>
        ${measures.map(([name, value]) => measured(...measureSaid(name, value)))}
        ${lot.note ? html`<div><dt>note</dt><dd>${lot.note}</dd></div>` : nothing}
      </dl>
      ${view.lots.has(lot.id) ? html`<note-form .text=${lot.note ?? ""} .write=${(/** @type {string} */ note) => noteLot({ id: lot.id, note })}></note-form>` : nothing}`;
  }
}
customElements.define("lot-board", LotBoard);

/** @param {string} name @param {string} value */
const measured = (name, value) => html`<div><dt>${name}</dt><dd class="figures">${value}</dd></div>`;
