import { html, nothing } from "lit";
import { Part } from "./part.js";
import { phoneSaid } from "./words.js";
import { find } from "../store/find.js";
import { house } from "../store/house.js";

/** @import { Typed } from "./events.d.ts" */
/** @import { Found } from "../store/find.js" */
/** @import { Person } from "../store/shapes.d.ts" */

const MOST_SHOWN = 6;

/**
 * People by any digits of their number or letters of their name.
 * Digits have large keys of their own; letters come from the device's keyboard.
 * Sends `pick` with the person, and `fresh` with the text typed so far.
 */
export class PersonFinder extends Part {
  static properties = { text: { state: true }, letters: { state: true }, once: { type: Boolean } };

  constructor() {
    super();
    this.text = "";
    this.letters = false;
    this.once = false;
  }

  firstUpdated() {
    if (matchMedia("(pointer: fine)").matches) this.querySelector("input")?.focus();
  }

  /** @param {"pick" | "fresh"} name @param {Person | string} detail */
  #send(name, detail) {
    const whole = typeof detail === "string" ? detail : (house.view.people.get(detail.id) ?? detail); // a joined one is who they are
    this.dispatchEvent(new CustomEvent(name, { detail: whole }));
  }

  /** @param {KeyboardEvent} event @param {Found[]} found */
  #key(event, found) {
    if (event.key !== "Enter") return;
    event.preventDefault();
    if (found.length) this.#send("pick", found[0].person);
    else if (this.text.trim()) this.#send("fresh", this.text.trim());
  }

  /** @param {string} key */
  #press(key) {
    this.text = key === "⌫" ? this.text.slice(0, -1) : this.text + key;
  }

  async #useLetters() {
    this.letters = !this.letters;
    await this.updateComplete;
    const input = this.querySelector("input");
    input?.blur();
    if (this.letters) input?.focus(); // opens the device's keyboard
  }

  render() {
    const found = find(this.text, { most: MOST_SHOWN });
    const keys = ["1", "2", "3", "4", "5", "⌫", "6", "7", "8", "9", "0", "abc"];
    return html`
      <div class="finder">
        <label class="write"><span>any digits of their number, or letters of their name</span>
          <input type="text" autocomplete="off" spellcheck="false" inputmode=${this.letters ? "text" : "none"} .value=${this.text}
            @input=${(/** @type {Typed} */ event) => {
              this.text = event.target.value;
            }} @keydown=${(/** @type {KeyboardEvent} */ event) => this.#key(event, found)} /></label>
        <div class="keylist found" role="group" aria-label="People found">
          ${found.map((hit, place) => this.#person(hit, place))}
          ${
            this.text.trim()
              ? html`<button type="button" class="key left undo" @click=${() => this.#send("fresh", this.text.trim())}>
            someone new<small>${/\d/.test(this.text) ? phoneSaid(this.text) : this.text}</small></button>`
              : nothing
          }
        </div>
        <div class="keyrow six digits">
          ${keys.map(
            (key) => html`<button type="button" class="key" aria-pressed=${key === "abc" ? this.letters : nothing}
            aria-label=${key === "⌫" ? "take the last one away" : key === "abc" ? "letters" : key}
            @click=${() => (key === "abc" ? this.#useLetters() : this.#press(key))}>${key}</button>`,
          )}
        </div>
      </div>`;
  }

  /** @param {Found} hit @param {number} place */
  #person({ person, by, from, to }, place) {
    const number = by === "number" ? marked(saidWithDigits(person.phone), from, to) : phoneSaid(person.phone);
    const name =
      by === "name" ? html`${person.name.slice(0, from)}<mark>${person.name.slice(from, to)}</mark>${person.name.slice(to)}` : person.name;
    return html`<button type="button" class="key left ${place ? "" : "first"}" @click=${() => this.#send("pick", person)}>
      <span>${name}</span><small class="figures">${number}${person.city ? ` · ${person.city}` : ""}</small></button>`;
  }
}
customElements.define("person-finder", PersonFinder);

/** Each character as it is said, with the place it has in the kept number, or -1 for a dash. @param {string} phone */
function saidWithDigits(phone) {
  const said = phoneSaid(phone);
  let place = phone.length - said.replace(/\D/g, "").length - (said.startsWith("+") ? 1 : 0);
  return [...said].map((sign) => ({ sign, place: /[\d+]/.test(sign) ? place++ : -1 }));
}

/** @param {{sign: string, place: number}[]} signs @param {number} from @param {number} to */
function marked(signs, from, to) {
  return signs.map(({ sign, place }) => (place >= from && place < to ? html`<mark>${sign}</mark>` : sign));
}
