/** The sheet of labels that lies in the printer, by its measures; and the owner's own words and picture on them. */
import { house } from "../store/house.js";

/** @typedef {Record<"paper" | "left" | "top" | "across" | "down" | "width" | "height" | "nudge_x" | "nudge_y", string> & {columns: number, rows: number}} LabelSheet */

/** Thirty to a letter sheet, until somebody measures their own. @type {LabelSheet} */
const USUAL = {
  paper: "letter",
  columns: 3,
  rows: 10,
  left: "3/16 in",
  top: "1/2 in",
  across: "2 3/4 in",
  down: "1 in",
  width: "2 5/8 in",
  height: "1 in",
  nudge_x: "0 mm",
  nudge_y: "0 mm",
};
const NEXT = "honeyhold.labels.next";

/** @returns {LabelSheet} */
export const labelSheet = () => ({ ...USUAL, ...house.view.setting("label_sheet") });

/** @param {LabelSheet} sheet */
export const onASheet = (sheet) => sheet.columns * sheet.rows;

/** @param {string} good @returns {{title: string, words: string}} */
export const labelWords = (good) => ({ title: "", words: "", ...house.view.setting("label_words", {})[good] });

/** The first label of the sheet that was begun; the printer stands beside this device, so it is kept here. */
export function nextLabel() {
  try {
    const next = Number(localStorage.getItem(NEXT));
    return Number.isInteger(next) && next >= 1 && next <= onASheet(labelSheet()) ? next : 1;
  } catch {
    return 1;
  }
}

/** @param {number} first @param {number} count that were printed from there on */
export function labelsUsed(first, count) {
  try {
    localStorage.setItem(NEXT, String(((first - 1 + count) % onASheet(labelSheet())) + 1));
  } catch {
    // the next time somebody counts the empty places
  }
}
