import { html, nothing } from "lit";
import { Act } from "./act.js";
import { Part } from "./part.js";
import { placeOf } from "./route.js";
import { everySaid, mailedWith, wantedSaid } from "./standing-words.js";
import { daySaid, money } from "./words.js";
import { promiseStanding, skipStanding } from "../store/acts.js";
import { house } from "../store/house.js";
import { honeyOff } from "../store/sureness.js";
import { dueStanding } from "../store/standing-orders.js";

/** @import { Standing } from "../store/shapes.d.ts" */

/** Standing orders whose day is near: one touch promises each, another leaves it out this time. */
class DueStanding extends Part {
  #act = new Act(this);

  render() {
    const due = house.status.started ? dueStanding() : [];
    if (!due.length && !this.#act.done && !this.#act.error) return nothing;
    return html`<section class="due" aria-label="Standing orders">
      ${due.length ? html`<h2 class="where">Standing orders to promise</h2>` : nothing}
      ${due.map(({ standing, on }) => this.#one(standing, on))}
      ${this.#act.outcome()}</section>`;
  }

  /** @param {Standing} standing @param {string} on */
  #one(standing, on) {
    const who = house.view.people.get(standing.person)?.name || "somebody";
    const today = house.today();
    const off = honeyOff({ way: standing.way, lines: standing.wanted }, house.view);
    return html`<div class="again-one">
      <p><a href=${placeOf("book", "person", standing.person)}><strong>${wantedSaid(standing, house.view)}</strong> for ${who}</a>
        <small class="faint">${standing.way === "post" ? "by mail" : "to be picked up"}, ${daySaid(on, today)} · ${everySaid(standing)}</small></p>
      <div class="keyrow two">
        ${
          off
            ? html`<p class="where">Mailing honey is off: they pick it up, or it waits.</p>`
            : html`<button type="button" class="key tight on" ?disabled=${this.#act.busy} @click=${() => this.#promise(standing, on, who)}>promise it</button>`
        }
        <button type="button" class="key tight quiet" ?disabled=${this.#act.busy} @click=${() =>
          this.#act.run(
            () => skipStanding(standing.id, on),
            `Left out this time. ${who} is not asked about before the next.`,
          )}>not this time</button>
      </div></div>`;
  }

  /** @param {Standing} standing @param {string} on @param {string} who */
  #promise(standing, on, who) {
    return this.#act.run(
      async () => {
        const mailed = await mailedWith(standing, on);
        return { ...(await promiseStanding(standing.id, on, mailed)), mailed };
      },
      ({ number, waiting, mailed }) => {
        const units = Object.values(waiting).reduce((sum, one) => sum + one, 0);
        const waits = units ? ` ${units} ${units === 1 ? "waits" : "wait"} for the next pour.` : "";
        const unknown = standing.way === "post" && mailed.posting_by === "" ? " The price of mailing is not known yet." : "";
        return `Promised to ${who} as order ${number}${mailed.posting_cents ? `, mailing ${money(mailed.posting_cents)}` : ""}.${waits}${unknown}`;
      },
    );
  }
}
customElements.define("due-standing", DueStanding);
