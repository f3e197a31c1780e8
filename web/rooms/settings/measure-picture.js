import { html, svg } from "lit";

/** What L, W and H mean: a jar with its lid, or a carton as it opens, each with its three measures. @param {"good" | "carton"} what */
export const measurePicture = (what) => (what === "carton" ? CARTON : JAR);

const line = (x1, y1, x2, y2, word, x, y) => svg`<g class="measure"><line x1=${x1} y1=${y1} x2=${x2} y2=${y2} /><text x=${x} y=${y}>${word}</text></g>`;

const JAR = html`<svg viewBox="0 0 320 210" role="img" aria-label="A jar: length and width across its widest part, height with the lid on">
  <g fill="none" stroke="currentColor" stroke-width="2">
    <path d="M96 62 v96 q0 14 44 14 q44 0 44 -14 v-96" /><ellipse cx="140" cy="62" rx="44" ry="13" />
    <path d="M100 54 v-16 q0 -10 40 -10 q40 0 40 10 v16" /><ellipse cx="140" cy="38" rx="40" ry="10" /></g>
  ${line(84, 190, 196, 190, "L: the longest across, lid and wrap too", 20, 206)}
  ${line(212, 28, 212, 172, "H: with its lid", 220, 104)}
  ${line(150, 62, 184, 54, "W", 188, 54)}</svg>`;

const CARTON = html`<svg viewBox="0 0 320 210" role="img" aria-label="A carton, open at the top: length and width of the opening, height down to the bottom">
  <g fill="none" stroke="currentColor" stroke-width="2">
    <path d="M70 70 l110 -30 l90 34 l-110 34 z" /><path d="M70 70 v76 l90 40 v-78 z" /><path d="M160 186 l110 -36 v-76" /></g>
  ${line(70, 58, 176, 29, "L: the longer side of the opening", 30, 22)}
  ${line(190, 33, 278, 66, "W", 246, 44)}
  ${line(56, 74, 56, 148, "H", 36, 116)}</svg>`;
