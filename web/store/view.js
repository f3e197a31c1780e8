/** @file What a room reads: one board with the questions a keeper asks of it. */

import { Board } from "./board.js";
import { destinationOf, hasMoved, inOneParcel } from "./destination.js";
import { People } from "./joined.js";
import { orderTotal } from "./pricing.js";
import { asWritten, byNumber, compare, oldestFirst } from "./sorting.js";

/** @typedef {import('./shapes.d.ts').Order} Order */
/** @typedef {import('./shapes.d.ts').Line} Line */
/** @typedef {string | {id: string}} Ref */
/** @typedef {{order: Order, line: Line, person: import('./shapes.d.ts').Person | null, units: number}} Wanted */

export class View {
  /** @param {Board} board */
  constructor(board = new Board()) {
    this.board = board;
    const t = board.tables;
    this.people = new People(/** @type {Map<string, import('./shapes.d.ts').Person>} */ (t.person));
    this.goods = /** @type {Map<string, import('./shapes.d.ts').Good>} */ (t.good);
    this.cartons = /** @type {Map<string, import('./shapes.d.ts').Carton>} */ (t.carton);
    this.lots = /** @type {Map<string, import('./shapes.d.ts').Lot>} */ (t.lot);
    this.standing = /** @type {Map<string, import('./shapes.d.ts').Standing>} */ (t.standing);
    this.orders = /** @type {Map<string, Order>} */ (t.order);
    this.lines = /** @type {Map<string, Line>} */ (t.line);
    this.parcels = /** @type {Map<string, import('./shapes.d.ts').Parcel>} */ (t.parcel);
    this.payments = /** @type {Map<string, import('./shapes.d.ts').Payment>} */ (t.payment);
    this.adjustments = /** @type {Map<string, import('./shapes.d.ts').Adjustment>} */ (t.adjustment);
    this.till = /** @type {Map<string, import('./shapes.d.ts').TillEntry>} */ (t.till);
    this.settings = /** @type {Map<string, import('./shapes.d.ts').Setting>} */ (t.setting);
    this.forecasts = /** @type {Map<string, import('./shapes.d.ts').Forecast>} */ (t.forecast);
    this.devices = /** @type {Map<string, import('./shapes.d.ts').DeviceRow>} */ (t.device);
    /** Rows of one table by the order they belong to, built when first asked for. @type {Map<string, Map<string, any[]>>} */
    this.byOrder = new Map();
  }

  /** @param {Ref} good */
  onHand(good) {
    let units = 0;
    for (const lot of this.board.balances.get(idOf(good))?.values() ?? []) units += lot;
    return units;
  }

  /** @param {Ref} good */
  promised(good) {
    return this.board.promised.get(idOf(good)) ?? 0;
  }

  /** @param {Ref} good */
  free(good) {
    return this.onHand(good) - this.promised(good);
  }

  /**
   * @param {Ref} good
   * @returns {{lot: string | null, units: number, made_on: string | null}[]}
   */
  lotBalance(good) {
    return [...(this.board.balances.get(idOf(good)) ?? [])]
      .filter(([, units]) => units !== 0)
      .map(([lot, units]) => ({ lot: lot || null, units, made_on: this.lots.get(lot)?.made_on ?? null }))
      .sort(oldestFirst);
  }

  /**
   * Lots from which more has left than ever came: two devices out of reach sold the same last bars of one.
   * @returns {{good: import('./shapes.d.ts').Good, lot: string, units: number}[]} units that are missing
   */
  lotsBelowZero() {
    return [...this.goods.values()].flatMap((good) =>
      this.lotBalance(good.id).flatMap(({ lot, units }) => (lot !== null && units < 0 ? [{ good, lot, units: -units }] : [])),
    );
  }

  /** @param {Ref} line */
  sure(line) {
    return this.board.sure.get(idOf(line)) ?? 0;
  }

  /** @param {Ref} line */
  handed(line) {
    return this.board.handed.get(idOf(line)) ?? 0;
  }

  /** @param {Ref} line */
  waiting(line) {
    const row = this.lines.get(idOf(line));
    const state = row && this.orders.get(row.order)?.state;
    if (!row || (state !== "promised" && state !== "packed")) return 0;
    return Math.max(0, row.units - this.sure(line) - this.handed(line));
  }

  /** @param {Ref} order */
  paid(order) {
    return this.board.paid.get(idOf(order)) ?? 0;
  }

  /**
   * What an order comes to: lines, mailing and tax as told, less what was taken off.
   * @param {Ref} order
   */
  total(order) {
    const row = this.orders.get(idOf(order));
    return row ? orderTotal(row, this.linesOf(order)) + this.adjusted(order) : 0;
  }

  /** Cents taken off an order's price (below zero) or put back on. @param {Ref} order */
  adjusted(order) {
    return (this.grouped("adjustment").get(idOf(order)) ?? []).reduce((sum, { cents }) => sum + cents, 0);
  }

  /**
   * An order's payments, corrections and what was paid back, by day; those of one day as they were written.
   * @param {Ref} order
   * @returns {import('./shapes.d.ts').Payment[]}
   */
  paymentsOf(order) {
    return [...(this.grouped("payment").get(idOf(order)) ?? [])].sort((a, b) => compare(a.on, b.on) || asWritten(a, b));
  }

  /** What came in by day and way. @returns {import('./till.js').Came[]} */
  money() {
    return [...this.board.money].flatMap(([on, ways]) => [...ways].map(([how, cents]) => ({ on, how, cents })));
  }

