/** @file What comes of a touch that is not drawn: where the keyboard stands, what is said aloud, where one is led, what is kept. */

/** Since the last look. @type {string[]} */
export const effects = [];

/** All of them, once; which of two that are waited for comes first is chance. @returns {string[]} */
export const effectsSince = () => effects.splice(0).sort();
