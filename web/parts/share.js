/** A paper given on by the device's own way of sharing: a text message, a mail, a printer's app. */

/** @param {string} name @param {BlobPart} [content] */
const file = (name, content = "") => new File([content], name, { type: name.endsWith(".pdf") ? "application/pdf" : "text/html" });

/** Whether this device shares such files at all. @param {string} name */
export const canShare = (name) => Boolean(navigator.canShare?.({ files: [file(name)] }));

/**
 * @param {string} name of the file, with its ending: a PDF or a page
 * @param {BlobPart} paper
 * @returns {Promise<{op: null} | null>} null when the person thought better of it
 */
export async function sharePaper(name, paper) {
  try {
    await navigator.share({ files: [file(name, paper)], title: name.replace(/\.\w+$/, "") });
    return { op: null };
  } catch (error) {
    if (/** @type {Error} */ (error).name === "AbortError") return null;
    throw error;
  }
}
