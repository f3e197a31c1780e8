import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { firstNote } from "../../parts/nothing-sold.js";
import { go } from "../../parts/route.js";
import { house } from "../../store/house.js";
import { CallAnswer } from "./call-answer.js";
import { deckFor } from "./deck-for.js";
import { gist } from "./gist.js";
import { dayOf, draftOfOrder, emptyDraft, isEmpty, keepDraft, keptDraft, lacking, personOf } from "./draft.js";
import { postingNow } from "./posting.js";
import { sentenceToTouch } from "./sentence.js";
import { callRequest, surenessOf } from "./sureness.js";
import { choiceKeys, honeyKeys, underSentence } from "./under.js";
import "./call-timer.js";
import "./again-list.js";
import "./read-back.js";
import "./promised.js";

/** Calls and walk-ins: the order is a sentence, composed by touching its blanks. */
class CounterRoom extends Part {
  static properties = { path: {}, draft: { state: true }, opened: { state: true }, step: { state: true }, done: { state: true } };

  #asking = new Set();
  #asked = new Map();
  #unkept = false;
  #opening = null;
  #call = new CallAnswer(() => this.#heard());

  constructor() {
    super();
    this.path = [];
    this.draft = keptDraft();
    this.opened = isEmpty(this.draft) ? "who" : null;
    this.step = "compose";
    this.done = null;
  }

  willUpdate(changed) {
    if (changed.has("path")) this.#opening = this.path[0] === "change" ? this.path[1] : null;
    if (this.#opening) this.#openOrder(this.#opening);
    if (this.step !== "compose" || !house.status.started) return;
    const { draft } = this;
    const asks = draft.way === "post" && draft.lines.length;
    this.#call.about(asks ? callRequest({ ...draft, view: house.view, today: house.today(), now: house.now(), person: personOf(draft, house.view), leave_on: this.#day() }) : null);
    this.#askForMore();
  }

  updated(changed) {
    if (changed.has("opened")) this.querySelector('.blank[aria-expanded="true"]')?.scrollIntoView({ block: "nearest" });
  }

  #day = () => dayOf(this.draft, house.view, house.today());

  #openOrder(id) {
    if (!house.view.orders?.has(id)) return; // the book still opens: asked again when it has
    this.#opening = null;
    if (this.draft.amends === id) return;
    Object.assign(this, { draft: draftOfOrder(house.view, id), opened: "more", step: "compose" });
  }

  /** More than this device's share: ask the house once for this many, and say so meanwhile. */
  #askForMore() {
    for (const line of this.draft.lines) {
      const { rest, wanted, kept } = surenessOf(line, this.draft, house.view, house.share(line.good));
      const needed = wanted - kept;
      if (!rest || this.#asked.get(line.good) === needed || house.status.signal === "none") continue;
      this.#asked.set(line.good, needed);
      this.#asking.add(line.good);
      house.ask(line.good, needed).finally(() => {
        this.#asking.delete(line.good);
        this.#saySure();
        this.requestUpdate();
      });
    }
  }

