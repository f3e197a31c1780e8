import { html, nothing } from "lit";
import { goodsAsked, isOver, isOwner, leftToAnswer, walkDue, walkPlace } from "./first-questions.js";
import { placeOf } from "./route.js";
import { stateSaid } from "./state.js";
import { house } from "../store/house.js";

/** Where a place has nothing to show because nothing is sold yet: what to do about it, by whose device this is. */
export function nothingSold(what = "There is nothing to sell yet.") {
  const { view } = house;
  if (!isOwner()) return stateSaid({ what, todo: "An owner's device writes down what you sell, under Settings." });
  const asked = walkDue(view) ? walkPlace(view) : placeOf("settings", "first", "goods");
  return stateSaid({
    what,
    todo: html`<a class="key" href=${asked}>${isOver(view) ? "write down what you sell" : "answer the first questions"}</a>`,
  });
}

/** On an empty Counter: the way to what the first questions left open. Nothing once the walk is over and something is sold. */
export function firstNote() {
  const { view } = house;
  if (!house.status.started || !house.status.enrolled || !view.devices.size) return nothing;
  if (!goodsAsked(view).length) return nothingSold();
  if (!walkDue(view)) return nothing;
  const left = leftToAnswer(view);
  return html`<p class="tell"><a class="key tight" href=${walkPlace(view)}>${left} first ${left === 1 ? "question is" : "questions are"} still open: go on</a></p>`;
}
