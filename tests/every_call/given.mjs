/**
 * @file What a function is given: well-formed values of a kind (`kinds.mjs`), the first of them the usual one; then each with one thing
 * otherwise. Texts and numbers go by their names; rows are those of the house that is played.
 */

const DAYS = ["2027-07-24", "2027-07-26", "2027-07-25", "2026-12-31", "2028-02-29", "2027-11-07", ""];
const NAMES = ["Ann Tollefson", "Ida Moen & <more>", ""];
const IDS = ["o1", "ann", "bar", "p3", "s1", "W27-190-1", "y1", "nobody", ""];
/** By the name of what is given. @type {Record<string, string[]>} */
const TEXTS = {
  good: ["bar", "jar", "block", "c8", "honey_bulk", "comb", "nothing"],
  goods: ["10 wax bars (1 oz)", ""],
  carton: ["c8", "c6", "c12", "bar", ""],
  order: ["o1", "o2", "o3", "o5", "o7", "o11", "o12", "nobody"],
  person: ["ann", "ben", "cy", "dora", "hid", "nobody"],
  parcel: ["p3", "p4", "p5", "nobody"],
  payment: ["y1", "y4", "nobody"],
  standing: ["s1", "s2", "s3", "nobody"],
  lot: ["W27-190-1", "W27-200-1", "J27-180-1", "F27-188-1", "X", ""],
  name: NAMES,
  to_name: ["Mia Castellane", ""],
  phone: ["+12185550142", "+493055501234", "(218) 555-0142 ext. 9", "218", ""],
  zip: ["55811", "85201", "00501", "5581", "99999", "55811-1234", ""],
  state: ["MN", "AZ", "mn", "ZZ", "promised", "packed", "gone", "let_go", ""],
  city: ["Duluth", "Mesa", ""],
  street: ["41 Heron Sill Rd", "7 Old Mill Ct", ""],
  unit: ["", "Apt 3"],
  way: ["post", "pick_up", "walk_in", "other"],
  note: ["", "by the red barn & <more>", "x".repeat(600)],
  text: ["2185", "Ann", "3 1/4 in", "83 mm", "8x6x4", "12.50", "7,5", "-3", "A-1", "no such thing", ""],
  words: ["Written down.", "a & b", ""],
  message: ["It is gone by now.", ""],
  remedy: ["Look at it again.", ""],
  kind: ["wax", "honey", "draft", "storage", ""],
  sentence: ["an order under way", ""],
  same_as: ["ann", "", "nobody"],
  how: ["cash", "check", "other"],
  reason: ["broken", "lost", "opening", "bought", "other"],
  why: ["heat", "here", "no carton holds it", ""],
  key: ["zip", "posting_days", "fan", "nothing"],
  setting: ["zip", "posting_days", "fan"],
  path: ["/api/records", "/api/work/heat.card?x=1"],
  room: ["counter", "shelf", "book"],
  token: ["abc"],
  address: ["https://192.168.1.9:8471", "192.168.1.9", "honey.local", "http://example.org/x?y#z", "not one", ""],
  own: ["honey.local", "192.168.1.9"],
  pattern: ["https://example.org/track?n={number}", "https://example.org/", ""],
  tracking: ["9400 5550 1", "", "a b&c"],
  paper: ["a4", "letter", ""],
  tax: ["MN"],
  own_state: ["MN", "WI", ""],
  time_zone: ["America/Chicago", "America/Phoenix", "Nowhere/Else"],
  house: ["Alder honey", ""],
  hash: ["#book/person/ann", "#counter", "#nowhere/x", "#shelf/a%20b", ""],
  from: ["2027-07-24", "#book", "honey_bulk"],
  to: ["2027-08-03", "#book/order/o1", "cappings"],
  year: ["2027", "2026", ""],
  question: ["name", "shelf", "nothing"],
  opened: ["what", "who", "how", "when", "where", "way", "bar"],
  verdict: ["firm", "dents", "slumps", "runs", "fine", "odd"],
  verdict_words: ["fine", "may get dents", ""],
  dressing: ["plain", "lined", "chilled", ""],
  code: ["HONEYHOLD:ORDER:o1", "ABCD-2345", ""],
  item: ["bar", "block", "candle"],
  short: ["bars", ""],
  plural: ["wax bars", ""],
  a: ["ann", "Ben", "É", "10", "9", ""],
  b: ["Ben", "ann", "9", ""],
  one: ["step", "box"],
  many: ["steps", "boxes"],
  word: ["yes", ""],
  field: ["street", "units"],
  place: ["counter", "mail", ""],
  ref: ["o1", "nobody"],
  inner: ["6", "3 1/2", "150 mm", "x", ""],
  amends: ["o1", "o7", "nobody"],
  replaces: ["o5", ""],
  goes_with: ["o1", "o8", ""],
  new_id: ["new-1"],
  op: ["e1", "nobody"],
  check_number: ["1042", ""],
  method: ["GET", "POST"],
};
const SIDES = [4, 6, 8, 10, 0];
/** By the name of what is given, or by what the name ends with. @type {Record<string, number[]>} */
const NUMBERS = {
  units: [5, 1, 2, 10, 37, 0, -1, 1.5, 500, 1000],
  cents: [1250, 1, 0, -300, 99, 100_000, 12.5],
  g: [454, 28, 1, 0, 28.35, 1200, 20_000, -5],
  mm: [152, 25.4, 1, 0, 80, 2000, -1],
  um: [25_400, 12_700, 1, 0],
  ms: [0, 1000, 59_999, 60_000, 3_600_000, 90_000_000, -1],
  s: [0, 1, 59, 60, 61, 3599, 3600, 4500, -1],
  seconds: [0, 1, 59, 60, 61, 3599, 3600, -1],
  milliseconds: [0, 59_000, 60_000, 3_599_000, 3_600_000, 86_400_000, 172_800_000, -1],
  rate: [5500, 0, 100_000, 6875],
  permille: [12, 0, 1, 5, 10, 180, 186, 190, 500, 999, 1000, -1],
  grams: [454, 28, 1, 0, 28.35, 1200, -5],
  pounds: [1, 0, 2, 2.5],
  ounces: [0, 3, 15.9, 16],
  count: [3, 1, 0, 2, 12, -1],
  most: [8, 1, 0, 1000],
  date: [1, 2, 3, 4, 11, 12, 13, 21, 22, 23, 30, 31],
  step: [5, 1250, 10, 2300],
  interval: [1, 2, 3],
  seq: [1, 0, 4],
  cursor: [1, 0],
  length: SIDES,
  share: [12, 0, 3],
};
const PLAIN = [1, 0, 2, 7, -1, 12.5, 1000];
const MOST_OF_ONE = 24;
const BENT_MOST = 24;

