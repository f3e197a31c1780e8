// What the pure work answers, as far as it is read here (server/honeyhold/kernel.py has the whole table), for the type checker only.

export type Dressing = "plain" | "lined" | "chilled";

/** A step of packing: so many of one piece, or something else to do. */
export interface StepRow {
  says: string;
  piece: string | null;
  first?: number | null;
  count: number;
}
export interface PlannedParcel {
  part: number;
  of: number;
  carton: string;
  carton_name: string;
  gross_words: string;
  gross_g: number;
  gross_sd_g: number;
  filler_g: number;
  steps: string[];
  step_rows: StepRow[];
  contents: Record<string, number>;
  /** the plan as it is kept with the parcel: whole numbers and text */ kept?: Record<string, any>;
  notes?: string[];
}
export interface WhyNot {
  name: string;
  why: string;
}
/** How an order is packed, what it weighs and costs. */
export interface ParcelPlan {
  ok: boolean;
  words: string;
  parcels: PlannedParcel[];
  proved: boolean;
  said: string;
  why_not: WhyNot[];
  cautions: string[];
  dressing: Dressing;
  dressing_words: string;
  cost_cents: number;
  /** the question as the packer was asked it; its pieces serve the scale */ bench: { pieces: object[] };
  posting_cents?: number | null;
  posting_words?: string;
  posting_unknown?: string;
}
/** What of the parcel's price can be said: all of it from the work, or that it is not known. */
export type Posting = Pick<ParcelPlan, "posting_cents" | "posting_words" | "posting_unknown">;

/** A day and a way of packing, and what heat does then. */
export interface HeatCell {
  leave_on: string;
  dressing: Dressing;
  hold: boolean;
  verdict: string;
  verdict_words?: string;
  chance_permille: number;
  chance_words: string;
  when_words?: string;
  harmless: boolean;
}
export interface Advice extends HeatCell {
  words: string;
  adds?: string;
  extra_cents: number;
}
/** What was told of heat, as it is kept with an order. */
export type ToldOfHeat = Partial<Pick<HeatCell, "leave_on" | "dressing" | "hold" | "verdict" | "chance_permille" | "harmless">> & {
  on?: string;
  basis?: string;
};
/** What a caller is told; by steps: the parcel first, then heat as it stands, then days and packings compared. */
export interface CallAnswer {
  parcel: ParcelPlan | null;
  posting_off: string;
  cautions: string[];
  told?: ToldOfHeat;
  heat?: HeatCell | null;
  advice?: Advice | null;
  none_words?: string;
  days?: { leave_on: string; closed?: string; cells: HeatCell[] }[];
  basis?: string;
  unknown?: string[];
  half?: boolean;
}
/** A posted order looked at again in the morning. */
export interface RecheckAnswer {
  change: "" | "worse" | "better" | "cool";
  words: string;
  do: { leave_on: string | null; dressing?: Dressing; hold_at_counter: boolean; hold_for_cool: boolean } | null;
  told: ToldOfHeat;
  told_then: ToldOfHeat | null;
  heat: HeatCell | null;
  proposed: string | null;
}
export interface MeltByAnswer {
  words: string;
  why: string[];
  due: boolean;
  melt_by: string | null;
  run_down?: unknown[];
  record?: unknown;
}

export interface CoolingAnswer {
  cool_s: number;
  words: string;
}
/** What the wax that lies here makes, stage by stage. */
export interface WaxHereAnswer {
  words: string;
  then: string;
  rows: { good: string; units: number; steps: string[] }[];
}
export interface MoistureAnswer {
  words: string;
  water_percent?: number;
}
/** Where a lot came from and went; with `error`: the house could not be asked and nothing is known here. */
export interface TraceAnswer {
  lots: { lot: string; good: string; made_on: string }[];
  made_from?: { lot: string }[];
  who_has: { person: string; name: string; phone: string | null; units: number }[];
  not_named: { units: number }[];
  /** Worked out on this device, of what it was told. */
  from_device?: boolean;
  /** From which day on that is complete; null where it was never told. */
  since?: string | null;
  /** The main computer was asked, and said that there is no such lot. */
  not_there?: boolean;
}
export interface CalibrationAnswer {
  heard: number;
  words: string;
  enough: boolean;
  enough_words: string;
  fits: boolean;
  shift_permille: number;
}
export interface SeasonPart {
  start_g: number;
  in_g: number;
  made_g: number;
  passed_g: number;
  fed_g: number;
  lost_g: number;
  other_g: number;
  counted_g: number;
  left_g: number;
  missing_g: number;
  balances: { good: string; grams: number }[];
}
export interface SeasonAnswer {
  closes: boolean;
  honey: SeasonPart;
  cappings: SeasonPart;
  wax: SeasonPart;
  jars: { units: number; giveaway_g: number };
  bars: { units: number; giveaway_g: number };
  left_in_wax: { honey_g: number; honey_cents: number; wax_lost_g: number; wax_lost_cents: number };
}
export interface PressAnswer {
  words: string;
  from: string;
  assumed: string[];
}

/** A figure that wax or honey bears: as it is usual, and where that is from. `unit`: "°" a temperature, "°±" a doubt, "°step" a difference. */
export interface Limit {
  name: string;
  words: string;
  unit: string;
  tenths: number;
  usual_tenths: number;
  source: string;
}
/** A carrier's table as it was read. */
export interface PriceTable {
  csv: string;
  prices: { service: string; zone: number; up_to_oz: number; cents: number; example?: boolean }[];
  fees: { what: string; over: number; cents: number }[];
  errors: unknown[];
  lines?: { line: number; text: string; understood: string; why: string }[];
}

/** What each work answers; of what is not named here, anything may be read. */
export interface Answers {
  "quoting.parcel": CallAnswer;
  "quoting.call": CallAnswer;
  "quoting.recheck": RecheckAnswer;
  "stock.melt_by": MeltByAnswer;
  "stock.cooling_time": CoolingAnswer;
  "stock.wax_here": WaxHereAnswer;
  "stock.trace": TraceAnswer;
  "stock.season_sums": SeasonAnswer;
  "stock.press_from_season": PressAnswer;
  "heat.limits": { limits: Limit[] };
  "quoting.price_table": PriceTable;
  "heat.calibration": CalibrationAnswer;
  "stock.honey_moisture": MoistureAnswer;
}
export type AnswerOf<Name extends string> = Name extends keyof Answers ? Answers[Name] : any;
