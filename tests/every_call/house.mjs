/** @file What the house that is played has of each kind, to be given to whoever takes one. */

import { module, WEB } from "../screens/page.mjs";
import { bent } from "./given.mjs";

const FRESH = { name: "Ida Moen", phone: "+17155550144", street: "1 Elm St", unit: "", city: "Duluth", state: "MN", zip: "55811" };
const ENTRY = { device: "phone-a", seq: 1, id: "e1", state: "in_hand", position: null, prior: [], operation: { rows: [] } };

/** What is worked out of some orders, by Python. @param {any} view @param {string} today */
export async function workedOut(view, today) {
  const { orderRequest } = await module("rooms/bench/order-work.js");
  const { work } = await module("kernel/work.js");
  const orders = ["o1", "o11", "o7"].map((id) => view.orders.get(id));
  return Promise.all(orders.map((order) => work("quoting.call", orderRequest(order, view, today))));
}

/** By the name of the kind. @param {any} kept @param {any} view @param {string} today @param {any[]} worked @returns {Promise<Record<string, any[]>>} */
export async function ofTheHouse(kept, view, today, worked) {
  const { html } = await import(`${WEB}/node_modules/lit/index.js`);
  const { asActed, draftOfOrder, emptyDraft } = await module("rooms/counter/draft.js");
  const drafts = ["o1", "o2", "o7", "o10", "o11"].map((id) => draftOfOrder(view, id));
  const fresh = { ...emptyDraft(), fresh: FRESH, lines: [{ good: "jar", units: 3 }], pays: "check", dressing: "lined" };
  const walk = { ...emptyDraft(), way: "walk_in", lines: [{ good: "bar", units: 5 }], pays: "cash", given_cents: 2000 };
  const many = { ...drafts[0], amends: null, lines: [{ good: "bar", units: 37 }, { good: "jar", units: 2 }] }; // prettier-ignore
  const here = { ...many, way: "pick_up", goes: null, leave_on: null, pays: "later", lines: [{ good: "block", units: 1, settled: true }] };
  const acted = [drafts[0], walk, fresh, ...drafts.slice(1)].map((draft) => asActed(draft, view, today));
  const { tables } = view.board;
  const all = (/** @type {string} */ table) => [...(tables[table]?.values() ?? [])];
  return {
    View: [view],
    Board: [view.board],
    Order: withBent(all("order"), "o1", "o3"),
    Good: withBent([...view.goods.values()], "bar", "jar"),
    Person: withBent(all("person"), "ann"),
    Standing: withBent(all("standing"), "s2"),
    Payment: withBent(all("payment"), "y2"),
    Parcel: withBent(all("parcel"), "p3"),
    Lot: all("lot"),
    Line: all("line"),
    Carton: all("carton"),
    Row: [...kept.rows.slice(0, 3), ...kept.rows.slice(-2)],
    Entry: kept.log?.length ? kept.log : [ENTRY],
    Composed: [drafts[0], many, walk, fresh, emptyDraft(), here, ...drafts.slice(1), ...bent(many), ...bent(walk)],
    Draft: [...acted, ...bent(acted[0]), ...bent(acted[1])],
    Date: ["2027-07-24T10:00:00-05:00", "2027-07-23T23:59:00-05:00", "2026-12-31T06:30:00Z", 0].map((at) => new Date(at)),
    AbortSignal: [new AbortController().signal, AbortSignal.abort()],
    CallAnswer: [...worked, null, ...worked.flatMap((answer) => bent(answer ?? {}))],
    Call: [
      ...worked.map((answer) => question("known", answer)),
      question("half", worked[0]),
      question("none"),
      question("working"),
      question("refused", null, "It cannot be mailed.", "Ask."),
      question("unknown", null, "Nobody answers.", "Go on."),
      question("unknown", worked.at(-1), "It took too long.", "Go on."),
    ],
    Blob: [100, 1, 1200, 4001].map((size) => new Blob(["x".repeat(size)])),
    Act: [{ failed() {}, clear() {}, about() {} }],
    TemplateResult: [html`<p>words</p>`, html`<p>${7} of them</p>`],
    FormData: [new FormData({ values: [["zip", "55811"], ["street", "1 Elm St"], ["max_gross_g", "5 lb"]] })], // prettier-ignore
  };
}

/** @param {any[]} rows @param {...string} ids of those that are bent, too */
const withBent = (rows, ...ids) => [...rows, ...ids.flatMap((id) => bent(rows.find((row) => row.id === id) ?? {}))];

/** A question that was asked. @param {string} state @param {any} [answer] @param {string} [why] @param {string} [remedy] */
function question(state, answer = null, why = "", remedy = "") {
  const waits = state === "working" || state === "half";
  return { state, why, remedy, answer, waits, asked: {}, answerTo: () => answer, about() {} };
}
