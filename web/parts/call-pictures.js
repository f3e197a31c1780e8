/** Small pictures for a caller's three questions: are there enough, what does it travel in, what does heat do to it. No letters in them. */
import { svg } from "lit";

/** @import { Drawn } from "./events.d.ts" */

const WIDE = 96;
const HIGH = 44;
const IN_A_ROW = 10;
const MOST_ROWS = 4;

/** @param {Drawn} body */
const picture = (body) => svg`<svg class="call-picture" viewBox="0 0 ${WIDE} ${HIGH}" aria-hidden="true">${body}</svg>`;

/**
 * One mark a piece in rows of ten, solid where it is sure and dashed where it is not; of very many, their proportion.
 * @param {number} sure @param {number} rest
 */
export function surePicture(sure, rest) {
  const most = IN_A_ROW * MOST_ROWS;
  const shown = Math.min(most, sure + rest);
  const solid = sure + rest > most ? Math.round((most * sure) / (sure + rest)) : sure;
  const rows = Math.ceil(shown / IN_A_ROW);
  const top = (HIGH - rows * 10 + 2) / 2;
  return picture(
    Array.from({ length: shown }, (_, at) => {
      const x = 1 + (at % IN_A_ROW) * 9.5;
      const y = top + Math.floor(at / IN_A_ROW) * 10;
      return svg`<rect class=${at < solid ? "solid" : "open"} x=${x} y=${y} width="8" height="7" />`;
    }),
  );
}

/** A closed carton in its own proportions. @param {number[]} sides length, width, height */
export function cartonPicture([long, wide, high]) {
  const scale = Math.min(64 / (long + wide * 0.5), 34 / (high + wide * 0.32));
  const [l, d, h] = [long * scale, wide * scale, high * scale];
  const [over, up] = [d * 0.5, d * 0.32];
  const x = (WIDE - l - over) / 2;
  const floor = (HIGH + h + up) / 2;
  return picture(svg`
    <path class="face" d="M${x} ${floor}v${-h}h${l}v${h}z" />
    <path class="top" d="M${x} ${floor - h}l${over} ${-up}h${l}l${-over} ${up}z" />
    <path class="side" d="M${x + l} ${floor}v${-h}l${over} ${-up}v${h}z" />
    <path class="tape" d="M${x + l / 2} ${floor - h}l${over} ${-up}" />`);
}

const JAR = svg`<path class="wax" d="M34 17h28v20a4 4 0 0 1-4 4H38a4 4 0 0 1-4-4z" />`;
const LID = svg`<path class="top" d="M33 9h30v7H33z" />`;
/** What it may come to, as one would see it on opening the parcel. @type {Record<string, Drawn>} */
const HARMS = {
  firm: svg`<path class="wax" d="M14 18h68v18H14z" /><path class="shine" d="M20 23h40" />`,
  dented: svg`<path class="wax" d="M14 18h14l5 7 7-7h14l6 9 7-9h15v18H14z" />`,
  slumped: svg`<path class="wax" d="M10 38c2-8 6-9 8-15 4-8 14 2 28 2s24-10 30-2c3 6 8 7 10 15z" />`,
  run: svg`<path class="wax" d="M4 38c4-7 20-5 26-9 6-3 14 2 22 0 10-3 14 4 24 4 8 0 14 1 16 5z" /><path class="wax" d="M46 8c5 7 7 9 7 12a7 7 0 0 1-14 0c0-3 2-5 7-12z" />`,
  steady: svg`${JAR}${LID}<path class="shine" d="M40 23v12" />`,
  loose: svg`${JAR}<path class="top" d="M32 10l29-7 2 6-29 7z" />`,
  weeping: svg`${JAR}${LID}<path class="wax" d="M69 16c5 7 7 10 7 13a7 7 0 0 1-14 0c0-3 2-6 7-13z" />`,
  darkened: svg`${JAR}${LID}<path class="open" d="M38 41l20-20M34 34l17-17M46 41l16-16" />`,
};

/** @param {string} verdict its stored name @param {boolean} wax whether wax is among it */
export const harmPicture = (verdict, wax) => picture(HARMS[verdict] ?? HARMS[wax ? "firm" : "steady"]);
