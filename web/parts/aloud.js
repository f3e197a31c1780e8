/**
 * One place that speaks for ears: what is sure, what was promised, what failed.
 * The element is in index.html, so it is there before the first word.
 * @param {string} words
 * @param {boolean} [urgent] cuts in
 */
export function sayAloud(words, urgent = false) {
  const place = document.getElementById(urgent ? "aloud-now" : "aloud");
  if (!place) return;
  const spoken = document.createElement("p"); // a new element is news, though the words be the same as before
  spoken.textContent = words;
  place.replaceChildren(spoken);
}
