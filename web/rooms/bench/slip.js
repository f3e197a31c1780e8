/** The packing slip: the house's PDF when it is in reach, else the same sheet printed from here. */
import { house } from "../../store/house.js";
import { troubleOf } from "../../store/trouble.js";
import { paperSize, printPaper } from "../../parts/papers.js";
import { sharePaper } from "../../parts/share.js";
import { noteOf } from "../../parts/bench-notes.js";
import { byLot, lotsTaken } from "./lots.js";
import { orderRequest } from "./order-work.js";

/** @import { Order } from "../../store/shapes.d.ts" */

/** @param {Order} order @returns {Promise<{words: string, address?: string}>} what to say, and where the PDF is */
export async function printSlip(order) {
  const size = paperSize();
  const byHand = order.state === "promised" && noteOf(order.id).carton; // only this device knows of that carton yet
  if (house.status.signal !== "none" && !byHand) {
    try {
      const paper = await house.call(`/api/papers/slip/${encodeURIComponent(order.id)}.pdf?size=${size}`);
      const address = URL.createObjectURL(paper);
      window.open(address, "_blank");
      return { words: "The slip is ready.", address };
    } catch {
      // Out of reach after all, or the house has not heard of the order yet: print from here.
    }
  }
  try {
    await printPaper("quoting.slip", slipRequest(order, size));
    return { words: "Printed from this device." };
  } catch (error) {
    const { message, remedy } = troubleOf(error, "Write the address by hand for now.");
    return { words: `No slip: ${message} ${remedy}` };
  }
}

export const SLIP = "packing slip.pdf";

/** The main computer's PDF, to a message or a mail: with signal only. @param {Order} order */
export async function shareSlip(order) {
  const size = paperSize();
  try {
    await sharePaper(SLIP, await house.call(`/api/papers/slip/${encodeURIComponent(order.id)}.pdf?size=${size}`));
    return { words: "" };
  } catch {
    return { words: "The slip cannot be shared without signal: print it." };
  }
}

/** What `quoting.slip` and its kin are asked with. @param {Order} order @param {"letter" | "a4" | "a5"} size */
export function slipRequest(order, size) {
  const { view } = house;
  const { house: settings, cartons, carton } = orderRequest(order, view, house.today());
  const together = view.inOneParcel(order);
  const added = (/** @type {(one: Order) => number} */ of) => together.reduce((sum, one) => sum + of(one), 0);
  const lines = together
    .flatMap(({ id }) => view.linesOf(id))
    .map((line) => {
      const sure = view.sure(line.id);
      const { price_cents, steps = [], total_cents = null } = line;
      return {
        good: view.goods.get(line.good),
        units: line.units,
        sure,
        price_cents,
        steps,
        total_cents,
        lots: byLot(lotsTaken({ line: line.id, good: line.good, units: sure }, noteOf(order.id), view)),
      };
    });
  return {
    house: settings,
    order: {
      ...order,
      number: together.map(({ number }) => number).join(", "),
      posting_cents: added(({ posting_cents }) => posting_cents),
      tax_cents: added(({ tax_cents }) => tax_cents),
    },
    person: order.person ? view.people.get(order.person) : null,
    lines,
    parcels: view.parcelsOf(order.id),
    paid_cents: added(({ id }) => view.paid(id)),
    adjusted_cents: added(({ id }) => view.adjusted(id)),
    payments: together.flatMap(({ id }) => view.paymentsOf(id)),
    cartons,
    size,
    today: house.today(),
    ...(carton ? { carton } : {}),
  };
}
