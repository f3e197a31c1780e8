/** The packing slip: the house's PDF when it is in reach, else the same sheet printed from here. */
import { work } from "../../kernel/work.js";
import { house } from "../../store/house.js";
import { printSheet } from "../../parts/print-sheet.js";
import { lotsFor, orderRequest } from "./order-work.js";

const LONGEST_WAIT_S = 30; // the parcel is worked out anew for the paper

/** @returns {Promise<{words: string, address?: string}>} what to say, and where the PDF is */
export async function printSlip(order) {
  const size = house.view.setting("paper", "letter") === "a5" ? "a5" : "letter";
  if (house.status.signal !== "none") {
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
    const { html } = await work("answers.slip", slipRequest(order, size), { wait_s: LONGEST_WAIT_S });
    await printSheet(html);
    return { words: "Printed from this device." };
  } catch (error) {
    return { words: `No slip: ${error.message} ${error.remedy ?? "Write the address by hand for now."}` };
  }
}

function slipRequest(order, size) {
  const { view } = house;
  const { house: settings, cartons } = orderRequest(order, view, house.today());
  const lines = view.linesOf(order.id).map((line) => {
    const sure = view.sure(line.id);
    return { good: view.goods.get(line.good), units: line.units, sure, lots: lotsFor(line.good, sure, view) };
  });
  return {
    house: settings, order, person: order.person ? view.people.get(order.person) : null, lines, parcels: view.parcelsOf(order.id), cartons, size,
    today: house.today(),
  };
}
