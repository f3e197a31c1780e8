/**
 * @file What a function was given with one thing in it otherwise: a figure at each bound that is written in its own code and one past it, the
 * other words that it knows, a list with one less, nothing. What is asked comes from the code, what was answered from the file: so a bound
 * that was moved by mistake is still met by the answer that was kept.
 */

const DEEPEST = 3;
const WIDEST = 12;
const IN_A_LIST = 2;
const WORDS_MOST = 8;
const FIGURES_MOST = 10;
/** Larger figures are asked only where there was one: a loop over it comes to no end soon. */
const FIGURE_MOST = 100_000;
const DAY = /^\d{4}-\d\d-\d\d$/;

/** Every way: where in what was given, and what stands there instead. @param {any} given @param {[number[], string[]]} bounds @returns {[(string | number)[], any][]} */
export function ways(given, bounds) {
  const found = [];
  const go = (value, path) => {
    for (const other of instead(value, bounds)) found.push([path, other]);
    if (path.length >= DEEPEST) return;
    if (Array.isArray(value) && !value.raw) value.slice(0, IN_A_LIST).forEach((one, at) => go(one, [...path, at]));
    else if (isPlain(value)) for (const name of Object.keys(value).slice(0, WIDEST)) go(value[name], [...path, name]);
  };
  given.forEach((one, at) => go(one, [at]));
  return found;
}

/** With that instead; what is not on the way there is the same thing. @param {any} value @param {(string | number)[]} path @param {any} other */
export function put(value, path, other) {
  if (!path.length) return other;
  const [step, ...rest] = path;
  if (Array.isArray(value)) return value.with(Number(step), put(value[step], rest, other));
  return { ...value, [step]: put(value[step], rest, other) };
}

/** @param {any} value */
export const isPlain = (value) =>
  Boolean(value) && Object.getPrototypeOf(value) === Object.prototype && !value.strings && !value._$litDirective$;

/** @param {any} value @param {[number[], string[]]} bounds @returns {any[]} */
function instead(value, [figures, words]) {
  if (typeof value === "boolean") return [!value];
  if (typeof value === "number") return besides(value, nearby(value, figures));
  if (typeof value === "string")
    return besides(value, ["", ...words.slice(0, WORDS_MOST), DAY.test(value) ? "2027-08-02" : `${value} x`, null]);
  if (Array.isArray(value) && !value.raw) return value.length ? [[], value.slice(1), [...value, ...value], value.toReversed()] : [];
  if (value instanceof Map) return value.size ? [new Map(), new Map([...value].slice(1))] : [];
  if (value instanceof Set) return value.size ? [new Set(), new Set([...value].slice(1))] : [];
  if (value instanceof Date) return [new Date(value.getTime() + 86_400_000), new Date(value.getTime() - 3_600_000)];
  if (value === null) return [1, "x"];
  if (value === undefined) return [null, true, 1];
  return isPlain(value) ? [null] : [];
}

/** @param {number} value @param {number[]} figures */
function nearby(value, figures) {
  const most = Math.max(FIGURE_MOST, 10 * Math.abs(value));
  const at = figures.slice(0, FIGURES_MOST).flatMap((one) => [one, one + 1, one - 1]);
  return [...at, value + 1, value - 1, 0, -value].filter((one) => Math.abs(one) <= most);
}

/** @param {any} value @param {any[]} others */
const besides = (value, others) => [...new Set(others)].filter((one) => one !== value);
