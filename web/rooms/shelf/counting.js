/** The counting sheet of the whole shelf: what `documents.counting` is asked with. */
import { paperFacts } from "../../parts/papers.js";
import { house } from "../../store/house.js";

/** @returns {[string, Record<string, any>]} */
export function countingAsked() {
  const { view } = house;
  const shelf = [...view.goods.values()]
    .filter((good) => !good.hidden && (good.sold || good.kind === "carton" || view.onHand(good.id) !== 0))
    .sort((a, b) => Number(a.kind === "carton") - Number(b.kind === "carton") || a.rank - b.rank)
    .map((good) => ({ good, lots: view.lotBalance(good.id) }));
  return ["documents.counting", { ...paperFacts(), shelf }];
}
