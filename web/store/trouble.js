/** @file The one error this folder raises on purpose. */

/**
 * Something the person can understand and act on.
 * `kind`: `draft` (nothing written, `field` says where), `storage` (this device could not write it down; `text` is the whole
 * order in words), `taken` (the sentence is an order already, or another window has it), `frozen`, `moved` (it goes on at another address), `not enrolled`, `no answer` (the house is out of reach), `refused` (the house said no).
 */
export class HouseError extends Error {
  /**
   * @param {'draft'|'storage'|'taken'|'frozen'|'moved'|'not enrolled'|'no answer'|'refused'} kind
   * @param {string} message what happened, with the value seen
   * @param {string} remedy what to do
   * @param {{field?: string, text?: string, cause?: unknown, status?: number, kept?: string[], code?: string, forget?: boolean, epoch?: string}}
   *   [facts] `kept`: ids of entries that the house has kept apart; `code`: the short name of the problem; `forget`: nothing need be kept
   *   here any more; `epoch`: the house's, for a device that was removed
   */
  constructor(kind, message, remedy, facts = {}) {
    super(message, { cause: facts.cause });
    this.name = "HouseError";
    this.kind = kind;
    this.remedy = remedy;
    this.field = facts.field ?? "";
    this.text = facts.text ?? "";
    this.status = facts.status ?? 0;
    this.kept = facts.kept ?? [];
    this.code = facts.code ?? "";
    this.forget = facts.forget ?? false;
    this.epoch = facts.epoch ?? "";
  }
}

/**
 * What somebody can read of anything that was thrown: a fault of the app's own has no words for people, so they are told what to do, and its
 * words stand in brackets for whoever mends it.
 * @param {unknown} error
 * @param {string} [remedy] what to do after a fault of the app's own
 * @returns {import("./shapes.d.ts").Trouble}
 */
export function troubleOf(error, remedy = "Load the page anew and look whether it is done before you do it again.") {
  if (/** @type {any} */ (error)?.remedy !== undefined) return /** @type {any} */ (error);
  console.error(error);
  return { message: `The app made a mistake of its own (${error instanceof Error ? error.message : error}).`, remedy };
}

/** What a second window is told that confirms the same day of a standing order. */
export const alreadyPromised = () => badDraft("standing", "This was promised already, perhaps in another window.", "Nothing to do.");

/**
 * @param {string} field
 * @param {string} message
 * @param {string} remedy
 */
export function badDraft(field, message, remedy) {
  return new HouseError("draft", message, remedy, { field });
}