/** What the house has, by the name of its kind. @type {Record<string, any[]>} */
export const house = {};

/** A text's or a number's own values by its name. @param {Record<string, any[]>} table @param {string} name */
const named = (table, name) => table[name] ?? table[name.split("_").at(-1)] ?? table[name.replace(/s$/, "")];

/** @param {string} name */
const texts = (name) =>
  named(TEXTS, name) ?? (/(^|_)(on|day|today|since|until)$/.test(name) ? DAYS : /(^|_)at$/.test(name) ? ["2027-07-24T14:02:00Z", ""] : IDS);

/** @template T @param {T[]} all @param {number} most @returns {T[]} as many of them, evenly */
export function evenly(all, most) {
  return all.length <= most ? all : Array.from({ length: most }, (_, at) => all[Math.floor((at * all.length) / most)]);
}

/** Values of a kind, the usual one first. @param {any} kind @returns {any[]} */
export function values(kind) {
  if (kind.maybe) return values(kind.maybe).flatMap((one) => (one === undefined ? [] : [one, undefined]));
  if (kind.one) return kind.one.toSorted((a, b) => Number(a === null) - Number(b === null));
  if (kind.either) return evenly(inTurn(kind.either.map(values)), MOST_OF_ONE);
  if (kind.text !== undefined) return texts(kind.text);
  if (kind.number !== undefined) return named(NUMBERS, kind.number) ?? PLAIN;
  if (kind.does !== undefined) return [{ toBeHeard: kind.does }];
  if (kind.row) return house[kind.row] ?? [{ row: kind.row }];
  if (kind.tuple) return otherwise(kind.tuple.map(values), (all) => all);
  if (kind.list) return listed(values(kind.list));
  if (kind.set) return listed(values(kind.set[0])).map((all) => new Set(all));
  if (kind.iterable) return listed(values(kind.iterable[0]));
  if (kind.map) return listed(values(kind.map[1])).map((all) => new Map(all.map((one, at) => [values(kind.map[0])[at] ?? String(at), one])));
  if (kind.by) return byName(values(kind.by));
  if (kind.object) {
    const names = Object.keys(kind.object);
    return otherwise(
      names.map((name) => values(kind.object[name])),
      (all) => Object.fromEntries(names.flatMap((name, at) => (all[at] === undefined ? [] : [[name, all[at]]]))),
    );
  }
  return [...(named(TEXTS, kind.any ?? "") ?? []), 7, null, "words", { good: "bar", units: 2 }, ["bar"], true];
}

