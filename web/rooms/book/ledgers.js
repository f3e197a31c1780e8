import { html, nothing } from "lit";
import { placeOf } from "../../parts/route.js";
import { counted, money } from "../../parts/words.js";
import { house } from "../../store/house.js";
import { owing } from "../../store/owing.js";
import { standing, tillOf } from "../../store/till.js";

/** What the Book adds up: its place, its key, and the question it answers. @type {[string, string, string][]} */
const LEDGERS = [
  ["arrivals", "arrivals", "How did they come?"],
  ["lot", "trace a lot", "Where did a lot go?"],
  ["back", "looking back", "How did the year go, in money?"],
  ["season", "the season by weight", "How did the season go?"],
  ["till", "the till", "What lies in the till?"],
];

/** On a phone they stand below the open orders, question and key. */
export const ledgerKeys = () =>
  LEDGERS.map(
    ([place, words, asks]) => html`<h2 class="where">${asks}</h2><p><a class="key" href=${placeOf("book", place, "")}>${words}</a></p>`,
  );

/** Where there is width and nothing is open: what is owed, what is open and what the till should hold, from across the room; below, all that adds up. */
export function bookAtAGlance() {
  const { view } = house;
  const owed = owing(view).reduce((sum, [, cents]) => sum + cents, 0);
  const open = view.openOrders();
  const used = standing(view.till.values()).length > 0; // who never counted a till has no figure that should lie in it
  const till = tillOf(house.today(), view.money(), view.till.values());
  return html`<div class="room"><div class="board"><div class="column">
    <div class="numerals" data-wordy>
      <p><span class="numeral">${open.length}</span><small class="faint">${counted(open.length, "open order").replace(/^\S+ /, "")}</small></p>
      <p><span class="numeral">${money(owed)}</span><small class="faint">owed for what they have</small></p>
      ${used ? html`<p><span class="numeral">${money(till.expected_cents)}</span><small class="faint">should lie in the till</small></p>` : nothing}
    </div>
    <ul class="goods-list">${LEDGERS.map(
      ([place, words, asks]) =>
        html`<li><a class="good-row plain" href=${placeOf("book", place, "")}><span><strong>${words}</strong><small>${asks}</small></span></a></li>`,
    )}</ul>
    <p class="faint">A person or an order that you touch opens here.</p>
  </div></div></div>`;
}
