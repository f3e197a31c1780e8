// The shapes of the contract (server/honeyhold/operations/README.md) and of what this folder keeps, for the type checker only.

export type Units = Record<string, number>;
export type Table =
  | "person"
  | "good"
  | "carton"
  | "lot"
  | "standing"
  | "order"
  | "line"
  | "parcel"
  | "setting"
  | "device"
  | "forecast"
  | "reservation"
  | "movement"
  | "payment"
  | "adjustment"
  | "till"
  | "lost_sale"
  | "undoing";

/** A row of an operation. `was` holds what the writer believed before. */
export interface Row {
  table: Table;
  id: string;
  was?: Record<string, any>;
  [field: string]: any;
}

export interface Person {
  id: string;
  name: string;
  phone: string;
  street: string;
  unit: string;
  city: string;
  state: string;
  zip: string;
  note: string;
  hidden: boolean;
  /** the person who they are */ same_as: string | null;
}
export interface Good {
  id: string;
  name: string;
  plural: string;
  short: string;
  kind: "wax" | "honey" | "bulk" | "carton";
  unit: "each" | "g";
  price_cents: number;
  row: number;
  rank: number;
  sold: boolean;
  hidden: boolean;
  form: Form;
  /** measures and weights are typical ones, nobody measured it */ typical: boolean;
  steps: [number, number][];
  prices: { place: "" | "counter" | "mail"; since: string; cents: number; steps: [number, number][] }[];
  taxed: boolean;
  [field: string]: any;
}
/** What a piece looks like; empty: not said. */
export type Form = "" | "bar" | "block" | "jar" | "bottle" | "tub" | "comb" | "candle" | "bucket";
export interface UsualGood {
  id: string;
  form: Form;
  name: string;
  plural: string;
  short: string;
  kind: "wax" | "honey";
  unit: "each";
  row: number;
  length_mm: number;
  width_mm: number;
  height_mm: number;
  net_g: number;
  gross_g: number;
  gross_sd_mg: number;
  liquid_ml: number;
  source: string;
  careful: string;
  [field: string]: any;
}
export interface Carton {
  id: string;
  name: string;
  inner: string[];
  outer: string[];
  tare_g: number;
  max_gross_g: number;
  max_united_mm: number | null;
  edge_crush_lb_per_in: number | null;
  board_um: number | null;
  cost_cents: number;
  hidden: boolean;
}
export interface Lot {
  id: string;
  good: string;
  made_on: string;
  sources: string[];
  note: string;
  measures: Record<string, any>;
}
/** What a person wants again and again. */
export interface Standing {
  id: string;
  person: string;
  wanted: { good: string; units: number }[];
  way: "post" | "pick_up";
  every: "month" | "week";
  interval: number;
  /** the other days are counted from it */ first_on: string;
  ends_on: string | null;
  paused: boolean;
  /** up to it nothing is asked any more */ skipped_on: string | null;
  note: string;
  goes_to: "" | "other";
  to_name: string;
  to_street: string;
  to_unit: string;
  to_city: string;
  to_state: string;
  to_zip: string;
  gift_note: string;
  hidden: boolean;
}
/** What is in another parcel than before: orders that go alone now, and the one whose parcel has less in it, or more. */
export interface Parted {
  alone: string[];
  left: string | null;
}
export interface Order {
  id: string;
  number: string;
  person: string | null;
  way: "post" | "pick_up" | "walk_in";
  state: "promised" | "packed" | "gone" | "let_go";
  leave_on: string | null;
  dressing: "plain" | "lined" | "chilled";
  hold_for_cool: boolean;
  pays: "cash" | "check" | "later" | "paid";
  posting_cents: number;
  posting_by: "" | "table" | "hand";
  tax_cents: number;
  tax_rate: number;
  tax_mailing: boolean;
  note: string;
  heat: string;
  told: Record<string, any>;
  hold_at_counter: boolean;
  /** whose address it goes to: a copy of the person's own, one for this order alone, or (empty) the person's as it stands */
  goes_to: "" | "own" | "other";
  to_name: string;
  to_street: string;
  to_unit: string;
  to_city: string;
  to_state: string;
  to_zip: string;
  gift_note: string;
  /** the order it stands for, sent again at no charge */ replaces: string | null;
  /** why it costs nothing */ free_for: "" | "heat" | "breakage" | "loss" | "gift";
  /** the standing order it came of */ standing: string | null;
  standing_on: string | null;
  /** the order in whose parcel it goes */ goes_with: string | null;
  /** why its person is to be called */ call_for: "" | "here" | "going";
  called_on: string | null;
  taken_on: string;
  gone_on: string | null;
  /** the house's own day of closing; by it old orders are forgotten */
  closed_on?: string | null;
}
export interface Line {
  id: string;
  order: string;
  good: string;
  units: number;
  price_cents: number;
  /** so many units for so many cents, as told */ steps: [number, number][];
  taxed: boolean;
  /** null: units times price */ total_cents: number | null;
}
export interface Payment {
  id: string;
  order: string;
  cents: number;
  how: "cash" | "check" | "transfer" | "other";
  on: string;
  note?: string;
  check_number?: string;
  /** handed over in cash; what is above the payment was change */ given_cents?: number | null;
  /** the payment it puts right */ corrects?: string | null;
}
export interface Adjustment {
  id: string;
  order: string;
  cents: number;
  why: "discount" | "gift" | "heat" | "breakage" | "loss" | "correction";
  on: string;
  note?: string;
}
export interface TillEntry {
  id: string;
  on: string;
  what: "opening" | "taken" | "counted";
  cents: number;
  at: string;
  note?: string;
  undoes?: string | null;
}
/** What was told of a line's price. */
export interface Told {
  price_cents: number;
  steps: [number, number][];
  taxed: boolean;
}
export interface Reckoning {
  lines: (Told & { good: string; units: number; total_cents: number })[];
  posting_cents: number;
  tax_rate: number;
  tax_mailing: boolean;
  tax_cents: number;
  total_cents: number;
}
export interface Parcel {
  id: string;
  order: string;
  part: number;
  carton: string | null;
  dressing: string;
  plan: Record<string, any>;
  gross_g: number;
  gross_sd_g: number;
  scale_g: number | null;
  packed_on: string | null;
  told_permille: number | null;
  arrived: "" | "fine" | "dented" | "slumped" | "run" | "leaked" | "lost";
  arrived_on: string | null;
  tracking: string;
}
export interface Forecast {
  id: string;
  service: string;
  issued: string;
  fetched_at: string;
  days: { day: string; max_tenths: number; min_tenths: number; sky_percent: number | null }[];
}
export interface Setting {
  id: string;
  value: any;
}
export interface DeviceRow {
  id: string;
  name: string;
  mark: string;
  role: "keeper" | "helper";
  lost: boolean;
}

