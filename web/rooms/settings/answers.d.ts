// What the house's own doors answer to the boards of Settings, for the type checker only.

import type { Person } from "../../store/shapes.d.ts";

/** A code for one more device. */
export interface MadeCode {
  code: string;
  expires_at: string;
  address: string;
  introduction?: string | null;
  letters?: string | null;
  qr_svg: string;
  /** where devices were before the main computer moved */
  earlier?: { address: string; qr_svg: string }[];
}
/** The certificate that devices trust, and the one that follows it. */
export interface Trust {
  letters: string | null;
  introduction: string | null;
  next: { letters: string; day: string; address: string } | null;
}
/** What a lost, copied or renamed device still sent. */
export interface LateEntry {
  device: string;
  seq: number;
  hash: string;
  kind: string;
  name: string;
  why: string;
  number: string | null;
  person: string | null;
  phone: string | null;
  goods: { good: string; units: number }[];
  cents: number | null;
  made_at: string | null;
  nothing_to_do: boolean;
}
/** A list of people as it was read: what each line would become. */
export interface ReadPeople {
  lines: ReadLine[];
  counts: Partial<Record<ReadLine["state"], number>>;
  columns: { title: string; field: string; samples: string[] }[];
  encoding: string;
}
export interface ReadLine {
  line: number;
  state: "new" | "double" | "known" | "left_out";
  person: Person | null;
  says: string;
  doubts: string[];
}
/** A padding or a cold pack of the house; its sides have the names that its list gives them. */
export interface PackingMaterial {
  id: string;
  name: string;
  /** null: not counted */ here: number | null;
  hidden: boolean;
  cost_cents: number;
  mass_g?: number;
  [side_mm: string]: any;
}
