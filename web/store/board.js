/**
 * @file Rows and sums, the generic way: upsert rows replace fields, ledger rows are added up. No rule of the trade is here.
 * The mirror is one board, the view another (the mirror's copy with the entries in hand laid over it).
 */

/** @typedef {import('./shapes.d.ts').Row} Row */
/** @typedef {(store: 'rows'|'sums', key: string[], value: any) => void} Note */

export const UPSERT_TABLES = /** @type {const} */ ([
  "person",
  "good",
  "carton",
  "lot",
  "standing",
  "order",
  "line",
  "parcel",
  "setting",
  "device",
  "forecast",
]);

/** Ledgers of which a device shows rows, not sums alone. */
const SHOWN_LEDGERS = /** @type {const} */ (["payment", "adjustment", "till"]);
export const ROW_TABLES = [...UPSERT_TABLES, ...SHOWN_LEDGERS];

/** What a new row has before its own fields are laid on. @type {Record<string, Record<string, any>>} */
export const DEFAULTS = {
  person: { name: "", phone: "", street: "", unit: "", city: "", state: "", zip: "", note: "", hidden: false, same_as: null },
  good: { hidden: false, sold: true, rank: 0, row: 10, price_cents: 0, form: "", typical: false, steps: [], prices: [], taxed: false },
  carton: { hidden: false },
  lot: { sources: [], note: "", measures: {} },
  standing: {
    interval: 1,
    ends_on: null,
    paused: false,
    skipped_on: null,
    note: "",
    goes_to: "",
    to_name: "",
    to_street: "",
    to_unit: "",
    to_city: "",
    to_state: "",
    to_zip: "",
    gift_note: "",
    hidden: false,
  },
  order: {
    person: null,
    leave_on: null,
    dressing: "plain",
    hold_for_cool: false,
    pays: "later",
    posting_cents: 0,
    posting_by: "",
    tax_cents: 0,
    tax_rate: 0,
    tax_mailing: false,
    note: "",
    heat: "",
    told: {},
    hold_at_counter: false,
    goes_to: "",
    to_name: "",
    to_street: "",
    to_unit: "",
    to_city: "",
    to_state: "",
    to_zip: "",
    gift_note: "",
    replaces: null,
    free_for: "",
    standing: null,
    standing_on: null,
    goes_with: null,
    call_for: "",
    called_on: null,
    gone_on: null,
  },
  line: { units: 0, price_cents: 0, steps: [], taxed: false, total_cents: null },
  parcel: {
    carton: null,
    dressing: "plain",
    plan: {},
    gross_g: 0,
    gross_sd_g: 0,
    scale_g: null,
    packed_on: null,
    told_permille: null,
    arrived: "",
    arrived_on: null,
    tracking: "",
  },
  forecast: { service: "", days: [] },
};

export class Board {
  /** Rows by table and id. @type {Record<string, Map<string, any>>} */
  tables = Object.fromEntries(ROW_TABLES.map((table) => [table, new Map()]));
  /** Units by good, then lot ('' = unknown). @type {Map<string, Map<string, number>>} */
  balances = new Map();
  /** Reserved units by good. @type {Map<string, number>} */
  promised = new Map();
  /** Reserved units by line. @type {Map<string, number>} */
  sure = new Map();
  /** Units handed over by line. @type {Map<string, number>} */
  handed = new Map();
  /** Cents paid by order. @type {Map<string, number>} */
  paid = new Map();
  /** Cents that came in less what was paid back, by day, then way. @type {Map<string, Map<string, number>>} */
  money = new Map();
  /** All that ever moved, by good, then reason and year ("used 2026"). @type {Map<string, Map<string, number>>} */
  moved = new Map();
  /** Units taken by lot, then order and good ("order good"). @type {Map<string, Map<string, number>>} */
  took = new Map();

  /** A board of its own with the same rows (rows are never changed in place, so they are shared). */
  copy() {
    const made = new Board();
    for (const table of ROW_TABLES) made.tables[table] = new Map(this.tables[table]);
    made.balances = new Map([...this.balances].map(([good, lots]) => [good, new Map(lots)]));
    made.promised = new Map(this.promised);
    made.sure = new Map(this.sure);
    made.handed = new Map(this.handed);
    made.paid = new Map(this.paid);
    made.money = new Map([...this.money].map(([day, sums]) => [day, new Map(sums)]));
    made.moved = new Map([...this.moved].map(([good, sums]) => [good, new Map(sums)]));
    made.took = new Map([...this.took].map(([lot, sums]) => [lot, new Map(sums)]));
    return made;
  }

  /**
   * Lays one row of an operation on.
   * @param {Row} row
   * @param {Note} [note] told each value that changed, for the database
   */
  apply(row, note) {
    if (row.table === "reservation") this.add("sure", [row.line, row.good], row.units, note);
    else if (row.table === "payment") {
      this.add("paid", [row.order, ""], row.cents, note);
      this.add("money", [row.on, row.how], row.cents, note);
      this.put(row, note);
    } else if (row.table === "movement") {
      this.add("balance", [row.good, row.lot ?? ""], row.units, note);
      this.add("moved", [row.good, `${row.reason} ${row.on.slice(0, 4)}`], row.units, note);
      if (row.order && row.lot && row.reason !== "packed") this.add("took", [row.lot, `${row.order} ${row.good}`], -row.units, note);
      if (row.line) this.add("handed", [row.line, row.good], -row.units, note);
    } else this.put(row, note);
  }

  /**
   * @param {Row} row
   * @param {Note} [note]
   */
  put(row, note) {
    const rows = this.tables[row.table];
    if (!rows) return; // a table of a newer house: what this version cannot show it need not keep
    const { table, was, ...fields } = row;
    const merged = { ...(rows.get(row.id) ?? DEFAULTS[table]), ...fields };
    rows.set(row.id, merged);
    note?.("rows", [table, row.id], merged);
  }

  /**
   * Adds to one sum. Also used to load sums, starting from nothing.
   * @param {'balance'|'sure'|'handed'|'paid'|'money'|'moved'|'took'} kind
   * @param {[string, string]} key
   * @param {number} amount
   * @param {Note} [note]
   */
  add(kind, [first, second], amount, note) {
    let total;
    if (kind === "balance" || kind === "money" || kind === "moved" || kind === "took") {
      const sums = { balance: this.balances, money: this.money, moved: this.moved, took: this.took }[kind];
      const within = sums.get(first) ?? new Map();
      sums.set(first, within);
      total = raise(within, second, amount);
    } else if (kind === "sure") {
      raise(this.promised, second, amount);
      total = raise(this.sure, first, amount);
    } else total = raise(kind === "handed" ? this.handed : this.paid, first, amount);
    note?.("sums", [kind, first, second], total);
  }
}

/**
 * @param {Map<string, number>} sums
 * @param {string} key
 * @param {number} amount
 */
function raise(sums, key, amount) {
  const total = (sums.get(key) ?? 0) + amount;
  sums.set(key, total);
  return total;
}
