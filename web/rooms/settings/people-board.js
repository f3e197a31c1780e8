import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { Act } from "../../parts/act.js";
import { sayAloud } from "../../parts/aloud.js";
import { placeOf } from "../../parts/route.js";
import { counted, phoneSaid } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { bringPeople, takeBackPeople } from "../../store/acts.js";

/** @import { Chosen, Typed } from "../../parts/events.d.ts" */
/** @import { ReadLine, ReadPeople } from "./answers.d.ts" */
/** @import { Trouble } from "../../store/shapes.d.ts" */

/** @type {[string, string][]} */
const FIELDS = [
  ["", "leave out"],
  ["name", "name"],
  ["first", "first name"],
  ["last", "last name"],
  ["company", "business"],
  ["phone", "number"],
  ["street", "street"],
  ["unit", "apartment"],
  ["city", "city"],
  ["state", "state"],
  ["zip", "ZIP"],
  ["place", "whole address"],
  ["email", "e-mail"],
  ["note", "note"],
];
const SHOWN = 60;
const READ_WAIT_S = 60;
/** @type {Record<string, string>} */
const ENCODINGS = { "utf-8": "", "utf-16": "", "windows-1252": " It was saved with the letters of older Windows programs." };

/** People you already have, out of a spreadsheet (CSV) or a vCard file: what each line would become, then all of them at once. */
class PeopleBoard extends Part {
  static properties = {
    read: { state: true },
    sort: { state: true },
    besides: { state: true },
  };

  #act = new Act(this);
  #data = "";
  /** Who was brought in last, to be taken back. @type {string[]} */
  #brought = [];
  /** What is under way. */
  #doing = "";

  constructor() {
    super();
    /** @type {ReadPeople | null} */
    this.read = null;
    /** Which lines are looked at. @type {"new" | "doubt" | "double" | "left_out"} */
    this.sort = "new";
    /** Lines that are to be otherwise than they stand: new ones left out, doubles brought in. @type {Set<number>} */
    this.besides = new Set();
  }