/** The first of each, then the second of each … @param {any[][]} lists */
function inTurn(lists) {
  const longest = Math.max(...lists.map((one) => one.length));
  return Array.from({ length: longest }, (_, at) => lists.flatMap((one) => (at < one.length ? [one[at]] : []))).flat();
}

/** @param {any[]} of */
const listed = (of) => [of.slice(0, 2), [], of.slice(0, 1), of.slice(1, 4), of.slice(2, 3), [of[0], of[0]], of.toReversed().slice(0, 6)];

/** @param {any[]} of */
const byName = (of) => [
  { bar: of[0], jar: of[1] ?? of[0] },
  {},
  { bar: of[0] },
  { nothing: of[0] },
  ...of.slice(1, 5).map((one) => ({ bar: one, block: of[0] })),
];

/** The usual ones together; each otherwise by itself; then several otherwise. @param {any[][]} each @param {(all: any[]) => any} made */
export function otherwise(each, made, most = MOST_OF_ONE) {
  const usual = each.map(([first]) => first);
  const single = inTurn(each.map((of, at) => [...new Set(of.slice(1))].map((one) => usual.with(at, one))));
  const draw = drawing(each.length);
  const mixed = each.length > 1 ? Array.from({ length: most }, () => each.map((of) => of[draw(of.length)])) : [];
  return [usual, ...inTurn([evenly(single, most), mixed])].map(made);
}

/** Numbers that look drawn, the same each time. @param {number} seed */
function drawing(seed) {
  let state = seed * 2_654_435_761 + 12_345;
  return (/** @type {number} */ below) => {
    state = (Math.imul(state, 1_103_515_245) + 12_345) >>> 0;
    return (state >>> 8) % below;
  };
}

/** A row with one thing in it otherwise, a row each. @param {Record<string, any>} row @returns {Record<string, any>[]} */
export function bent(row) {
  const rows = Object.entries(row).flatMap(([name, value]) => instead(value).map((one) => ({ ...row, [name]: one })));
  return evenly(rows, BENT_MOST);
}

/** @param {any} value @returns {any[]} */
function instead(value) {
  if (typeof value === "boolean") return [!value];
  if (typeof value === "number") return [value + 1, 0, -value - 1];
  if (typeof value === "string") return /^\d{4}-\d\d-\d\d$/.test(value) ? ["2027-08-02", null] : ["", `${value} & <more>`];
  if (Array.isArray(value)) return value.length ? [value.slice(1), [...value, ...value]] : [];
  return value === null ? [1] : [];
}
