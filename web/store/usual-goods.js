/**
 * @file What honey houses usually sell, to be touched instead of typed. A plain table, so that it is here without signal.
 *
 * Net weights are label weights (1 oz = 28.349523125 g, exact; rounded to whole grams). Outer measures with lid and wrap, whole
 * millimetres rounded up, and gross weights are typical of such pieces: common practice, no source; the bar and the bucket ("five
 * gallons are 60 lb") follow rules of the trade, no source either. Whoever sells them measures their own; until then the good is
 * marked `typical`. Honey fills net_g / 1.42 ml (American Bee Journal, "The density of honey": 1.394 to 1.445 g/ml).
 * Glass keeps two inches from the walls and one from its neighbor: carriers' packing advice.
 */

/** @typedef {import('./shapes.d.ts').UsualGood} UsualGood */

const PRACTICE = "common practice, no source";
const GLASS = { glass: true, upright: true, wall_mm: 50, gap_mm: 25, bears_g: 0 };
const PLASTIC = { glass: false, upright: true, wall_mm: 12, gap_mm: 5, bears_g: 2000 };
const WAX = { glass: false, upright: false, wall_mm: 5, gap_mm: 0, bears_g: null };
const FRAGILE = { glass: false, upright: true, wall_mm: 25, gap_mm: 12, bears_g: 0 };
const ML_PER_G = 1 / 1.42;

/** How a piece of a form is packed until its owner says otherwise: own goods begin with it as usual ones do. @type {Record<string, Record<string, any>>} */
export const FORM_DEFAULTS = {
  bar: { ...WAX, kind: "wax", row: 10 },
  block: { ...WAX, kind: "wax", row: 4 },
  candle: { ...WAX, kind: "wax", bears_g: 0, row: 4 },
  jar: { ...GLASS, kind: "honey", row: 6 },
  bottle: { ...PLASTIC, bears_g: 0, kind: "honey", row: 6 },
  tub: { ...PLASTIC, kind: "honey", row: 6 },
  comb: { ...FRAGILE, kind: "honey", row: 4 },
  bucket: { ...PLASTIC, bears_g: null, kind: "honey", row: 1 },
};
/** Milliliters that so many grams of honey fill. @param {number} net_g */
export const honeyMl = (net_g) => Math.round(net_g * ML_PER_G);

/**
 * @param {string} id
 * @param {UsualGood['form']} form
 * @param {[string, string, string]} names one, several, short
 * @param {[number, number, number]} sides_mm length, width, height
 * @param {[number, number, number]} weights net and gross in grams, spread in milligrams
 * @param {Record<string, any>} more
 * @returns {UsualGood}
 */
const usual = (id, form, [name, plural, short], [length_mm, width_mm, height_mm], [net_g, gross_g, gross_sd_mg], more) => ({
  id,
  form,
  name,
  plural,
  short,
  length_mm,
  width_mm,
  height_mm,
  net_g,
  gross_g,
  gross_sd_mg,
  source: PRACTICE,
  careful: "",
  kind: "honey",
  unit: "each",
  row: 6,
  liquid_ml: 0,
  ...more,
});
/** @param {number} net_g */
const liquid = (net_g) => ({ liquid_ml: honeyMl(net_g) });