export interface Operation {
  id: string;
  device: string;
  seq: number;
  kind: string;
  version: number;
  made_at: string;
  before: string;
  spent: Units;
  rows: Row[];
  hash: string;
}

/** What a log entry is to this device. `set_aside`: refused and dealt with by the keeper. `earlier`: written under an earlier name and not
 * handed in yet; `kept_apart`: the house has it for a keeper to settle. */
export type EntryState = "in_hand" | "landed" | "refused" | "set_aside" | "earlier" | "kept_apart";
export interface Entry {
  device: string;
  seq: number;
  id: string;
  operation: Operation;
  state: EntryState;
  position: number | null;
  why: string;
  remedy: string;
  /** the same rows as they stood before this entry, for undo */
  prior: Row[];
  undone: boolean;
  /** refused and dealt with before the house was put back from a backup */ dealt_with?: boolean;
  /** where it landed first, if the house was put back from a backup since */ place?: { epoch: string; position: number };
  /** the sentence that became an order by it */ sentence?: string;
}

/** An order being taken, before it is one; its id is the order's from the first touch. `owner`: the window that writes it, null when it is
 * parked. */
export interface Sentence {
  id: string;
  owner: string | null;
  changed_at: string;
  draft: Composed;
}
export type Address = Record<"street" | "unit" | "city" | "state" | "zip", string>;
/** The fields of an order that say where it goes. */
export type Destination = Pick<Order, "goes_to" | "to_name" | "to_street" | "to_unit" | "to_city" | "to_state" | "to_zip">;
/** Someone who is not in the book yet. */
export interface Fresh extends Address {
  name: string;
  phone: string;
}
/** `settled`: the keeper chose to let the rest wait, or to sell all the same. */
export interface ComposedLine {
  good: string;
  units: number;
  settled?: boolean;
}
/** The sentence as the Counter composes it; an earlier version may have kept less. */
export interface Composed {
  /** the order being changed */ amends: string | null;
  person: string | null;
  fresh: Fresh | null;
  /** their own address, told now, laid over what the book knows */ address: Partial<Address> | null;
  /** where this order goes, if not to the address above; of an order being changed, as it stands */ goes: Destination | null;
  gift_note: string;
  lines: ComposedLine[];
  way: Order["way"];
  leave_on: string | null;
  pays: Order["pays"] | null;
  /** what they handed over at the counter, if somebody touched it */ given_cents: number | null;
  posting_cents: number;
  posting_by: Order["posting_by"];
  /** why nobody knows the price of mailing */ posting_unknown: string;
  posting_typed: boolean;
  /** what the price hangs on */ priced_for: string | null;
  /** the price table is still asked */ posting_open: boolean;
  /** how the order being changed was priced */ before: { cents: number; by: Order["posting_by"]; hangsOn: string } | null;
  dressing: Order["dressing"];
  hold_for_cool: boolean;
  hold_at_counter: boolean;
  ask_state: boolean;
  note: string;
  /** when the call began, by this device's clock */ started: number | null;
}
/** The person of a sentence: from the book, or just told. */
export type Caller = Fresh & Partial<Person>;

