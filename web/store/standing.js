/**
 * @file How this device stands with the main computer: one state, changed by what was heard of an exchange and by nothing else. Pure.
 *
 * `signal`: `working` while an exchange takes long, `shared` when the last one was heard, `none` when it was not. `since`: when the
 * main computer was last heard; trying again never makes a silence shorter, and hearing it again always makes the age nothing.
 */

/**
 * @typedef {{signal: 'shared'|'none'|'working', since: Date, turnedAway: string | null, tooOld: string | null}} Standing
 * @typedef {{what: 'opened', enrolled: boolean, heard_at: Date | null, at: Date}
 *   | {what: 'slow'}
 *   | {what: 'heard', at: Date}
 *   | {what: 'unheard', at: Date}
 *   | {what: 'enrolled', at: Date}
 *   | {what: 'refused', status: number, text: string, at: Date}} Happening
 */

const SIGNED_OUT = [401, 403];
const NOT_UNDERSTOOD = [422, 426]; // the ask is not as the main computer reads it: the app is of another time

/**
 * @param {Standing} was
 * @param {Happening} happening
 * @returns {Standing}
 */
export function next(was, happening) {
  switch (happening.what) {
    case "opened":
      return { ...was, signal: happening.enrolled ? "working" : "none", since: happening.heard_at ?? happening.at };
    case "slow":
      return was.signal === "shared" ? { ...was, signal: "working" } : was;
    case "heard":
      return { signal: "shared", since: happening.at, turnedAway: null, tooOld: null };
    case "enrolled":
      return { ...was, signal: "working", since: happening.at, turnedAway: null }; // its yes was heard; what it keeps comes now
    case "refused":
      if (SIGNED_OUT.includes(happening.status)) return { ...was, signal: "none", turnedAway: happening.text };
      if (NOT_UNDERSTOOD.includes(happening.status)) return { ...was, signal: "none", tooOld: happening.text };
      return { ...was, signal: "none" };
    default:
      return { ...was, signal: "none" };
  }
}

/**
 * The one thing to say of it, the gravest first.
 * @param {Standing & {started: boolean, enrolled: boolean, inHand: number, needsYou: {length: number},
 *   storage: {trouble: string | null}, frozen: string | null, removed?: unknown}} status
 * @returns {'opening'|'removed'|'not enrolled'|'storage'|'stopped'|'signed out'|'too old'|'needs you'|'no signal'|'sending'|'not sent'|'all sent'}
 */
export function standing(status) {
  if (!status.started) return "opening";
  if (status.removed) return "removed";
  if (status.storage.trouble) return "storage";
  if (!status.enrolled) return "not enrolled";
  if (status.frozen) return "stopped";
  if (status.turnedAway) return "signed out";
  if (status.tooOld) return "too old";
  if (status.needsYou.length) return "needs you";
  return reach(status);
}

/**
 * Of the line alone, whatever else is the matter.
 * @param {{signal: Standing['signal'], inHand: number}} status
 * @returns {'no signal'|'sending'|'not sent'|'all sent'}
 */
export function reach({ signal, inHand }) {
  if (signal === "none") return "no signal";
  if (signal === "working") return "sending";
  return inHand ? "not sent" : "all sent";
}

/**
 * Entries still in hand: what the main computer has not read is only here; what it has read lies there until its cause has come.
 * @template {{seq: number}} T
 * @param {T[]} inHand oldest first
 * @param {number} read_to the last one that the main computer has read
 * @returns {{unsent: T[], waiting: T[]}}
 */
export function whereTheyLie(inHand, read_to) {
  const unsent = inHand.filter(({ seq }) => seq > read_to);
  return { unsent, waiting: inHand.filter(({ seq }) => seq <= read_to) };
}