/** @type {readonly UsualGood[]} */
export const USUAL_GOODS = Object.freeze([
  usual("bar_1oz", "bar", ["wax bar (1 oz)", "wax bars (1 oz)", "bars"], [78, 40, 12], [28, 30, 500], { ...WAX, kind: "wax", row: 10 }),
  usual("block_1lb", "block", ["wax block (1 lb)", "wax blocks (1 lb)", "blocks"], [152, 78, 44], [454, 470, 4000], {
    ...WAX,
    kind: "wax",
    row: 4,
  }),
  usual("jar_8oz", "jar", ["honey jar (8 oz)", "honey jars (8 oz)", "8 oz jars"], [76, 76, 92], [227, 380, 5000], {
    ...GLASS,
    ...liquid(227),
  }),
  usual("jar_12oz", "jar", ["honey jar (12 oz)", "honey jars (12 oz)", "12 oz jars"], [72, 72, 118], [340, 550, 6000], {
    ...GLASS,
    ...liquid(340),
  }),
  usual("jar_1lb", "jar", ["honey jar (1 lb)", "honey jars (1 lb)", "1 lb jars"], [80, 80, 132], [454, 720, 8000], {
    ...GLASS,
    ...liquid(454),
  }),
  usual("jar_pint", "jar", ["pint of honey", "pints of honey", "pints"], [83, 83, 130], [680, 950, 9000], { ...GLASS, ...liquid(680) }),
  usual("jar_2lb", "jar", ["honey jar (2 lb)", "honey jars (2 lb)", "2 lb jars"], [95, 95, 150], [907, 1270, 12000], {
    ...GLASS,
    ...liquid(907),
  }),
  usual("jar_quart", "jar", ["quart of honey", "quarts of honey", "quarts"], [95, 95, 176], [1361, 1850, 15000], {
    ...GLASS,
    ...liquid(1361),
  }),
  usual("bottle_12oz", "bottle", ["squeeze bottle (12 oz)", "squeeze bottles (12 oz)", "12 oz bottles"], [66, 60, 160], [340, 370, 4000], {
    ...PLASTIC,
    bears_g: 0,
    ...liquid(340),
  }),
  usual("bottle_1lb", "bottle", ["squeeze bottle (1 lb)", "squeeze bottles (1 lb)", "1 lb bottles"], [72, 64, 185], [454, 490, 5000], {
    ...PLASTIC,
    bears_g: 0,
    ...liquid(454),
  }),
  usual("bottle_5lb", "bottle", ["honey jug (5 lb)", "honey jugs (5 lb)", "5 lb jugs"], [125, 100, 255], [2268, 2360, 20000], {
    ...PLASTIC,
    bears_g: 0,
    ...liquid(2268),
  }),
  usual(
    "tub_10oz",
    "tub",
    ["tub of creamed honey (10 oz)", "tubs of creamed honey (10 oz)", "10 oz tubs"],
    [96, 96, 70],
    [283, 310, 4000],
    { ...PLASTIC, ...liquid(283) },
  ),
  usual("tub_1lb", "tub", ["tub of creamed honey (1 lb)", "tubs of creamed honey (1 lb)", "1 lb tubs"], [102, 102, 95], [454, 485, 5000], {
    ...PLASTIC,
    ...liquid(454),
  }),
  usual("comb_12oz", "comb", ["cut comb (12 oz)", "cut combs (12 oz)", "combs"], [112, 112, 44], [340, 385, 15000], { ...FRAGILE, row: 4 }),
  usual(
    "bucket_60lb",
    "bucket",
    ["bucket of honey (60 lb)", "buckets of honey (60 lb)", "buckets"],
    [305, 305, 375],
    [27216, 28150, 200000],
    { ...PLASTIC, bears_g: null, row: 1, ...liquid(27216), careful: "A full bucket weighs 62 lb: lift it with two." },
  ),
  usual("candle_pillar", "candle", ["pillar candle (3 × 6 in)", "pillar candles (3 × 6 in)", "pillars"], [78, 78, 155], [660, 675, 8000], {
    ...WAX,
    kind: "wax",
    bears_g: 0,
    row: 4,
  }),
  usual("candle_taper", "candle", ["pair of taper candles", "pairs of taper candles", "tapers"], [260, 50, 25], [160, 170, 5000], {
    ...WAX,
    kind: "wax",
    bears_g: 0,
    row: 4,
  }),
  usual("candle_votive", "candle", ["votive candle", "votive candles", "votives"], [50, 50, 55], [55, 58, 1500], {
    ...WAX,
    kind: "wax",
    bears_g: 0,
    row: 6,
  }),
  usual("wax_pound", "block", ["pound of loose beeswax", "pounds of loose beeswax", "pounds of wax"], [180, 150, 60], [454, 465, 4000], {
    ...WAX,
    kind: "wax",
    bears_g: 0,
    row: 4,
  }),
]);

/** What is kept of a usual good when a house begins to sell it. @param {UsualGood} good */
export function usualRow({ source, careful, ...row }) {
  return { ...row, typical: true };
}
