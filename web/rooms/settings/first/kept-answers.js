/** What was touched or typed in a first question and is not written down yet: kept on this device, so that a reload loses nothing. */
const KEY = "honeyhold.first";

/** @param {string} question @returns {any} */
export function keptAnswer(question) {
  try {
    return JSON.parse(localStorage.getItem(KEY) ?? "{}")[question] ?? null;
  } catch {
    return null;
  }
}

/** @param {string} question @param {any} answer null forgets it */
export function keepAnswer(question, answer) {
  try {
    const all = JSON.parse(localStorage.getItem(KEY) ?? "{}");
    if (answer === null) delete all[question];
    else all[question] = answer;
    localStorage.setItem(KEY, JSON.stringify(all));
  } catch {
    // A full or forbidden store keeps no half answers; whole ones are in the book.
  }
}
