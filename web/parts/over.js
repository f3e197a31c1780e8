/** @file A dialog over the page that comes and goes of itself: closed by its key, by Escape, or by the way back. */
import { render } from "lit";

/**
 * @param {string} className
 * @param {(close: () => void) => unknown} content a template; what it calls to close
 * @returns {HTMLDialogElement} in sight already
 */
export function showOver(className, content) {
  const dialog = document.createElement("dialog");
  const close = () => dialog.close();
  dialog.className = className;
  render(content(close), dialog);
  dialog.addEventListener("close", () => {
    removeEventListener("hashchange", close);
    dialog.remove();
  });
  addEventListener("hashchange", close);
  document.body.append(dialog);
  dialog.showModal();
  return dialog;
}
