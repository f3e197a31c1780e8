/** The packing slip: the house's PDF when it is in reach, else the same sheet printed from here. */
import { work } from "../../kernel/work.js";
import { house } from "../../store/house.js";
import { printSheet } from "../../parts/print-sheet.js";
import { linesToPack, lotsFor, orderRequest } from "./order-work.js";

/** @returns {Promise<{words: string, address?: string}>} what to say, and where the PDF is */
export async function printSlip(order, answer) {
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
    const { html } = await work("papers.slip", await slipRequest(order, answer, size));
    await printSheet(html);
    return { words: "Printed from this device." };
  } catch (error) {
    return { words: `No slip: ${error.message} ${error.remedy ?? "Write the address by hand for now."}` };
  }
}

async function slipRequest(order, answer, size) {
  const { view } = house;
  const request = orderRequest(order, view, house.today());
  const pictures = await work("answers.parcel_picture", request).catch(() => ({ svgs: [] }));
  const { parcel, heat, advice } = answer ?? {};
  const parcels = (parcel?.parcels ?? []).map((planned, place) => ({
    part: planned.part ?? place + 1, of: planned.of ?? parcel.parcels.length, carton_name: planned.carton_name,
    gross_words: planned.gross_words, dressing_words: parcel.dressing_words ?? order.dressing, svg: pictures.svgs[place] ?? "", steps: planned.steps ?? [],
  }));
  const packed = linesToPack(order, view);
  const lines = view.linesOf(order.id).map((line) => {
    const sure = packed.find((found) => found.line === line.id)?.units ?? 0;
    return { good: view.goods.get(line.good), units: line.units, sure, lots: lotsFor(line.good, sure, view).filter(({ lot }) => lot) };
  });
  return {
    house: request.house, order, person: order.person ? view.people.get(order.person) : null, lines, parcels, size, today: house.today(),
    heat: heat ? { words: heat.words ?? heat.verdict, advice_words: advice?.words ?? "" } : null, cautions: answer?.cautions ?? [],
  };
}
