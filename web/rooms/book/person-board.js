import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { addressFields, addressTrouble, addressWritten, troubleSaid } from "../../parts/address-form.js";
import { go, placeOf } from "../../parts/route.js";
import { money, phoneSaid, whoSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { payAll, readPhone, savePerson } from "../../store/acts.js";
import { orderRow } from "./order-row.js";
import { statementAsked } from "./statement.js";
import "../../parts/print-key.js";
import "./older-orders.js";
import "./person-out.js";
import "./same-person.js";
import "./standing-list.js";

/** @import { Changed, Submitted } from "../../parts/events.d.ts" */
/** @import { DraftPerson, Order } from "../../store/shapes.d.ts" */

/** One person: how to reach them, their orders, what they owe. Property `person`: an id, or "new". */
class PersonBoard extends Part {
  static properties = { person: {}, typed: {}, trouble: { state: true } };

  constructor() {
    super();
    this.person = "";
    this.typed = "";
    this.trouble = "";
  }

  #act = new Act(this);

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("person")) {
      this.trouble = "";
      this.#act.about(this.person);
    }
  }

  /** @param {Submitted} event */
  async #save(event) {
    event.preventDefault();
    const form = event.target;
    const written = new FormData(form);
    const [name, number, note] = ["name", "phone", "note"].map((field) => String(written.get(field) ?? "").trim());
    const { phone, trouble } = await readPhone(number, house.view.people.get(this.person)?.phone);
    const address = addressWritten(form);
    const anyAddress = Object.values(address).some(Boolean);
    if (!name) this.trouble = "Write a name, even a short one.";
    else if (trouble) this.trouble = trouble;
    else this.trouble = anyAddress ? addressTrouble(address) : "";
    if (this.trouble) return;
    const known = this.person !== "new";
    const done = await this.#act.run(
      () => savePerson({ ...(known ? { id: this.person } : {}), name, phone, note, ...address }),
      "Written down.",
    );
    if (done?.person && !known) go("book", "person", done.person);
  }

  /** Several orders of one payer, settled at one touch. @param {Order[]} orders */
  #owing(orders) {
    const owing = orders.filter(({ id, state }) => state !== "let_go" && house.view.owed(id) > 0);
    if (owing.length < 2) return nothing;
    const cents = owing.reduce((sum, { id }) => sum + house.view.owed(id), 0);
    const paid = (/** @type {"cash" | "check"} */ how) =>
      this.#act.run(
        () =>
          payAll(
            owing.map(({ id }) => id),
            how,
          ),
        `${money(cents)} paid, for ${owing.length} orders.`,
      );
    return html`<div class="keyrow two" role="group" aria-label="Paid for all of it">
      <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => paid("cash")}>all paid in cash<small>${money(cents)}</small></button>
      <button type="button" class="key tight" ?disabled=${this.#act.busy} @click=${() => paid("check")}>all paid by check<small>${money(cents)}</small></button></div>`;
  }

  render() {
    const { view } = house;
    const known = view.people.get(this.person);
    if (!known && this.person !== "new")
      return html`<div class="board"><a class="key tight back" href=${placeOf("book")}>the book</a><p>Nobody of that name is on this device.</p></div>`;
    const number = /^[\d\s()+.-]+$/.test(this.typed ?? "");
    /** @type {DraftPerson} */
    const person = known ?? { name: number ? "" : this.typed, phone: number ? this.typed : "" };
    const orders = known ? view.ordersOf(known.id) : [];
    const owes = orders.filter(({ state }) => state !== "let_go").reduce((sum, order) => sum + Math.max(0, view.owed(order.id)), 0);
    const back = orders.reduce((sum, order) => sum + Math.max(0, -view.owed(order.id)), 0);
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("book")}>the book</a>
      <h1>${known ? whoSaid(known) : "Someone new"}</h1>
      ${known ? html`<p class="faint">${known.phone ? html`<a class="figures" href="tel:${known.phone}">${phoneSaid(known.phone)}</a> · ` : nothing}${owes ? html`owes <strong>${money(owes)}</strong>` : "owes nothing"}${back ? html` · <span class="heed">${money(back)} to pay back</span>` : nothing}</p>` : nothing}
      ${known && (owes || back) ? html`<print-key words="print what they owe" .of=${known.id} .asked=${() => statementAsked(known.id)}></print-key>` : nothing}
      ${orders.length ? html`<ol>${orders.map((order) => orderRow(order, view, house.today(), false, true))}</ol>` : nothing}
      ${this.#owing(orders)}
      ${known ? html`<older-orders .person=${known.id}></older-orders>` : nothing}
      ${known && !known.hidden ? html`<standing-list .person=${known.id}></standing-list>` : nothing}
      ${known && !known.hidden ? html`<same-person .person=${known.id}></same-person>` : nothing}
      <form class="fields split" @submit=${this.#save} novalidate>
        <label class="write whole"><span>name</span><input name="name" autocomplete="off" autocapitalize="words" .value=${person.name ?? ""} /></label>
        <label class="write whole"><span>number to call</span><input name="phone" inputmode="tel" autocomplete="off" .value=${phoneSaid(person.phone ?? "")} /></label>
        ${addressFields(person)}
        <label class="write whole"><span>note</span><textarea name="note" .value=${person.note ?? ""}></textarea></label>
        <div class="whole">${troubleSaid(this.trouble)}${this.#act.outcome()}</div>
        <button class="key on whole">write it down</button>
      </form>
      ${known && !known.hidden ? html`<person-out .person=${known}></person-out>` : nothing}
    </div></div>`;
  }
}
customElements.define("person-board", PersonBoard);
