import { html, svg } from "lit";

/** What L, W and H mean of a carton as it opens. */
export const measurePicture = () => CARTON;

/** @param {number} x1 @param {number} y1 @param {number} x2 @param {number} y2 @param {string} word @param {number} x @param {number} y */
const line = (x1, y1, x2, y2, word, x, y) =>
  svg`<g class="measure"><line x1=${x1} y1=${y1} x2=${x2} y2=${y2} /><text x=${x} y=${y}>${word}</text></g>`;

const CARTON = html`<svg viewBox="0 0 320 210" role="img" aria-label="A carton, open at the top: length and width of the opening, height down to the bottom">
  <g fill="none" stroke="currentColor" stroke-width="2">
    <path d="M70 70 l110 -30 l90 34 l-110 34 z" /><path d="M70 70 v76 l90 40 v-78 z" /><path d="M160 186 l110 -36 v-76" /></g>
  ${line(70, 58, 176, 29, "L: the longer side of the opening", 30, 22)}
  ${line(190, 33, 278, 66, "W", 246, 44)}
  ${line(56, 74, 56, 148, "H", 36, 116)}</svg>`;