  /**
   * Orders of which money is to be paid back: canceled after they were paid, or paid too much. Those of the most money first.
   * @returns {{order: Order, cents: number}[]}
   */
  toPayBack() {
    return [...this.orders.values()]
      .map((order) => ({ order, cents: -this.owed(order) }))
      .filter(({ cents }) => cents > 0)
      .sort((a, b) => b.cents - a.cents || byNumber(a.order, b.order));
  }

  /**
   * Cents still owed: the lines, the posting and the tax less what was taken off and paid. An order let go, or undone so that nothing was handed over,
   * owes only what it was paid back (below zero: the house owes).
   * @param {Ref} order
   */
  owed(order) {
    const row = this.orders.get(idOf(order));
    if (!row) return 0;
    const lines = this.linesOf(order);
    const undone = row.state === "gone" && !lines.some((line) => this.handed(line) > 0);
    if (row.state === "let_go" || undone) return -this.paid(order);
    return this.total(order) - this.paid(order);
  }

  /**
   * @param {Ref} order
   * @returns {Line[]}
   */
  linesOf(order) {
    const lines = (this.grouped("line").get(idOf(order)) ?? []).filter((line) => line.units > 0);
    if (lines.length < 2) return lines;
    const wanted = this.standing.get(this.orders.get(idOf(order))?.standing ?? "")?.wanted.map(({ good }) => good) ?? [];
    const place = (/** @type {Line} */ { good }) => (wanted.includes(good) ? wanted.indexOf(good) : wanted.length);
    return lines.sort((a, b) => place(a) - place(b) || asWritten(a, b));
  }

  /**
   * @param {Ref} order
   * @returns {import('./shapes.d.ts').Parcel[]}
   */
  parcelsOf(order) {
    return (this.grouped("parcel").get(idOf(order)) ?? []).filter((parcel) => parcel.packed_on !== null).sort((a, b) => a.part - b.part);
  }

  /**
   * Who receives an order, and where: its own copy of an address, else its person's.
   * @param {Order} order
   */
  destination(order) {
    return destinationOf(order, this.people.get(order.person ?? ""));
  }

  /** Open orders whose person has another address by now than the one they go to. */
  moved() {
    return this.openOrders().filter((order) => hasMoved(order, this.people.get(order.person ?? "")));
  }

  /** Promised and packed orders, by the day they leave, those without one last. */
  openOrders() {
    return [...this.orders.values()]
      .filter((order) => order.state === "promised" || order.state === "packed")
      .sort((a, b) => compare(a.leave_on ?? "9", b.leave_on ?? "9") || compare(a.taken_on, b.taken_on) || byNumber(a, b));
  }

  /** @param {Ref} person */
  ordersOf(person) {
    return [...this.orders.values()]
      .filter((order) => this.people.same(order.person, idOf(person)))
      .sort((a, b) => compare(b.taken_on, a.taken_on) || byNumber(b, a));
  }

  /** Orders that came of a standing order. @param {Ref} standing */
  ordersFrom(standing) {
    return [...this.orders.values()].filter((order) => order.standing === idOf(standing));
  }

  /** The open order in whose parcel this one goes, or null. @param {Order} order */
  hostOf(order) {
    const host = this.orders.get(order.goes_with ?? "");
    return host && host.state !== "gone" && this.together(order, host) ? host : null;
  }

  /** Open orders that go in the parcel of this one. @param {Ref} order @returns {Order[]} */
  ridersOf(order) {
    const host = this.orders.get(idOf(order));
    return host ? this.openOrders().filter((one) => one.goes_with === host.id && this.together(one, host)) : [];
  }

  /** An order and all that goes, or went, in its parcel. @param {Order} order @returns {Order[]} */
  inOneParcel(order) {
    return [order, ...[...this.orders.values()].filter((one) => one.goes_with === order.id && this.together(one, order))];
  }

  /** @param {Order} rider @param {Order} host */
  together(rider, host) {
    return inOneParcel(rider, this.destination(rider), host, this.destination(host));
  }

  /** A person's standing orders that have not ended. @param {Ref} person @param {string} today */
  standingOf(person, today) {
    return [...this.standing.values()].filter(
      (one) => this.people.same(one.person, idOf(person)) && !one.hidden && !(one.ends_on && one.ends_on < today),
    );
  }

  /**
   * Whose the promised units of a good are, latest promise first.
   * @param {Ref} good
   */
  promisedTo(good) {
    return this.wanted(good, (line) => this.sure(line)).reverse();
  }

  /**
   * Who waits for a good, first come first.
   * @param {Ref} good
   */
  waitingFor(good) {
    return this.wanted(good, (line) => this.waiting(line));
  }

  /**
   * @param {string} key
   * @param {any} [otherwise]
   */
  setting(key, otherwise = null) {
    return this.settings.get(key)?.value ?? otherwise;
  }

  /**
   * @param {Ref} good
   * @param {(line: Line) => number} units
   * @returns {Wanted[]}
   */
  wanted(good, units) {
    return this.openOrders()
      .sort((a, b) => compare(a.taken_on, b.taken_on) || byNumber(a, b))
      .flatMap((order) =>
        this.linesOf(order)
          .filter((line) => line.good === idOf(good) && units(line) > 0)
          .map((line) => ({ order, line, person: this.people.get(order.person ?? "") ?? null, units: units(line) })),
      );
  }

  /** @param {string} table */
  grouped(table) {
    let groups = this.byOrder.get(table);
    if (!groups) {
      groups = new Map();
      for (const row of this.board.tables[table].values()) {
        const group = groups.get(row.order);
        if (group) group.push(row);
        else groups.set(row.order, [row]);
      }
      this.byOrder.set(table, groups);
    }
    return groups;
  }
}

/** @param {Ref} ref */
export function idOf(ref) {
  return typeof ref === "string" ? ref : ref.id;
}