  /**
   * @template {object | void} T
   * @param {string} doing said while it is under way
   * @param {() => Promise<T>} act
   * @param {string | ((done: T) => string)} words
   */
  #run(doing, act, words) {
    this.#doing = doing;
    return this.#act.run(act, words);
  }

  /** @param {HTMLInputElement} input */
  async #file(input) {
    const [file] = input.files ?? [];
    if (!file) return;
    const bytes = new Uint8Array(await file.arrayBuffer());
    input.value = "";
    let text = "";
    for (let at = 0; at < bytes.length; at += 0x8000) text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
    this.#data = btoa(text);
    this.#act.clear();
    this.#brought = [];
    await this.#look(null);
  }

  /** The dry run; nothing is written. @param {string[] | null} fields what each column is, where a person said so */
  async #look(fields) {
    const read = await this.#run("looking at it …", () => this.#ask(fields), "");
    if (!read) return;
    Object.assign(this, { read, besides: new Set(), sort: "new" });
    sayAloud(`${this.#chosen().length} people to bring in. Nothing is written yet.`);
  }

  /** @param {string[] | null} fields @returns {Promise<ReadPeople>} */
  async #ask(fields) {
    try {
      return await house.call("/api/people/read", { body: { data: this.#data, fields }, wait_s: READ_WAIT_S });
    } catch (error) {
      const trouble = /** @type {Trouble} */ (error);
      if (trouble.kind === "no answer")
        trouble.remedy = "Lists are read by the main computer: bring this device into its reach, then open the file again.";
      throw trouble;
    }
  }

  /** New people, and doubles that a person wants all the same. */
  #chosen() {
    return (this.read?.lines ?? [])
      .filter(({ state, line, person }) => person && (state === "new" ? !this.besides.has(line) : this.besides.has(line)))
      .flatMap(({ person }) => person ?? []);
  }

  async #bring() {
    /** @param {{people: string[]}} done */
    const words = ({ people }) => `${counted(people.length, "person is", "people are")} in your book now.`;
    const done = await this.#run("writing it down …", () => bringPeople(this.#chosen()), words);
    if (!done) return;
    this.#brought = done.people;
    this.read = null;
  }

  async #undo() {
    const back = () => takeBackPeople(this.#brought).then(() => ({}));
    if (await this.#run("taking it back …", back, "Undone: nobody of that list is in your book.")) this.#brought = [];
  }

  render() {
    const mayNot = house.status.device?.role !== "keeper";
    const { busy } = this.#act;
    const undo = this.#brought.length ? html`<button type="button" class="key undo" @click=${() => this.#undo()}>undo</button>` : nothing;
    return html`<div class="board"><div class="column">
      <a class="key tight back" href=${placeOf("settings")}>all settings</a>
      <h1>People you already have</h1>
      ${busy ? nothing : html`${this.#act.outcome()}${undo}`}
      ${
        busy
          ? html`<p class="faint" role="status">${this.#doing}</p>`
          : this.read
            ? this.#dryRun(this.read)
            : html`
        <p>Bring them in from a file. It may be a spreadsheet saved as CSV, its columns in any order, or a phone's contacts saved as a vCard (.vcf).</p>
        <p class="faint">You see what each line becomes before anything is written. Who is in your book already is noticed.</p>
        ${mayNot ? html`<p class="faint">Only an owner's device may do this.</p>` : nothing}`
      }
    </div></div>
    ${
      mayNot || busy
        ? nothing
        : html`<div class="deck">${
            this.read
              ? html`
      <button type="button" class="key say" ?disabled=${!this.#chosen().length} @click=${() => this.#bring()}>bring in ${counted(this.#chosen().length, "person", "people")}</button>
      <button type="button" class="key quiet" @click=${() => {
        this.read = null;
      }}>leave it</button>`
              : html`
      <label class="key say">open a file<input class="spoken" type="file" accept=".csv,.tsv,.txt,.vcf,text/csv,text/vcard,text/plain" @change=${(/** @type {Typed} */ { target }) => target.files?.[0] && this.#file(target)} /></label>`
          }</div>`
    }`;
  }

  /** @param {ReadPeople} read */
  #dryRun({ lines, counts, columns, encoding }) {
    const doubted = lines.filter(({ doubts, state }) => doubts.length && state === "new").length;
    /** @type {[PeopleBoard["sort"], string][]} */
    const sorts = [
      ["new", `${counts.new ?? 0} new`],
      ["doubt", `${doubted} to look at`],
      ["double", `${(counts.double ?? 0) + (counts.known ?? 0)} twice`],
      ["left_out", `${counts.left_out ?? 0} left out`],
    ];
    const shown = lines.filter((line) => this.#isOf(line, this.sort));
    return html`<p><strong>${counted(lines.length, "line", "lines")} read.</strong> Nothing is written yet.${ENCODINGS[encoding] ?? ""}</p>
      ${columns.length ? this.#columns(columns) : nothing}
      <div class="keyrow two" role="group" aria-label="Which lines">${sorts.map(
        ([sort, words]) =>
          html`<button type="button" class="key tight" aria-pressed=${this.sort === sort} @click=${() => {
            this.sort = sort;
          }}>${words}</button>`,
      )}</div>
      <ol class="dry-run" aria-label="Line by line">${shown.slice(0, SHOWN).map((line) => this.#line(line))}</ol>
      ${shown.length > SHOWN ? html`<p class="faint">and ${counted(shown.length - SHOWN, "more line", "more lines")} like these.</p>` : nothing}`;
  }

  /** @param {ReadLine} line @param {string} sort */
  #isOf({ state, doubts }, sort) {
    if (sort === "doubt") return state === "new" && doubts.length > 0;
    return sort === "double" ? state === "double" || state === "known" : state === sort;
  }

  /** @param {ReadPeople["columns"]} columns */
  #columns(columns) {
    const fields = columns.map(({ field }) => field);
    return html`<details class="otherwise" ?open=${!fields.some((field) => ["name", "first", "last", "company"].includes(field))}><summary class="faint">what each column is</summary>
      <div class="fields split">${columns.map(
        (
          { title, field, samples },
          at,
        ) => html`<label class="write"><span>${title}${samples[0] ? `: ${samples[0].slice(0, 24)}` : ""}</span>
        <select @change=${(/** @type {Chosen} */ { target }) => this.#look(fields.map((one, place) => (place === at ? target.value : one)))}>${FIELDS.map(([value, words]) => html`<option value=${value} ?selected=${value === field}>${words}</option>`)}</select></label>`,
      )}</div></details>`;
  }

  /** @param {ReadLine} line */
  #line({ line, state, person, says, doubts }) {
    const taken = state === "new" ? !this.besides.has(line) : this.besides.has(line);
    const turn = () => {
      const besides = new Set(this.besides);
      if (!besides.delete(line)) besides.add(line);
      this.besides = besides;
    };
    const where = person
      ? [person.street, person.unit, [person.city, person.state, person.zip].filter(Boolean).join(" ")].filter(Boolean).join(", ")
      : "";
    return html`<li><strong>line ${line}</strong> ${person ? html`${person.name || "no name"}${person.phone ? html`, <span class="figures">${phoneSaid(person.phone)}</span>` : nothing}` : nothing}
      ${where || person?.note ? html`<br /><span class="faint">${[where, person?.note].filter(Boolean).join(" · ")}</span>` : nothing}
      ${[says, ...doubts].filter(Boolean).map((words) => html`<br /><span class="heed">${words}</span>`)}
      ${person ? html`<div class="keyrow"><button type="button" class="key tight quiet" aria-pressed=${taken !== (state === "new")} @click=${turn}>${taken ? (state === "new" ? "leave this one out" : "comes in all the same") : state === "new" ? "stays out" : "bring it in all the same"}</button></div>` : nothing}</li>`;
  }
}
customElements.define("people-board", PeopleBoard);
