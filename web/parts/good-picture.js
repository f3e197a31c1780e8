/** A good drawn from its own measures: a bar lies as a bar, a jar has its lid, a bucket its handle. Nothing is waited for. */
import { html, svg } from "lit";

/** @import { Drawn } from "./events.d.ts" */
/** @import { Form } from "../store/shapes.d.ts" */

/** @typedef {Exclude<Form, "">} Shape */
/** @typedef {{form?: Form, kind?: string, glass?: boolean, net_g?: number, length_mm?: number, width_mm?: number, height_mm?: number}} Pictured */

const BOX_PX = { width: 120, height: 92 };
const MARGIN_PX = 8;
const DEPTH = { x: 0.42, y: 0.24 }; // oblique: how far the depth goes to the right and up
const ROUND = 0.13; // half height of an ellipse, in its widths
/** Sides in mm by form, for what nobody measured yet; only their proportion counts. @type {Record<Shape, number[]>} */
const SHAPES = {
  bar: [78, 40, 12],
  block: [152, 78, 44],
  jar: [80, 80, 132],
  bottle: [70, 62, 180],
  tub: [100, 100, 80],
  comb: [112, 112, 44],
  candle: [78, 78, 155],
  bucket: [305, 305, 375],
};
/** @type {Shape[]} */
const EDGED = ["bar", "block", "comb"];
/** @type {Record<Shape, string>} */
const WORDS = {
  bar: "a bar",
  block: "a block",
  jar: "a jar",
  bottle: "a bottle",
  tub: "a tub",
  comb: "comb in a box",
  candle: "a candle",
  bucket: "a bucket",
};
export const FORMS = /** @type {Shape[]} */ (Object.keys(SHAPES));

/** What it looks like; where nobody said, by what it is: wax is never a jar. @param {Pictured} good @returns {Shape} */
export function formOf({ form, kind, glass, net_g = 0 }) {
  if (form) return form;
  if (kind === "wax") return net_g > 100 ? "block" : "bar";
  return glass ? "jar" : "tub";
}

/**
 * @param {Pictured} good as in the records, or only `{form}`
 * @param {{measured?: boolean}} [how] with L, W and H written to it
 */
export function goodPicture(good, { measured = false } = {}) {
  const form = formOf(good);
  const [length, width, height] =
    good.length_mm && good.width_mm && good.height_mm ? [good.length_mm, good.width_mm, good.height_mm] : SHAPES[form];
  const sides = form === "candle" && length > 2 * height ? [height * 2, width, length] : [length, width, height]; // tapers stand in the drawing
  const more = measured ? 30 : 0;
  const scale = Math.min(
    (BOX_PX.width - 2 * MARGIN_PX) / (sides[0] + sides[1] * DEPTH.x),
    (BOX_PX.height - 2 * MARGIN_PX) / (sides[2] + sides[1] * DEPTH.y),
  );
  const [l, w, h] = sides.map((side) => side * scale);
  const x = (BOX_PX.width - l - w * DEPTH.x) / 2;
  const edged = EDGED.includes(form);
  const bottom = (BOX_PX.height + h + (edged ? w * DEPTH.y : 0)) / 2;
  const said = `${WORDS[form]}${good.length_mm ? `, ${good.length_mm} × ${good.width_mm} × ${good.height_mm} mm` : ""}`;
  return html`<svg class="good-picture" data-form=${form} viewBox="0 0 ${BOX_PX.width + more} ${BOX_PX.height + more / 2}" role="img" aria-label=${said}>
    <g stroke-linejoin="round" stroke-width="1.6">${DRAWN[form](x, bottom, l, w, h)}</g>${measured ? marks(form, x, bottom, l, w, h) : ""}</svg>`;
}

/** @param {...number} numbers */
const p = (...numbers) => numbers.map((one) => one.toFixed(1)).join(" ");

/** @param {number} x @param {number} bottom @param {number} l @param {number} w @param {number} h */
function box(x, bottom, l, w, h) {
  const [dx, dy] = [w * DEPTH.x, -w * DEPTH.y];
  const top = bottom - h;
  return svg`<path class="body" d="M${p(x, top)}h${p(l)}v${p(h)}h${p(-l)}z" />
    <path class="body lit" d="M${p(x, top)}l${p(dx, dy)}h${p(l)}l${p(-dx, -dy)}z" />
    <path class="body dim" d="M${p(x + l, top)}l${p(dx, dy)}v${p(h)}l${p(-dx, -dy)}z" />`;
}

/**
 * A round body, as wide above as below or not, with the rim seen from above.
 * @param {string} kind
 * @param {number} cx
 * @param {number} bottom
 * @param {number} below
 * @param {number} above
 * @param {number} h
 */
function round(kind, cx, bottom, below, above, h) {
  const top = bottom - h;
  /** @param {number} radius */
  const curve = (radius) => p(radius, radius * 2 * ROUND);
  return svg`<path class=${kind} d="M${p(cx - above, top)}L${p(cx - below, bottom)}A${curve(below)} 0 0 0 ${p(cx + below, bottom)}L${p(cx + above, top)}z" />
    <ellipse class="${kind} lit" cx=${cx.toFixed(1)} cy=${top.toFixed(1)} rx=${above.toFixed(1)} ry=${(above * 2 * ROUND).toFixed(1)} />`;
}