export interface Identity {
  device: string;
  token: string;
  name: string;
  mark: string;
  role: "keeper" | "helper";
}
export interface Share {
  granted: Units;
  spent: Units;
}
export interface Head {
  seq: number;
  hash: string;
  orders: number;
}
export interface Marks {
  epoch: string | null;
  cursor: number | null;
  short: Units;
  pool: Units;
  offset_ms: number;
  heard_at: string | null;
  frozen: string | null;
  turned_away: string | null;
  covered_to: number;
  /** the last of its entries that the house has read */ read_to: number;
  /** which form of the mirror this device keeps; older ones are fetched anew */
  shape: number;
  /** when this device heard that it was removed; it shows nothing from then on */
  removed_at: string | null;
  /** which records these are; an older main computer does not say it */ house: string | null;
  /** the address to which all was handed over; nothing is written here any more */ moved_to: string | null;
  /** the house's epoch in which a removed device offered all it has */ offered_in: string | null;
}

/** Who took which lot, as the house told it with the mirror; later takings are in the sums. */
export interface TookBook {
  since: string | null;
  gone: { id: string; number: string; person: string | null; gone_on: string | null }[];
  took: { order: string; lot: string; good: string; units: number }[];
}

export interface Change {
  position: number;
  id: string;
  device: string;
  kind: string;
  made_at: string;
  rows: Row[];
}
export interface Answer {
  protocol: 1;
  request: string;
  epoch: string;
  landed: { id: string; position: number }[];
  refused: { id: string; why: string; remedy: string }[];
  changes: Change[];
  cursor: number;
  more: boolean;
  granted: Units;
  spent: Units;
  ask_back: Units;
  pool: Units;
  short: Units;
  last_seq: number;
  expects: { seq: number; why: string } | null;
  covered_to: number;
  house_time: string;
  keep_since?: string;
}
export interface MirrorAnswer {
  protocol: 1;
  epoch: string;
  /** which records these are */ house?: string;
  cursor: number;
  rows: Row[];
  balances: { good: string; lot: string | null; units: number }[];
  sure: { line: string; good: string; units: number }[];
  handed: { line: string; good: string; units: number }[];
  paid: { order: string; cents: number }[];
  ledgers?: Row[];
  money?: { on: string; how: string; cents: number }[];
  moved?: { good: string; reason: string; year: number; units: number }[];
  took?: TookBook["took"];
  gone?: TookBook["gone"];
  took_since?: string;
  granted: Units;
  spent: Units;
  last_seq: number;
  last_hash: string;
  house_time: string;
}

