/** @file What can be asked of a device, one function each: a person's act through web/store/acts.js, or a look at what is kept. */

/** Acts: each gets the window's modules and what was said. @type {Record<string, (here: any, said: any) => any>} */
export const ACTS = {
  start: () => null,
  enrol: ({ house }, { code, name }) => house.house.enrol(code, name),
  exchange: ({ house }) => house.house.exchange(),
  ask: ({ house }, { good, units, wait_s }) => house.house.ask(good, units, wait_s),
  promise: async ({ acts, sentences }, { draft, wait_s }) => {
    const told = await acts.promise(draft, { wait_s });
    if (draft.sentence) sentences.sentences.ended(); // as the Counter does
    return told;
  },
  sell: ({ acts }, { draft }) => acts.sell(draft),
  amend: ({ acts, known }, { order, lines, change }) =>
    acts.amend(order, lines ? { ...change, lines: wholeList(known.known.view, order, lines) } : change),
  let_go: ({ acts }, { order }) => acts.letGo(order),
  pack: ({ acts }, { order, parcels }) => acts.pack(order, { parcels }),
  weigh: ({ acts }, { parcel, scale_g }) => acts.weigh(parcel, scale_g),
  track: ({ acts }, { parcel, tracking }) => acts.track(parcel, tracking),
  arrive: ({ acts }, { parcel, arrived }) => acts.arrive(parcel, arrived),
  hand_over: ({ acts }, { order, cents, how }) => acts.handOver(order, { cents, how }),
  pay: ({ acts }, { order, cents, how, note, more }) => acts.pay(order, cents, how, note, more),
  correct: ({ acts }, { payment, cents, note }) => acts.correct(payment, cents, note),
  adjust: ({ acts }, { order, cents, why }) => acts.adjust(order, cents, why),
  till: ({ acts }, { what, cents, note }) => acts.till(what, cents, note),
  go_without: ({ acts }, { good, units, way }) => acts.goWithout(good, units, way),
  join_people: ({ acts }, { person, same_as }) => acts.joinPeople(person, same_as),
  note_standing: ({ acts }, { standing }) => acts.saveStanding(standing),
  promise_standing: ({ acts }, { standing, on }) => acts.promiseStanding(standing, on),
  send_again: ({ acts }, { order, free_for }) => acts.sendAgain(order, free_for),
  make: ({ making }, work) => making.made(work),
  count: ({ acts, known }, { good, lot, units, reason }) => counted(acts, known.known.view, { good, lot, units, reason }),
  buy: ({ acts }, { good, units, lot }) => acts.buy(good, units, { lot }),
  note_person: ({ acts }, { person }) => acts.savePerson(person),
  set_good: ({ acts }, { good, carton }) => acts.setGood(good, carton),
  set_house: ({ acts }, { values }) => acts.setHouseAll(values),
  undo: ({ acts }, { op }) => acts.undo(op),
  give_back: ({ wishes }, { units }) => wishes.giveBack(units),
  /** An entry as it stands, for what no screen can write. */
  raw: ({ log }, { kind, rows, spent }) => log.append(() => ({ kind, rows, spent })),
  compose: async ({ sentences }, { draft }) => {
    sentences.sentences.write(draft);
    await sentences.sentences.settled();
    return { sentence: sentences.sentences.mine?.id ?? null, kept: !sentences.sentences.unkept };
  },
  park: ({ sentences }) => sentences.sentences.park(),
  take_up: async ({ sentences }) => {
    await sentences.sentences.takeUp();
    const { mine } = sentences.sentences;
    return mine && { sentence: mine.id, draft: mine.draft };
  },
  furnish,
  view: ({ known }) => boardTold(known.known.view.board),
  kept: keptOnDisk,
  mirror: mirrorOnDisk,
};

/** A device that knows these rows and holds so much, without a house. */
async function furnish({ board, database, known }, { identity, rows, granted, orders }) {
  await database.write(["keep", "rows", "sums"], async (tx) => {
    const made = new board.Board();
    const put = (store, key, value) => tx.objectStore(store).put(value, key);
    for (const row of rows) made.apply(row, put);
    const marks = { ...known.noMarks(), epoch: "contract", cursor: 1 };
    const keep = { identity, share: { granted, spent: {} }, head: { seq: 0, hash: "", orders }, marks };
    for (const [name, value] of Object.entries(keep)) put("keep", name, value);
  });
  await known.load();
}

