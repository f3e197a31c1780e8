/** The gathering sheet of a day: what to take from the shelf, then each parcel drawn, printed from this device with or without signal. */
import { house } from "../../store/house.js";
import { troubleOf } from "../../store/trouble.js";
import { paperFacts, printPaper } from "../../parts/papers.js";
import { byLot, lotsTaken } from "./lots.js";
import { noteOf } from "../../parts/bench-notes.js";
import { linesToPack, orderRequest } from "./order-work.js";

/** @import { Order } from "../../store/shapes.d.ts" */

const LONGEST_WAIT_S = 60; // every parcel of the day is worked out anew

/** @param {string | null} day @param {Order[]} orders of that day @returns {Promise<string>} what to say */
export async function printGathering(day, orders) {
  try {
    await printPaper(
      "quoting.gathering",
      gatheringRequest(
        day ?? house.today(),
        orders.filter((order) => order.state === "promised"),
      ),
      { wait_s: LONGEST_WAIT_S },
    );
    return "Printed from this device.";
  } catch (error) {
    const { message, remedy } = troubleOf(error, "Pack from the screen for now.");
    return `No sheet: ${message} ${remedy}`;
  }
}

/** The orders in packing order; each takes the lots that those before it leave. @param {string} day @param {Order[]} orders */
export function gatheringRequest(day, orders) {
  const { view } = house;
  const taken = new Map();
  const left = {
    /** @param {string} good */
    lotBalance: (good) => view.lotBalance(good).map((one) => ({ ...one, units: one.units - (taken.get(`${good} ${one.lot}`) ?? 0) })),
  };
  const rows = orders
    .filter((order) => linesToPack(order, view).length)
    .map((order) => {
      const { carton } = orderRequest(order, view, house.today());
      const lines = linesToPack(order, view).map((line) => {
        const lots = byLot(lotsTaken(line, noteOf(order.id), left));
        for (const { lot, units } of lots) taken.set(`${line.good} ${lot}`, (taken.get(`${line.good} ${lot}`) ?? 0) + units);
        return { good: view.goods.get(line.good), units: line.units, sure: line.units, lots };
      });
      return { order, person: order.person ? view.people.get(order.person) : null, lines, parcels: [], ...(carton ? { carton } : {}) };
    });
  const cartons = [...view.cartons.values()].filter((one) => !one.hidden).map((one) => ({ ...one, in_stock: view.onHand(one.id) }));
  return { ...paperFacts(), day, orders: rows, cartons };
}
