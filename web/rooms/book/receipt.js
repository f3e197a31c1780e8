/** The receipt of an order, printed from this device: the figures kept with the order, with or without signal. */
import { work } from "../../kernel/work.js";
import { paperFacts, printPaper } from "../../parts/papers.js";
import { sharePaper } from "../../parts/share.js";
import { trackingLink } from "../../store/acts.js";
import { house } from "../../store/house.js";

/** @param {string} id @returns {Record<string, any>} what `documents.receipt` is asked with */
export function receiptRequest(id) {
  const { view } = house;
  const order = view.orders.get(id);
  const lines = view.linesOf(id).map(({ good, units, price_cents, steps = [], total_cents = null }) => ({
    good: view.goods.get(good),
    units,
    price_cents,
    steps,
    total_cents,
  }));
  return {
    ...paperFacts(),
    order,
    lines,
    paid_cents: view.paid(id),
    adjusted_cents: view.adjusted(id),
    payments: view.paymentsOf(id),
    tracking: view
      .parcelsOf(id)
      .flatMap(({ tracking = "" }) =>
        tracking ? [{ number: tracking, link: trackingLink(view.setting("tracking_link", ""), tracking) }] : [],
      ),
    person: order?.person ? view.people.get(order.person) : null,
  };
}

export const RECEIPT = "receipt.html";

/** The receipt as a file, to a message or a mail. @param {string} id */
export async function shareReceipt(id) {
  const { html } = await work("documents.receipt", receiptRequest(id), { wait_s: 20 });
  return (await sharePaper(RECEIPT, html)) ?? {};
}

/** @param {string} id @returns {Promise<{op: null}>} when it was handed to the printer */
export async function printReceipt(id) {
  await printPaper("documents.receipt", receiptRequest(id));
  return { op: null };
}
