/**
 * @file A mark outside the database that this browser was a device: when the browser clears its storage, identity, share and log go together,
 * and without the mark nobody would be told. It holds a name and nothing else.
 */

const KEY = "honeyhold-was";

export const wasHere = {
  /** @param {string} name */
  note(name) {
    try {
      localStorage.setItem(KEY, name);
    } catch {
      /* no storage at all: then there is nothing to lose either */
    }
  },

  /** @returns {string | null} what to say when the database is empty although this browser was a device */
  said() {
    try {
      const name = localStorage.getItem(KEY);
      return name === null
        ? null
        : `The browser has cleared what this device kept (it was \u201c${name}\u201d). What the main computer had heard is not lost. ` +
            "Add it again with a new code, and say on an owner\u2019s device that the old name is lost: what it may have promised is named there.";
    } catch {
      return null;
    }
  },
};
