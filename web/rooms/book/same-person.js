import { html, nothing } from "lit";
import { Act } from "../../parts/act.js";
import { Part } from "../../parts/part.js";
import { addressSaid, phoneSaid } from "../../parts/words.js";
import { joinPeople } from "../../store/acts.js";
import { find } from "../../store/find.js";
import { house } from "../../store/house.js";

/** @import { Changed, Typed } from "../../parts/events.d.ts" */
/** @import { Person } from "../../store/shapes.d.ts" */

const MOST = 5;

/** Somebody who stands in the book twice: joined at a touch, with all of both, and parted again. Property `person`: an id. */
class SamePerson extends Part {
  static properties = { person: {}, text: { state: true } };

  #act = new Act(this);

  constructor() {
    super();
    this.person = "";
    this.text = "";
  }

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (!changed.has("person")) return;
    this.#act.about(this.person);
    this.text = "";
  }

  render() {
    const me = house.view.people.get(this.person);
    if (!me || me.hidden) return nothing;
    const joined = house.view.people.joinedTo(me.id);
    const others = (this.text ? find(this.text, { most: MOST }).map(({ person }) => person) : alike(me)).filter(
      ({ id }) => !house.view.people.same(id, me.id),
    );
    return html`
      ${joined.map(
        (one) => html`<div class="again-one"><p>Also in the book as <strong>${named(one)}</strong>
        <small class="faint">${saidOf(one)}</small></p>
        <button type="button" class="key tight quiet" ?disabled=${this.#act.busy} @click=${() =>
          this.#act.run(
            () => joinPeople(one.id, null),
            `${named(one)} is somebody else again, with their own orders.`,
          )}>somebody else after all</button></div>`,
      )}
      <details class="otherwise"><summary>in the book twice?</summary>
        <label class="write"><span>the other one: letters of the name, or digits of the number</span><input autocomplete="off" .value=${this.text} @input=${(
          /** @type {Typed} */ { target },
        ) => {
          this.text = target.value;
        }} /></label>
        <div class="keylist">${others.map(
          (one) => html`
          <button type="button" class="key left" ?disabled=${this.#act.busy} @click=${() => this.#join(one, me)}><span>${named(one)} is ${named(me)} too</span><small>${saidOf(one)}</small></button>`,
        )}</div></details>
      ${this.#act.outcome()}`;
  }

  /** @param {Person} one @param {Person} me */
  async #join(one, me) {
    const done = await this.#act.run(() => joinPeople(one.id, me.id), `${named(one)} is ${named(me)}: their orders stand here now.`);
    if (done) this.text = "";
  }
}
customElements.define("same-person", SamePerson);

/** @param {Person} person */
const named = ({ name }) => name || "no name";

/** @param {Person} person */
const saidOf = (person) => [phoneSaid(person.phone), addressSaid(person)].filter(Boolean).join(" · ");

/** Who may be the same: the same number, name or door. @param {Person} me @returns {Person[]} */
function alike(me) {
  const door = (/** @type {Person} */ { street, zip }) => (street ? `${street} ${zip}`.toLowerCase() : "");
  return [...house.view.people.values()]
    .filter((one) => one.id !== me.id && !one.hidden && !one.same_as)
    .filter(
      (one) =>
        (me.phone && one.phone === me.phone) ||
        (me.name && one.name.toLowerCase() === me.name.toLowerCase()) ||
        (door(me) && door(one) === door(me)),
    )
    .slice(0, MOST);
}