/** @param {number} x @param {number} l @param {number} w */
const middle = (x, l, w) => x + (l + w * DEPTH.x) / 2;
/**
 * Round things stand on a curve that bulges downwards: they begin that much higher, so that all stand on one line.
 * @param {number} bottom
 * @param {number} radius
 */
const foot = (bottom, radius) => bottom - radius * 2 * ROUND;

/** @type {Record<Shape, (x: number, bottom: number, l: number, w: number, h: number) => Drawn>} */
const DRAWN = {
  bar: box,
  block: box,
  jar(x, bottom, l, w, h) {
    const [cx, r, floor] = [middle(x, l, w), l / 2, foot(bottom, l / 2)];
    const tall = h - r * 4 * ROUND;
    return [round("body", cx, floor, r * 0.94, r, tall * 0.8), round("lid", cx, floor - tall * 0.8, r * 0.88, r * 0.88, tall * 0.2)];
  },
  tub(x, bottom, l, w, h) {
    const [cx, r, floor] = [middle(x, l, w), l / 2, foot(bottom, l / 2)];
    const tall = h - r * 4 * ROUND;
    return [round("body", cx, floor, r * 0.8, r * 0.94, tall * 0.85), round("lid", cx, floor - tall * 0.85, r, r, tall * 0.15)];
  },
  bottle(x, bottom, l, w, h) {
    const [cx, r, floor] = [middle(x, l, w), l / 2, foot(bottom, l / 2)];
    const tall = h - r * 2 * ROUND;
    return [
      round("body", cx, floor, r, r, tall * 0.62),
      svg`<path class="body" d="M${p(cx - r, floor - tall * 0.62)}Q${p(cx - r, floor - tall * 0.82, cx - r * 0.42, floor - tall * 0.84)}H${p(cx + r * 0.42)}Q${p(cx + r, floor - tall * 0.82, cx + r, floor - tall * 0.62)}" />`,
      round("lid", cx, floor - tall * 0.84, r * 0.42, r * 0.3, tall * 0.16),
    ];
  },
  comb(x, bottom, l, w, h) {
    /** @param {number[]} corner */
    const onTop = ([across, deep]) => p(x + across * l + deep * w * DEPTH.x, bottom - h - deep * w * DEPTH.y);
    const cells = [];
    for (let row = 0; row < 4; row += 1)
      for (let column = 0; column < 5; column += 1) cells.push(hexagon((column + 0.6 + (row % 2) / 2) / 6, (row + 0.7) / 4.4));
    return [box(x, bottom, l, w, h), svg`<path class="cells" d=${cells.map((corners) => `M${corners.map(onTop).join("L")}z`).join("")} />`];
  },
  candle(x, bottom, l, w, h) {
    const pair = l < h / 3; // tapers, drawn standing
    /** @param {number} cx @param {number} r */
    const each = (cx, r) => [
      round("body", cx, foot(bottom, r), r, pair ? r * 0.6 : r, h - r * 4 * ROUND - 5),
      svg`<path class="wick" d="M${p(cx, foot(bottom, r) - (h - r * 4 * ROUND - 5))}q2 -4 0 -8" />`,
    ];
    return pair ? [each(x + l * 0.1, l * 0.22), each(x + l, l * 0.22)] : each(middle(x, l, w), l / 2);
  },
  bucket(x, bottom, l, w, h) {
    const [cx, r, floor] = [middle(x, l, w), l / 2, foot(bottom, l / 2)];
    const tall = h - r * 4 * ROUND;
    return [
      round("body", cx, floor, r * 0.84, r * 0.96, tall * 0.9),
      round("lid", cx, floor - tall * 0.9, r, r, tall * 0.1),
      svg`<path class="handle" d="M${p(cx - r * 0.97, floor - tall * 0.8)}Q${p(cx, floor - tall * 0.1, cx + r * 0.97, floor - tall * 0.8)}" />`,
    ];
  },
};

/** @param {number} x @param {number} y */
const hexagon = (x, y) =>
  [0, 1, 2, 3, 4, 5].map((corner) => [x + 0.075 * Math.sin((corner * Math.PI) / 3), y + 0.1 * Math.cos((corner * Math.PI) / 3)]);

/**
 * Where L, W and H are measured: round things across their middle, the others along their edges.
 * @param {Shape} form
 * @param {number} x
 * @param {number} bottom
 * @param {number} l
 * @param {number} w
 * @param {number} h
 */
function marks(form, x, bottom, l, w, h) {
  const edged = EDGED.includes(form);
  const from = edged ? x : middle(x, l, w) - l / 2;
  const [dx, dy] = edged ? [w * DEPTH.x, w * DEPTH.y] : [l * 0.3, l * 0.17];
  const [right, up] = [from + l + (edged ? dx : 0) + 7, edged ? dy : 0];
  return svg`<g class="measure"><line x1=${from} y1=${bottom + 5} x2=${from + l} y2=${bottom + 5} /><text x=${from + l / 2 - 3} y=${bottom + 17}>L</text>
    <line x1=${from + l + 4} y1=${bottom + 4} x2=${from + l + dx + 4} y2=${bottom - dy + 4} /><text x=${from + l + dx + 2} y=${bottom + 13}>W</text>
    <line x1=${right} y1=${bottom - Math.max(up, dy) - 2} x2=${right} y2=${bottom - h - up} /><text x=${right + 4} y=${bottom - up - h / 2}>H</text></g>`;
}