/** The order's lines with some of them at another number: a screen gives the whole new list. */
function wholeList(view, order, lines) {
  const wanted = new Map(view.linesOf(order).map(({ good, units }) => [good, units]));
  for (const [good, units] of lines) wanted.set(good, units);
  return [...wanted].map(([good, units]) => ({ good, units }));
}

function counted(acts, view, { good, lot, units, reason }) {
  if (reason !== "counted") return acts.takeAway(good, lot, -units, reason);
  const [row] = lot ? [{ lot, units: view.board.balances.get(good)?.get(lot) ?? 0 }] : view.lotBalance(good);
  return acts.count(good, row?.lot ?? null, Math.max(0, (row?.units ?? 0) + units), reason);
}

async function keptOnDisk({ database, known }, _said, device) {
  const { identity, share, marks, entries } = await database.read(["keep", "log"], async (tx) => ({
    ...(await known.readKeep(tx)),
    entries: await tx.objectStore("log").getAll(),
  }));
  const mine = entries.filter((entry) => entry.device === identity?.device);
  const fresh = entries.filter(({ id }) => !device.told.has(id)).sort((a, b) => a.seq - b.seq);
  for (const { id } of fresh) device.told.add(id);
  return {
    identity,
    share,
    marks,
    fresh: fresh.map(({ operation }) => operation),
    places: mine.filter(({ place }) => place).map(({ id }) => id),
    in_hand: mine.filter(({ state }) => state === "in_hand").map(({ id }) => id),
    needs_you: mine.filter(({ state }) => state === "refused").map(({ id }) => id),
  };
}

/** The mirror as the disk has it, and whether the window believes the same. */
async function mirrorOnDisk({ database, known }) {
  const [board, took] = await database.read(["keep", "rows", "sums"], async (tx) =>
    Promise.all([known.readMirror(tx), tx.objectStore("keep").get("took")]),
  );
  const told = boardTold(board);
  const { marks, mirror, view } = known.known;
  const shown = known.inOrder().some((entry) => notThere(entry, marks.cursor)) || marks.removed_at ? [] : [view.board];
  const differs = [mirror, ...shown].flatMap((believed) =>
    Object.entries(boardTold(believed))
      .filter(([name, value]) => !same(value, told[name]))
      .map(([name]) => name),
  );
  return { ...told, took_before: took?.took ?? [], differs };
}

/** Whether the house's rows do not hold this entry yet: asked here too, since the store's own answer may be what is wrong. */
const notThere = ({ state, position }, cursor) => state === "in_hand" || (state === "landed" && (position ?? 0) > (cursor ?? 0));

/** Sums of nothing are left out: nobody tells them from none. */
function boardTold(board) {
  const flat = (sums) => [...sums].filter(([, units]) => units !== 0).sort();
  const nested = (sums) => [...sums].flatMap(([first, within]) => flat(within).map(([second, units]) => [first, second, units])).sort();
  return {
    rows: Object.fromEntries(Object.entries(board.tables).map(([table, rows]) => [table, [...rows.values()]])),
    sure: flat(board.sure),
    handed: flat(board.handed),
    promised: flat(board.promised),
    paid: flat(board.paid),
    balances: nested(board.balances),
    money: nested(board.money),
    moved: nested(board.moved),
    took: nested(board.took),
  };
}

/** Whatever the order of the rows of a table. */
function same(one, other) {
  return JSON.stringify(sorted(one)) === JSON.stringify(sorted(other));
}

function sorted(value) {
  if (Array.isArray(value)) {
    const items = value.map(sorted);
    return items.every((item) => typeof item?.id === "string") ? items.sort((a, b) => (a.id < b.id ? -1 : 1)) : items;
  }
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(
    Object.keys(value)
      .sort()
      .map((key) => [key, sorted(value[key])]),
  );
}
