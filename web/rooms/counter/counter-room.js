import { html, nothing } from "lit";
import { Part } from "../../parts/part.js";
import { sayAloud } from "../../parts/aloud.js";
import { firstNote } from "../../parts/nothing-sold.js";
import { restUnderFinger } from "../../parts/resting.js";
import { Act } from "../../parts/act.js";
import { go } from "../../parts/route.js";
import { unitsSaid } from "../../parts/words.js";
import { goWithout } from "../../store/acts.js";
import { house } from "../../store/house.js";
import { sentences } from "../../store/sentences.js";
import { callQuestion } from "../../parts/call-answer.js";
import { besides } from "./besides.js";
import { deckFor } from "./deck-for.js";
import { callerRows } from "./caller.js";
import { dayOf, draftOfOrder, emptyDraft, isEmpty, personOf, receiverOf, withUnits } from "./draft.js";
import { freeze } from "./frozen.js";
import { MoreAsked } from "./more-asked.js";
import { parkedCalls, takenAway } from "./parked.js";
import { NOT_WORKED_OUT, postingMeanwhile, postingNow } from "../../parts/posting.js";
import { WideWatch } from "../../parts/wide.js";
import { sayKey } from "./say-key.js";
import { tilesOf } from "./tiles.js";
import { sentenceToTouch } from "./sentence.js";
import { callRequest } from "../../store/sureness.js";
import { underSentence } from "./under.js";
import "./call-timer.js";
import "./day-list.js";
import "../../parts/again-list.js";
import "./read-back.js";
import "./promised.js";

/** @import { Changed, Told } from "../../parts/events.d.ts" */
/** @import { Frozen } from "./frozen.js" */
/** @import { Written } from "./now.d.ts" */
/** @import { Composed } from "../../store/shapes.d.ts" */

/** Calls and walk-ins: the order is a sentence, composed by touching its blanks. */
class CounterRoom extends Part {
  static properties = {
    path: {},
    draft: { state: true },
    opened: { state: true },
    step: { state: true },
    done: { state: true },
    frozen: { state: true },
  };

  /** The order of the book that is to be changed, as long as it is not open yet. @type {string | null} */
  #opening = null;
  #begun = false;
  #switching = 0; // while another sentence is taken up an answer or a touch to the one before is not written into it
  #call = callQuestion(this, () => this.#heard());
  #missed = new Act(this);
  #more = new MoreAsked(
    () => this.requestUpdate(),
    () => ({ draft: this.draft, share: this.#share, id: this.#id() }),
  );

  constructor() {
    super();
    this.path = /** @type {string[]} */ ([]);
    /** @type {Composed} */
    this.draft = emptyDraft();
    /** @type {string | null} */
    this.opened = "who";
    /** @type {"compose" | "aloud" | "promised"} */
    this.step = "compose";
    /** @type {Written | null} */
    this.done = null;
    /** @type {Frozen | null} */
    this.frozen = null;
    new WideWatch(this);
  }

  #id = () => sentences.mine?.id ?? null;
  /** @param {string} good */
  #share = (good) => house.share(good, this.#id());
  #day = () => dayOf(this.draft, house.view, house.today());

  /** @param {Changed} changed */
  willUpdate(changed) {
    if (changed.has("path")) this.#opening = this.path[0] === "change" ? this.path[1] : null;
    if (!house.status.started) return;
    if (!sentences.ready) return void sentences.takeUp().then(() => this.requestUpdate());
    if (!this.#begun || (sentences.taken_away && this.draft.started)) this.#resume();
    this.#missed.about(String(this.draft.started ?? ""));
    if (this.step === "promised") return void this.#call.dispose();
    if (this.#opening) this.#openOrder(this.#opening);
    if (this.step !== "compose") return;
    this.#price(postingMeanwhile(this.draft, this.#receiver(), Boolean(house.view.setting("posting_prices", ""))));
    this.#call.about(this.#request());
    this.#more.look();
  }

  /** @param {Changed} changed */
  updated(changed) {
    if (changed.has("opened")) this.querySelector('.blank[aria-expanded="true"]')?.scrollIntoView({ block: "nearest" });
  }

  #receiver = () => receiverOf(this.draft, house.view);

  #request() {
    const { draft } = this;
    if (draft.way !== "post" || !draft.lines.length) return null;
    return callRequest({
      ...draft,
      view: house.view,
      today: house.today(),
      now: house.now(),
      person: this.#receiver(),
      leave_on: this.#day(),
    });
  }

  /** The sentence that is this window's now, or an empty one. */
  #resume() {
    const draft = { ...emptyDraft(), ...sentences.mine?.draft };
    this.#more.forget();
    this.#begun = true;
    Object.assign(this, { draft, opened: isEmpty(draft) ? "who" : null, step: "compose", done: null, frozen: null });
  }

  /** Another call: this one is put on hold. @type {(id: string | null, force?: boolean) => Promise<void>} */
  #goOn = async (id, force = false) => {
    this.#switching += 1;
    const switched = await (id ? sentences.open(id, { force }) : sentences.park().then(() => true)).finally(() => (this.#switching -= 1));
    if (switched) this.#resume();
    else if (sentences.mine) this.#keep();
    this.requestUpdate();
  };

  /** An order of the book, to be changed; the sentence in hand is put on hold, never overwritten. @param {string} id */
  async #openOrder(id) {
    if (!house.view.orders?.has(id)) return; // the book still opens: asked again when it has
    this.#opening = null;
    if (this.draft.amends === id) return;
    const begun = sentences.others().find(({ draft }) => draft.amends === id);
    await this.#goOn(begun && !begun.elsewhere ? begun.id : null);
    if (begun?.elsewhere) return; // it stands in the list, to be taken over
    if (this.draft.amends !== id) this.draft = draftOfOrder(house.view, id);
    this.#keep();
    Object.assign(this, { opened: "more", step: "compose" });
  }

  /** An order of the caller that is open: the sentence that holds nobody's wish yet makes way. @param {string} id @param {string} [good] @param {number} [units] */
  #changeOpen = async (id, good, units = 0) => {
    sentences.drop();
    this.#resume();
    await this.#openOrder(id);
    if (good && this.draft.amends === id) this.#take({ lines: withUnits(this.draft, good, units).lines }, `line:${good}`);
  };

