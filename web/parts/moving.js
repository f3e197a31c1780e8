/**
 * Going from place to place, for those who do not see it happen: what was entered is named, as the page's title too, and the keyboard stands at
 * that name; back again, it stands at the link that was followed.
 */
const LINK = "a[href]";
const TITLE = "[data-title], h1";

/** By place, the link that was followed from it. @type {Map<string, string>} */
const followed = new Map();

/**
 * @param {string} from the address part before, such as "#book" @param {string} to the one now
 * @param {string} room as it is called @param {HTMLElement} main where the rooms are drawn
 */
export async function arrived(from, to, room, main) {
  followed.set(from, to);
  await drawn();
  const back = followed.get(to);
  const title = titleIn(main);
  nameThePage(title, room);
  /** @type {NodeListOf<HTMLAnchorElement>} */
  const links = main.querySelectorAll(LINK);
  const link = back && to !== from ? [...links].find((one) => one.getAttribute("href") === back && one.checkVisibility()) : null;
  followed.delete(to);
  if (main.contains(document.activeElement) && document.activeElement?.matches("input, textarea")) return; // the board put it where one writes
  (link ?? reachable(title) ?? main).focus({ preventScroll: !link });
}

/** @param {HTMLElement | null} title @param {string} room */
export function nameThePage(title, room) {
  const words = title?.textContent?.trim().replace(/\s+/g, " ") ?? "";
  document.title = [...new Set([words.slice(0, 60), room, "Honeyhold"])].filter(Boolean).join(" · ");
}

/** The name of what was opened: beside a list that is the board, not the list. @param {HTMLElement} main @returns {HTMLElement | null} */
export const titleIn = (main) => main.querySelector(":scope .pair[data-open] > .room :is([data-title], h1)") ?? main.querySelector(TITLE);

/** @param {HTMLElement | null} title */
function reachable(title) {
  if (title && !title.matches(LINK)) title.tabIndex = -1;
  return title;
}

/** Elements draw in turns of their own; after two frames what was entered stands. */
const drawn = () =>
  new Promise((resolve) => {
    requestAnimationFrame(() => requestAnimationFrame(resolve));
  });
