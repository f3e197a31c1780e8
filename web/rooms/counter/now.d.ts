// What the parts of the Counter are given of the call as it stands, for the type checker only.

import type { Call } from "../../parts/call-answer.js";
import type { CallAnswer } from "../../kernel/answers.d.ts";
import type { Address, Caller, Composed, Units } from "../../store/shapes.d.ts";
import type { View } from "../../store/view.js";

export interface Now {
  draft: Composed;
  view: View;
  /** what this device may still promise of a good */ share: (good: string) => number;
  /** goods that the house is asked for right now */ asking: Set<string>;
  /** whether the house is in reach */ signal: boolean;
  call: Call;
  person: Caller | null;
  /** who receives it, and where */ receiver: Address & { name: string };
  settle: (good: string, units: number) => void;
  /** they go without it: the line goes, and what they wanted is written down */ goWithout: (good: string, units: number) => void;
  /** changes the sentence; `next` is the blank to open then */ take: (change: Partial<Composed>, next?: string | null) => void;
  /** puts the call on hold */ park: () => void;
}
export interface DeckNow extends Now {
  today: string;
  /** the day it leaves */ chosen: string | null;
  answer: CallAnswer | null;
  /** starts over */ clear: () => void;
  amends: string | null;
}
/** What the keys of a blank send: a change, and the blank to open then. */
export interface Take {
  change: Partial<Composed>;
  next: string | null;
}
/** What an act that wrote the sentence resolved with. */
export interface Written {
  op: string | null;
  ops?: string[];
  /** what became of the mailing of orders that went, or go, in one parcel */ posting?: string;
  order: string;
  number?: string;
  sure?: Units;
  waiting?: Units;
  short?: Units;
}
