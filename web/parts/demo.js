/** Is this the demo? A device of the house knows by a setting; before it is one, the main computer is asked, once a page. */
import { house } from "../store/house.js";

/** @type {Promise<boolean> | null} */
let asked = null;
let answered = false;

/** @param {() => void} heard called when the answer came @returns {boolean} */
export function isDemo(heard = () => {}) {
  if (house.status.enrolled) return house.view.setting("demo", false) === true;
  if (house.status.started && !asked) {
    asked = fetch("/api/health", { cache: "no-store" })
      .then((answer) => answer.json())
      .then(({ demo }) => demo === true)
      .catch(() => false);
    asked.then((demo) => {
      answered = demo;
      heard();
    });
  }
  return answered;
}