export interface DraftPerson {
  id?: string;
  name?: string;
  phone?: string;
  street?: string;
  unit?: string;
  city?: string;
  state?: string;
  zip?: string;
  note?: string;
  hidden?: boolean;
}
/** `price_cents`, `steps`, `taxed`: as told before; left out: the good's own, today. */
export interface DraftLine {
  good: string;
  units: number;
  price_cents?: number;
  steps?: [number, number][];
  taxed?: boolean;
}
export interface Draft {
  person?: DraftPerson | null;
  lines: DraftLine[];
  way?: Order["way"];
  leave_on?: string | null;
  dressing?: Order["dressing"];
  hold_for_cool?: boolean;
  pays?: Order["pays"];
  posting_cents?: number;
  posting_by?: Order["posting_by"];
  paid_cents?: number;
  tax_rate?: number;
  tax_mailing?: boolean;
  paid_how?: Payment["how"];
  /** handed over in cash */ given_cents?: number | null;
  replaces?: string | null;
  free_for?: Order["free_for"];
  standing?: string;
  standing_on?: string;
  /** ids that follow from what it is, so that every device names it alike */ ids?: { order: string; lines: string[] };
  call_for?: Order["call_for"];
  goes_with?: string | null;
  called_on?: string | null;
  /** the sentence it was; its id becomes the order's */ sentence?: string;
  /** units of each good that were read to the caller as sure: less than that is not written */ said_sure?: Units;
  note?: string;
  heat?: string;
  told?: Record<string, any>;
  hold_at_counter?: boolean;
  gift_note?: string;
  goes_to?: Order["goes_to"];
  to_name?: string;
  to_street?: string;
  to_unit?: string;
  to_city?: string;
  to_state?: string;
  to_zip?: string;
}
export type Amendment = Partial<Draft>;

/** What an act of the store, the kernel or the house can reject with: what happened, and what to do. */
export interface Trouble {
  message: string;
  remedy?: string;
  kind?: string;
  /** where a draft is wrong */ field?: string;
  /** the whole order in words, where it could not be written down */ text?: string;
  status?: number;
  code?: string;
  /** nobody could work it out now */ unknown?: boolean;
}
export interface NeedsYou {
  op: string;
  kind: string;
  why: string;
  remedy: string;
  order: string | null;
  person: string | null;
  made_at: string;
}
export interface Status {
  started: boolean;
  enrolled: boolean;
  device: { id: string; name: string; mark: string; role: "keeper" | "helper" } | null;
  signal: "shared" | "none" | "working";
  since: Date;
  /** entries that are only here */ inHand: number;
  /** entries that lie at the main computer until what they hang on has come */ waiting: number;
  oldestInHand: Date | null;
  needsYou: NeedsYou[];
  storage: { persisted: boolean; trouble: string | null };
  update: boolean;
  turnedAway: string | null;
  /** the main computer does not understand what this app says */ tooOld: string | null;
  frozen: string | null;
  /** the address at which this device goes on; all was handed over there */ movedTo: string | null;
  emptied: string | null;
  /** it heard that it was removed; `left`: entries still to be handed in */
  removed: { at: Date; left: number } | null;
  kernel: import("../kernel/work.js").KernelState;
  short: Units;
  pool: Units;
}
