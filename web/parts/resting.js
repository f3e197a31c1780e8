/**
 * The place where a finger just did something rests: nothing there answers for a moment, so that the second half of a double tap does not hit
 * the key that came up under it (the one that undoes, or does it again). Other places answer as ever.
 */
const QUIET_MS = 700; // a double tap by wet fingers takes up to half a second (common practice, no source)
const REACH_PX = 48;
const MARK = "data-resting";
const KEYS = "button, a, summary, [role=checkbox]";

/** Where the finger was last; null after a key of the keyboard. @type {{x: number, y: number} | null} */
let touched = null;
/** @type {{x: number, y: number, until: number}[]} */
let places = [];
/** Looks again by itself so often, for what moves without the page being written anew. */
const BEAT_MS = 100;
/** Who looks when the page is written anew; null while nothing rests. @type {MutationObserver | null} */
let watch = null;
let isAsked = false;
/** @type {ReturnType<typeof setTimeout> | undefined} */
let beat;
/** Who waits for the finger to be lifted; null while none is down. @type {(() => void)[] | null} */
let waiting = null;

addEventListener(
  "pointerdown",
  ({ clientX, clientY }) => {
    touched = { x: clientX, y: clientY };
    waiting ??= [];
  },
  { capture: true },
);
for (const lifted of ["pointerup", "pointercancel"]) addEventListener(lifted, lift, { capture: true });
addEventListener("scroll", soon, { capture: true, passive: true });
addEventListener("blur", lift); // of the window alone: not caught on the way to a field that is left
addEventListener(
  "keydown",
  (event) => {
    touched = null;
    lift(); // where a mouse was let go elsewhere nothing tells of it
    if (event.repeat && event.key === "Enter") event.preventDefault(); // a key held down is one touch
  },
  { capture: true },
);
addEventListener(
  "click",
  (event) => {
    if (event.detail === 0 || !near(event.clientX, event.clientY)) return; // pressed by the keyboard or a screen reader
    event.stopImmediatePropagation();
    event.preventDefault();
  },
  { capture: true },
);

/** The key under it hears of it first: its click comes before anything is drawn anew. */
function lift() {
  const heard = waiting ?? [];
  waiting = null;
  if (heard.length) setTimeout(() => heard.forEach((tell) => tell()));
}

/**
 * Does it now, or, while a finger is down, once it is lifted: what is said of a field that was left just now must not push the key away that the
 * finger lies on.
 * @param {() => void} show
 */
export function onceLifted(show) {
  if (waiting) waiting.push(show);
  else show();
}

/**
 * Lets the place of the last touch rest from now on.
 * @returns {() => void} what was begun there is over: it rests a moment more
 */
export function restUnderFinger() {
  if (!touched) return () => {};
  const place = { ...touched, until: Infinity };
  places.push(place);
  if (watch) soon();
  else mark();
  return () => {
    place.until = performance.now() + QUIET_MS;
    soon();
  };
}

/** @param {number} x @param {number} y */
const near = (x, y) => places.some((place) => place.until > performance.now() && Math.hypot(place.x - x, place.y - y) <= REACH_PX);

/** Looks with the next frame, where anything rests. */
function soon() {
  if (isAsked || !watch) return;
  isAsked = true;
  requestAnimationFrame(mark);
}

/**
 * Keys that rest are seen to rest, and are told to assistive technology as not to be used now. Looked at once something was drawn anew or
 * moved, and not with every frame: a slow phone has enough to do then.
 */
function mark() {
  isAsked = false;
  const now = performance.now();
  places = places.filter(({ until }) => until > now);
  const resting = new Set(places.flatMap(keysAt));
  for (const key of document.querySelectorAll(`[${MARK}]`)) if (!resting.has(key)) wake(key);
  for (const key of resting) {
    if (key.hasAttribute(MARK) && key.ariaDisabled === "true") continue;
    key.setAttribute(MARK, "");
    key.setAttribute("aria-disabled", "true");
  }
  clearTimeout(beat);
  if (places.length) goOnLooking(Math.min(BEAT_MS, ...places.map(({ until }) => until - now)));
  else {
    watch?.disconnect();
    watch = null;
  }
}

/** @param {number} wait_ms */
function goOnLooking(wait_ms) {
  if (!watch) {
    watch = new MutationObserver(soon);
    watch.observe(document.body, { subtree: true, childList: true, attributes: true, characterData: true });
  }
  watch.takeRecords(); // its own marks
  beat = setTimeout(soon, wait_ms);
}

/** @param {Element} key */
function wake(key) {
  key.removeAttribute(MARK);
  key.removeAttribute("aria-disabled");
}

/**
 * Where one looks for keys around a place: its middle and two rings, no two neighbors further apart than a key is wide, so that no key whose
 * middle would be refused is taken for awake.
 */
const LOOKED_AT = [[0, 0], ...ring(REACH_PX / 2, 6), ...ring(REACH_PX, 12)];

/** @param {number} radius_px @param {number} count @returns {number[][]} */
function ring(radius_px, count) {
  return Array.from({ length: count }, (_, at) => [
    radius_px * Math.cos((2 * Math.PI * at) / count),
    radius_px * Math.sin((2 * Math.PI * at) / count),
  ]);
}

/** @param {{x: number, y: number}} place */
const keysAt = ({ x, y }) => LOOKED_AT.flatMap(([right, down]) => document.elementFromPoint(x + right, y + down)?.closest(KEYS) ?? []);