  #saySure() {
    const words = this.draft.lines.map((line) => {
      const { sure, rest } = surenessOf(line, this.draft, house.view, house.share(line.good));
      const name = house.view.goods.get(line.good)?.plural ?? line.good;
      return rest ? `${sure} ${name} sure, ${rest} not` : `${sure} ${name} sure`;
    });
    sayAloud(words.join("; "));
  }

  /** The house's own price table, as long as the keeper has typed no other figure. */
  #priced(parcel) {
    const priced = postingNow(this.draft, personOf(this.draft, house.view), parcel);
    if (!priced) return;
    this.draft = { ...this.draft, ...priced };
    this.#unkept = !keepDraft(this.draft);
  }

  #heard() {
    const { parcel, heat } = this.#call.answer ?? {};
    this.#priced(parcel);
    if (parcel || heat) sayAloud([parcel?.words, heat && `heat: ${heat.verdict_words ?? heat.verdict}`].filter(Boolean).join("; "));
    this.requestUpdate();
  }

  /** Every change of the sentence passes here: kept at once, the goods in it held, the next blank opened. */
  #take = (change, next = this.opened) => {
    const started = this.draft.started ?? Date.now();
    const before = this.draft.way;
    this.draft = { ...this.draft, ...change, started };
    if (this.draft.way !== before && !("leave_on" in change)) this.draft.leave_on = null;
    this.#unkept = !keepDraft(this.draft);
    house.holdFor(this.draft.lines.map(({ good, units }) => ({ good, units })));
    const moved = next !== this.opened;
    this.opened = next === "what" && this.draft.lines.length ? null : next;
    if (change.lines) this.#saySure();
    if (moved) this.focusOn(".deck button, .deck input");
  };

  #settle = (good, units) => this.#take({
    lines: this.draft.lines.map((line) => (line.good === good ? { good, units, settled: true } : line)),
  });

  #clear = () => {
    this.draft = emptyDraft();
    keepDraft(this.draft);
    house.holdFor([]);
    this.#asked.clear();
    Object.assign(this, { opened: "who", step: "compose", done: null });
    if (this.path.length) go("counter");
  };

  #said = ({ detail }) => {
    this.done = detail;
    this.step = "promised";
    keepDraft(emptyDraft());
    house.holdFor([]);
  };

  #takenBack = () => {
    this.step = "compose";
    this.opened = null;
    this.#asked.clear();
    keepDraft(this.draft);
  };

  render() {
    if (!house.status.started) return html`<div class="room" data-lone><div class="board"><p class="faint">Opening the book …</p></div></div>`;
    if (this.step === "aloud") {
      return html`<read-back class="room" .draft=${this.draft} .call=${this.#call.answer} @back=${() => { this.step = "compose"; }} @said=${this.#said}></read-back>`;
    }
    if (this.step === "promised") {
      return html`<order-promised class="room" .done=${this.done} .draft=${this.draft} @next=${this.#clear} @undone=${this.#takenBack}></order-promised>`;
    }
    return this.#compose();
  }

  #compose() {
    const { draft } = this;
    const { view, status } = house;
    const now = {
      draft, view, share: house.share, asking: this.#asking, signal: status.signal !== "none", call: this.#call,
      person: personOf(draft, view), settle: this.#settle, take: this.#take,
    };
    const number = draft.amends ? view.orders.get(draft.amends)?.number : null;
    return html`<section class="room" aria-label="Counter">
      <div class="board"><div class="column">
        <h1 class="where">${number ? `Changing order ${number}` : draft.started ? html`<call-timer .started=${draft.started}></call-timer>` : "Next call"}</h1>
        ${sentenceToTouch(draft, view, house.today(), this.opened, (blank) => this.#touch(blank))}
        ${this.#unkept ? html`<p class="heed">This device keeps no copy of the sentence while you write it: do not reload.</p>` : nothing}
        ${isEmpty(draft) ? html`<again-list></again-list>${firstNote()}` : nothing}
        ${underSentence(now)}
      </div></div>
      <div class="deck">
        ${this.opened ? gist(now, () => this.#touch(this.opened)) : nothing}
        ${deckFor(this.opened, { ...now, today: house.today(), chosen: dayOf(draft, view, house.today()), answer: this.#call.answer, clear: this.#clear, amends: draft.amends })}
        ${this.#sayKey(now)}
      </div>
    </section>`;
  }

  #touch(blank) {
    this.opened = this.opened === blank ? null : blank;
    this.focusOn(".deck button, .deck input");
  }

  /** The step that counts. While something lacks, it says what, and opens it. */
  #sayKey(now) {
    const lacks = lacking(this.draft, house.view);
    const asks = { who: "Who is it?", what: "What do they want?", where: "Where does it go?" };
    if (lacks) {
      if (this.opened === lacks || isEmpty(this.draft)) return nothing;
      return html`<button type="button" class="key" @click=${() => this.#touch(lacks)}>${asks[lacks]}</button>`;
    }
    const undecided = this.draft.lines.find((line) => !line.settled && surenessOf(line, this.draft, house.view, house.share(line.good)).rest);
    if (undecided && !this.#asking.size) return html`<p class="where">Not all of it is sure: choose how many.</p>${choiceKeys(undecided, now)}`;
    if (this.#call.answer?.posting_off && this.draft.way === "post" && !this.draft.ask_state) {
      return html`<p class="where">Posting honey is off: they pick it up, or it waits.</p>${honeyKeys(now)}`;
    }
    const words = this.draft.way === "walk_in" ? "Say it, then sell" : this.draft.amends ? "Read back, then change" : "Read back, then promise";
    return html`<button type="button" class="key say" @click=${() => { this.step = "aloud"; }}>${words}</button>`;
  }
}
customElements.define("counter-room", CounterRoom);
