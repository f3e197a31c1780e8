/** @file Whom to call, and what to say: their bars are here, the weather turned, come and fetch. Pure. */

/** @typedef {import('./shapes.d.ts').Order} Order */
/** @typedef {"here" | "going" | "fetch"} Why */
/** @typedef {Pick<import('./view.js').View, "openOrders" | "linesOf" | "waiting">} Asked */

/**
 * Open orders whose people are to be called, by reason; nobody stands there twice, and who was called stands there no more.
 * @param {Asked} view
 * @param {string} today
 * @returns {{order: Order, why: Why}[]}
 */
export function toCall(view, today) {
  return view.openOrders().flatMap((order) => {
    const why = whyCalled(view, order, today);
    return why ? [{ order, why }] : [];
  });
}

/** @param {Asked} view @param {Order} order @param {string} today @returns {Why | null} */
function whyCalled(view, order, today) {
  if (view.linesOf(order.id).some((line) => view.waiting(line.id) > 0)) return null;
  if (order.call_for) return order.call_for;
  const due = order.way === "pick_up" && order.leave_on && order.leave_on <= today ? order.leave_on : null;
  return due && (order.called_on ?? "") < due ? "fetch" : null;
}

/**
 * The text as it is ready to be sent; whoever sends it may write another.
 * @param {Why} why
 * @param {{name: string, goods: string, one: boolean, day: string, mailed: boolean, house: string}} words `one`: a single piece, or so
 *   much of something; `day`: as one says it, or ""
 */
export function textFor(why, { name, goods, one, day, mailed, house }) {
  const first = name.trim().split(/\s+/)[0] ?? "";
  const hello = first ? `Hello ${first}, ` : "Hello, ";
  const [are, them, go] = one ? ["is", "it", "goes"] : ["are", "them", "go"];
  const leaves = mailed && day ? ` We mail ${them} ${day}.` : "";
  /** @type {Record<Why, string>} */
  const said = {
    here: `your ${goods} ${are} here.${mailed ? leaves : ` Come and fetch ${them} when it suits you.`}`,
    going: `it is cool enough now: your ${goods} ${go} in the mail${day ? ` ${day}` : " soon"}.`,
    fetch: `your ${goods} ${are} ready for you to pick up.`,
  };
  return `${hello}${said[why]}${house ? ` ${house}` : ""}`;
}

/** A link that opens a text message with these words (RFC 5724). @param {string} phone E.164 @param {string} text */
export const smsLink = (phone, text) => `sms:${phone}?body=${encodeURIComponent(text)}`;