  #keep = () => this.#switching || sentences.write(this.draft);

  /** @param {Partial<Composed> | null} priced */
  #price(priced) {
    if (!priced) return;
    this.draft = { ...this.draft, ...priced };
    if (sentences.mine) this.#keep();
  }

  /** An answer to the sentence as it stands; what is read to a caller, or promised, no longer hears of it. */
  #heard() {
    if (this.step !== "compose") return;
    const { parcel, heat } = this.#call.answer ?? {};
    this.#price(postingNow(this.draft, this.#receiver(), parcel ?? (this.#call.state === "unknown" ? NOT_WORKED_OUT : undefined)));
    if (parcel || heat) sayAloud([parcel?.words, heat && `heat: ${heat.verdict_words ?? heat.verdict}`].filter(Boolean).join("; "));
  }

  /**
   * Every change of the sentence passes here: kept at once, the goods in it held, the next blank opened.
   * @param {Partial<Composed>} change
   * @param {string | null} [next]
   */
  #take = (change, next = this.opened) => {
    const started = this.draft.started ?? Date.now();
    const before = this.draft.way;
    this.draft = { ...this.draft, ...change, started };
    if (this.draft.way !== before && !("leave_on" in change)) this.draft.leave_on = null;
    this.#keep();
    const moved = next !== this.opened;
    this.opened = next === "what" && this.draft.lines.length ? null : next;
    if (change.lines) {
      this.draft.given_cents = null; // a bill for another sum
      this.#more.saySure();
    }
    if (moved) this.focusOn(".deck button, .deck input");
  };

  /** @param {string} good @param {number} units */
  #settle = (good, units) =>
    this.#take({
      lines: this.draft.lines.map((line) => (line.good === good ? { good, units, settled: true } : line)),
    });

  /** What is not to be had at once is not waited for: it leaves the sentence. @param {string} good @param {number} units */
  #goWithout = async (good, units) => {
    const words = `Written down: they went without ${unitsSaid(house.view.goods.get(good) ?? { name: good }, units)}.`;
    if (!(await this.#missed.run(() => goWithout(good, units, this.draft.way), words, { focus: false }))) return;
    this.#take({ lines: this.draft.lines.filter((line) => line.good !== good) }, null); // something else, or the end of the call
  };

  #clear = () => {
    sentences.drop();
    this.#resume();
    if (this.path.length) go("counter");
  };

  /** The same once more for the same payer: only where it goes is asked. */
  #another = () => {
    const person = house.view.orders.get(this.done?.order ?? "")?.person ?? null;
    const lines = this.frozen?.draft.lines.map(({ good, units }) => ({ good, units })) ?? [];
    this.#clear();
    this.#take({ person, lines, way: "post" }, "where");
  };

  #readIt = () => {
    restUnderFinger()(); // the key that promises comes up where this one was
    if (!sentences.mine) this.#keep();
    this.frozen = freeze({ draft: this.draft, view: house.view, today: house.today(), share: this.#share, call: this.#call }, this.#id());
    this.step = "aloud";
  };

  /** @param {Told<Written>} news */
  #said = ({ detail }) => {
    if (detail.op) sentences.ended();
    else sentences.drop(); // nothing differed, so nothing was written
    Object.assign(this, { done: detail, step: "promised" });
  };

  /** The promise is canceled; its words are a new sentence. */
  #takenBack = () => {
    if (!this.frozen) return;
    this.draft = structuredClone(this.frozen.draft);
    this.#more.forget();
    Object.assign(this, { step: "compose", opened: null, frozen: null });
    this.#keep();
  };

  render() {
    if (!house.status.started || !sentences.ready)
      return html`<div class="room" data-lone><div class="board"><p class="faint">Opening the book …</p></div></div>`;
    if (this.step === "aloud") {
      return html`<read-back class="room" .frozen=${this.frozen} @back=${() => {
        this.step = "compose";
      }} @said=${this.#said}></read-back>`;
    }
    if (this.step === "promised") {
      return html`<order-promised class="room" .done=${this.done} .frozen=${this.frozen} @next=${this.#clear} @another=${this.#another} @undone=${this.#takenBack}></order-promised>`;
    }
    return this.#compose();
  }

  #compose() {
    const { draft, opened } = this;
    const { view, status } = house;
    const now = {
      draft,
      view,
      share: this.#share,
      asking: this.#more.asking,
      signal: status.signal !== "none",
      call: this.#call,
      person: personOf(draft, view),
      receiver: receiverOf(draft, view),
      settle: this.#settle,
      goWithout: this.#goWithout,
      take: this.#take,
      park: () => this.#goOn(null),
    };
    const number = draft.amends ? view.orders.get(draft.amends)?.number : null;
    return html`<section class="room" aria-label="Counter">
      <div class="board"><div class="column">
        <h1 class="where">${number ? `Changing order ${number}` : draft.started ? html`<call-timer .started=${draft.started} .words=${draft.way === "walk_in" ? "Someone here" : "On the line"}></call-timer>` : "Next call"}</h1>
        ${sentenceToTouch(draft, view, house.today(), opened, (blank) => this.#touch(blank))}
        ${takenAway()}
        ${sentences.unkept ? html`<p class="heed">This device keeps no copy of the sentence while you write it: do not reload.</p>` : nothing}
        ${isEmpty(draft) ? html`${parkedCalls(view, this.#goOn)}<again-list></again-list>${firstNote()}<day-list></day-list>` : nothing}
        ${this.#missed.outcome()}
        ${tilesOf(now)}
        ${callerRows(now, house.today(), this.#changeOpen)}
        ${underSentence(now)}
        ${isEmpty(draft) ? nothing : parkedCalls(view, this.#goOn)}
      </div></div>
      <div class="deck">
        ${deckFor(opened, { ...now, today: house.today(), chosen: dayOf(draft, view, house.today()), answer: this.#call.answer, clear: this.#clear, amends: draft.amends })}
        ${sayKey(now, opened, (blank) => this.#touch(blank), this.#readIt)}
        ${besides(now)}
      </div>
    </section>`;
  }

  /** @param {string} blank */
  #touch(blank) {
    this.opened = this.opened === blank ? null : blank;
    this.focusOn(".deck button, .deck input");
  }
}
customElements.define("counter-room", CounterRoom);
