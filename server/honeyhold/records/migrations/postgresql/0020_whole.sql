-- The whole schema as SQLite's steps have made it by their number 20, for PostgreSQL begins here. What SQLite has of itself is said: every
-- text is compared byte by byte (COLLATE "C"), every whole number has 64 bits, yes and no is BOOLEAN, and `rowid` counts rows as they come.
CREATE TABLE meta (
  key TEXT COLLATE "C" PRIMARY KEY, value TEXT COLLATE "C" NOT NULL
);
CREATE TABLE device (
  id TEXT COLLATE "C" PRIMARY KEY, name TEXT COLLATE "C" NOT NULL, mark TEXT COLLATE "C" NOT NULL UNIQUE,
  role TEXT COLLATE "C" NOT NULL CHECK (role IN ('keeper', 'helper')), lost BOOLEAN NOT NULL DEFAULT FALSE,
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE person (
  id TEXT COLLATE "C" PRIMARY KEY, name TEXT COLLATE "C" NOT NULL, phone TEXT COLLATE "C" NOT NULL, street TEXT COLLATE "C" NOT NULL,
  unit TEXT COLLATE "C" NOT NULL, city TEXT COLLATE "C" NOT NULL, state TEXT COLLATE "C" NOT NULL, zip TEXT COLLATE "C" NOT NULL,
  note TEXT COLLATE "C" NOT NULL, hidden BOOLEAN NOT NULL, same_as TEXT COLLATE "C" REFERENCES person (id) DEFERRABLE,
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX person_same_as ON person (same_as) WHERE same_as IS NOT NULL;
CREATE TABLE good (
  id TEXT COLLATE "C" PRIMARY KEY, name TEXT COLLATE "C" NOT NULL, plural TEXT COLLATE "C" NOT NULL, short TEXT COLLATE "C" NOT NULL,
  kind TEXT COLLATE "C" NOT NULL CHECK (kind IN ('wax', 'honey', 'bulk', 'carton')),
  unit TEXT COLLATE "C" NOT NULL CHECK (unit IN ('each', 'g')), net_g BIGINT NOT NULL, gross_g BIGINT NOT NULL,
  gross_sd_mg BIGINT NOT NULL, length_mm BIGINT NOT NULL, width_mm BIGINT NOT NULL, height_mm BIGINT NOT NULL, upright BOOLEAN NOT NULL,
  glass BOOLEAN NOT NULL, wall_mm BIGINT NOT NULL, gap_mm BIGINT NOT NULL, bears_g BIGINT, liquid_ml BIGINT NOT NULL,
  price_cents BIGINT NOT NULL, row BIGINT NOT NULL, rank BIGINT NOT NULL, sold BOOLEAN NOT NULL, hidden BOOLEAN NOT NULL,
  form TEXT COLLATE "C" NOT NULL DEFAULT '', typical BOOLEAN NOT NULL DEFAULT FALSE, steps TEXT COLLATE "C" NOT NULL DEFAULT '[]',
  prices TEXT COLLATE "C" NOT NULL DEFAULT '[]', taxed BOOLEAN NOT NULL DEFAULT FALSE,
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE carton (
  id TEXT COLLATE "C" PRIMARY KEY REFERENCES good (id) DEFERRABLE, name TEXT COLLATE "C" NOT NULL, "inner" TEXT COLLATE "C" NOT NULL,
  "outer" TEXT COLLATE "C" NOT NULL, tare_g BIGINT NOT NULL, max_gross_g BIGINT NOT NULL, cost_cents BIGINT NOT NULL,
  hidden BOOLEAN NOT NULL, max_united_mm BIGINT, edge_crush_lb_per_in BIGINT, board_um BIGINT,
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE lot (
  id TEXT COLLATE "C" PRIMARY KEY, good TEXT COLLATE "C" NOT NULL REFERENCES good (id) DEFERRABLE, made_on TEXT COLLATE "C" NOT NULL,
  sources TEXT COLLATE "C" NOT NULL, note TEXT COLLATE "C" NOT NULL, measures TEXT COLLATE "C" NOT NULL,
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX lot_good ON lot (good, made_on);
CREATE TABLE standing (
  id TEXT COLLATE "C" PRIMARY KEY, person TEXT COLLATE "C" NOT NULL REFERENCES person (id) DEFERRABLE, wanted TEXT COLLATE "C" NOT NULL,
  way TEXT COLLATE "C" NOT NULL CHECK (way IN ('post', 'pick_up')), every TEXT COLLATE "C" NOT NULL CHECK (every IN ('month', 'week')),
  interval BIGINT NOT NULL CHECK (interval >= 1), first_on TEXT COLLATE "C" NOT NULL, ends_on TEXT COLLATE "C", paused BOOLEAN NOT NULL,
  skipped_on TEXT COLLATE "C", note TEXT COLLATE "C" NOT NULL, goes_to TEXT COLLATE "C" NOT NULL CHECK (goes_to IN ('', 'other')),
  to_name TEXT COLLATE "C" NOT NULL, to_street TEXT COLLATE "C" NOT NULL, to_unit TEXT COLLATE "C" NOT NULL,
  to_city TEXT COLLATE "C" NOT NULL, to_state TEXT COLLATE "C" NOT NULL, to_zip TEXT COLLATE "C" NOT NULL,
  gift_note TEXT COLLATE "C" NOT NULL, hidden BOOLEAN NOT NULL, rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX standing_person ON standing (person);
CREATE TABLE "order" (
  id TEXT COLLATE "C" PRIMARY KEY, number TEXT COLLATE "C" NOT NULL, person TEXT COLLATE "C" REFERENCES person (id) DEFERRABLE,
  way TEXT COLLATE "C" NOT NULL CHECK (way IN ('post', 'pick_up', 'walk_in')),
  state TEXT COLLATE "C" NOT NULL CHECK (state IN ('promised', 'packed', 'gone', 'let_go')), leave_on TEXT COLLATE "C",
  dressing TEXT COLLATE "C" NOT NULL CHECK (dressing IN ('plain', 'lined', 'chilled')), hold_for_cool BOOLEAN NOT NULL,
  pays TEXT COLLATE "C" NOT NULL CHECK (pays IN ('cash', 'check', 'later', 'paid')), posting_cents BIGINT NOT NULL,
  note TEXT COLLATE "C" NOT NULL, heat TEXT COLLATE "C" NOT NULL, taken_on TEXT COLLATE "C" NOT NULL, gone_on TEXT COLLATE "C",
  paid_cents BIGINT NOT NULL DEFAULT 0, position BIGINT NOT NULL DEFAULT 0, closed_on TEXT COLLATE "C",
  told TEXT COLLATE "C" NOT NULL DEFAULT '{}', hold_at_counter BOOLEAN NOT NULL DEFAULT FALSE,
  posting_by TEXT COLLATE "C" NOT NULL DEFAULT '' CHECK (posting_by IN ('', 'table', 'hand')),
  tax_cents BIGINT NOT NULL DEFAULT 0 CHECK (tax_cents >= 0), tax_rate BIGINT NOT NULL DEFAULT 0,
  tax_mailing BOOLEAN NOT NULL DEFAULT FALSE, goes_to TEXT COLLATE "C" NOT NULL DEFAULT '' CHECK (goes_to IN ('', 'own', 'other')),
  to_name TEXT COLLATE "C" NOT NULL DEFAULT '', to_street TEXT COLLATE "C" NOT NULL DEFAULT '',
  to_unit TEXT COLLATE "C" NOT NULL DEFAULT '', to_city TEXT COLLATE "C" NOT NULL DEFAULT '',
  to_state TEXT COLLATE "C" NOT NULL DEFAULT '', to_zip TEXT COLLATE "C" NOT NULL DEFAULT '',
  gift_note TEXT COLLATE "C" NOT NULL DEFAULT '', adjusted_cents BIGINT NOT NULL DEFAULT 0,
  replaces TEXT COLLATE "C" REFERENCES "order" (id) DEFERRABLE,
  free_for TEXT COLLATE "C" NOT NULL DEFAULT '' CHECK (free_for IN ('', 'heat', 'breakage', 'loss', 'gift')),
  call_for TEXT COLLATE "C" NOT NULL DEFAULT '' CHECK (call_for IN ('', 'here', 'going')), called_on TEXT COLLATE "C",
  standing TEXT COLLATE "C" REFERENCES standing (id) DEFERRABLE, standing_on TEXT COLLATE "C",
  goes_with TEXT COLLATE "C" REFERENCES "order" (id) DEFERRABLE, rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX order_state ON "order" (state, closed_on);
CREATE INDEX order_person ON "order" (person);
CREATE INDEX order_standing ON "order" (standing) WHERE standing IS NOT NULL;
CREATE INDEX order_goes_with ON "order" (goes_with) WHERE goes_with IS NOT NULL;
CREATE TABLE line (
  id TEXT COLLATE "C" PRIMARY KEY, "order" TEXT COLLATE "C" NOT NULL REFERENCES "order" (id) DEFERRABLE,
  good TEXT COLLATE "C" NOT NULL REFERENCES good (id) DEFERRABLE, units BIGINT NOT NULL CHECK (units >= 0), price_cents BIGINT NOT NULL,
  sure BIGINT NOT NULL DEFAULT 0 CHECK (sure >= 0), handed BIGINT NOT NULL DEFAULT 0, waits BIGINT NOT NULL DEFAULT 0 CHECK (waits >= 0),
  position BIGINT NOT NULL DEFAULT 0, queue TEXT COLLATE "C" NOT NULL DEFAULT '[]', steps TEXT COLLATE "C" NOT NULL DEFAULT '[]',
  taxed BOOLEAN NOT NULL DEFAULT FALSE, total_cents BIGINT CHECK (total_cents >= 0), rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX line_order ON line ("order");
CREATE INDEX line_waits ON line (good, position) WHERE waits > 0;
CREATE INDEX line_sure ON line (good, position) WHERE sure > 0;
CREATE INDEX line_rowid ON line (rowid);
CREATE TABLE reservation (
  id TEXT COLLATE "C" PRIMARY KEY, "order" TEXT COLLATE "C" NOT NULL REFERENCES "order" (id) DEFERRABLE,
  line TEXT COLLATE "C" NOT NULL REFERENCES line (id) DEFERRABLE, good TEXT COLLATE "C" NOT NULL REFERENCES good (id) DEFERRABLE,
  units BIGINT NOT NULL CHECK (units <> 0), position BIGINT NOT NULL, rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX reservation_line ON reservation (line);
CREATE TABLE movement (
  id TEXT COLLATE "C" PRIMARY KEY, good TEXT COLLATE "C" NOT NULL REFERENCES good (id) DEFERRABLE,
  lot TEXT COLLATE "C" REFERENCES lot (id) DEFERRABLE, units BIGINT NOT NULL CHECK (units <> 0), reason TEXT COLLATE "C" NOT NULL,
  "order" TEXT COLLATE "C" REFERENCES "order" (id) DEFERRABLE, line TEXT COLLATE "C" REFERENCES line (id) DEFERRABLE,
  "on" TEXT COLLATE "C" NOT NULL, note TEXT COLLATE "C" NOT NULL, position BIGINT NOT NULL, undoes TEXT COLLATE "C",
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX movement_lot ON movement (lot);
CREATE INDEX movement_line ON movement (line);
CREATE INDEX movement_order ON movement ("order") WHERE "order" IS NOT NULL;
CREATE UNIQUE INDEX movement_undoes ON movement (undoes) WHERE undoes IS NOT NULL;
CREATE INDEX movement_sums ON movement (good, reason, "on", units);
CREATE TABLE parcel (
  id TEXT COLLATE "C" PRIMARY KEY, "order" TEXT COLLATE "C" NOT NULL REFERENCES "order" (id) DEFERRABLE, part BIGINT NOT NULL,
  carton TEXT COLLATE "C" REFERENCES carton (id) DEFERRABLE,
  dressing TEXT COLLATE "C" NOT NULL CHECK (dressing IN ('plain', 'lined', 'chilled')), plan TEXT COLLATE "C" NOT NULL,
  gross_g BIGINT NOT NULL, gross_sd_g BIGINT NOT NULL, scale_g BIGINT, packed_on TEXT COLLATE "C", told_permille BIGINT,
  arrived TEXT COLLATE "C" NOT NULL DEFAULT '', arrived_on TEXT COLLATE "C", tracking TEXT COLLATE "C" NOT NULL DEFAULT '',
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX parcel_order ON parcel ("order");
CREATE TABLE setting (
  id TEXT COLLATE "C" PRIMARY KEY, value TEXT COLLATE "C" NOT NULL, rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE balance (
  good TEXT COLLATE "C" PRIMARY KEY REFERENCES good (id) DEFERRABLE, on_hand BIGINT NOT NULL DEFAULT 0,
  promised BIGINT NOT NULL DEFAULT 0 CHECK (promised >= 0), out BIGINT NOT NULL DEFAULT 0 CHECK (out >= 0),
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE lot_balance (
  good TEXT COLLATE "C" NOT NULL REFERENCES good (id) DEFERRABLE, lot TEXT COLLATE "C" NOT NULL, units BIGINT NOT NULL,
  PRIMARY KEY (good, lot)
);
CREATE TABLE share (
  device TEXT COLLATE "C" NOT NULL REFERENCES device (id) DEFERRABLE, good TEXT COLLATE "C" NOT NULL REFERENCES good (id) DEFERRABLE,
  granted BIGINT NOT NULL, spent BIGINT NOT NULL CHECK (spent >= 0 AND granted >= spent), PRIMARY KEY (device, good)
);
CREATE TABLE demand (
  device TEXT COLLATE "C" NOT NULL, good TEXT COLLATE "C" NOT NULL, "on" TEXT COLLATE "C" NOT NULL, units BIGINT NOT NULL,
  callers BIGINT NOT NULL, PRIMARY KEY (device, good, "on")
);
CREATE INDEX demand_by_day ON demand ("on");
CREATE TABLE device_state (
  id TEXT COLLATE "C" PRIMARY KEY, token_hash TEXT COLLATE "C" UNIQUE, last_seq BIGINT NOT NULL DEFAULT 0,
  last_hash TEXT COLLATE "C" NOT NULL DEFAULT '', frozen TEXT COLLATE "C", reported_epoch TEXT COLLATE "C", seen_at TEXT COLLATE "C",
  gap_s BIGINT NOT NULL DEFAULT 86400, skew_s BIGINT NOT NULL DEFAULT 0, rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE operation (
  device TEXT COLLATE "C" NOT NULL, seq BIGINT NOT NULL, id TEXT COLLATE "C" NOT NULL UNIQUE, hash TEXT COLLATE "C" NOT NULL,
  kind TEXT COLLATE "C" NOT NULL, made_at TEXT COLLATE "C" NOT NULL, received_at TEXT COLLATE "C" NOT NULL,
  body TEXT COLLATE "C" NOT NULL, position BIGINT UNIQUE, rows TEXT COLLATE "C", why TEXT COLLATE "C", remedy TEXT COLLATE "C",
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY, PRIMARY KEY (device, seq), CHECK ((position IS NULL) <> (why IS NULL))
);
CREATE TABLE late_entry (
  device TEXT COLLATE "C" NOT NULL, seq BIGINT NOT NULL, hash TEXT COLLATE "C" NOT NULL, received_at TEXT COLLATE "C" NOT NULL,
  reason TEXT COLLATE "C" NOT NULL, body TEXT COLLATE "C" NOT NULL, settled BOOLEAN NOT NULL DEFAULT FALSE, settled_at TEXT COLLATE "C",
  position BIGINT, note TEXT COLLATE "C" NOT NULL DEFAULT '', rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY,
  PRIMARY KEY (device, seq, hash)
);
CREATE TABLE enrol_code (
  hash TEXT COLLATE "C" PRIMARY KEY, role TEXT COLLATE "C" NOT NULL, expires_at TEXT COLLATE "C" NOT NULL,
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE forecast (
  id TEXT COLLATE "C" PRIMARY KEY, service TEXT COLLATE "C" NOT NULL, issued TEXT COLLATE "C" NOT NULL,
  fetched_at TEXT COLLATE "C" NOT NULL, days TEXT COLLATE "C" NOT NULL, rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE undoing (
  id TEXT COLLATE "C" PRIMARY KEY, position BIGINT NOT NULL
);
CREATE TABLE lot_renamed (
  device TEXT COLLATE "C" NOT NULL, code TEXT COLLATE "C" NOT NULL, lot TEXT COLLATE "C" PRIMARY KEY, position BIGINT NOT NULL
);
CREATE TABLE pending_entry (
  number BIGINT PRIMARY KEY GENERATED BY DEFAULT AS IDENTITY, device TEXT COLLATE "C" NOT NULL, seq BIGINT NOT NULL,
  id TEXT COLLATE "C" NOT NULL UNIQUE, hash TEXT COLLATE "C" NOT NULL, received_at TEXT COLLATE "C" NOT NULL, heard BIGINT NOT NULL,
  place BIGINT NOT NULL, body TEXT COLLATE "C" NOT NULL, UNIQUE (device, seq)
);
CREATE TABLE payment (
  id TEXT COLLATE "C" PRIMARY KEY, "order" TEXT COLLATE "C" NOT NULL REFERENCES "order" (id) DEFERRABLE, cents BIGINT NOT NULL,
  how TEXT COLLATE "C" NOT NULL CHECK (how IN ('cash', 'check', 'transfer', 'other')), "on" TEXT COLLATE "C" NOT NULL,
  note TEXT COLLATE "C" NOT NULL, check_number TEXT COLLATE "C" NOT NULL DEFAULT '', given_cents BIGINT, corrects TEXT COLLATE "C",
  position BIGINT NOT NULL, rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX payment_order ON payment ("order");
CREATE INDEX payment_day ON payment ("on", how);
CREATE TABLE adjustment (
  id TEXT COLLATE "C" PRIMARY KEY, "order" TEXT COLLATE "C" NOT NULL REFERENCES "order" (id) DEFERRABLE, cents BIGINT NOT NULL,
  why TEXT COLLATE "C" NOT NULL CHECK (why IN ('discount', 'gift', 'heat', 'breakage', 'loss', 'correction')),
  "on" TEXT COLLATE "C" NOT NULL, note TEXT COLLATE "C" NOT NULL, position BIGINT NOT NULL,
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX adjustment_order ON adjustment ("order");
CREATE TABLE till (
  id TEXT COLLATE "C" PRIMARY KEY, "on" TEXT COLLATE "C" NOT NULL,
  what TEXT COLLATE "C" NOT NULL CHECK (what IN ('opening', 'taken', 'counted')), cents BIGINT NOT NULL CHECK (cents >= 0),
  "at" TEXT COLLATE "C" NOT NULL, note TEXT COLLATE "C" NOT NULL, undoes TEXT COLLATE "C", position BIGINT NOT NULL,
  rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE TABLE lost_sale (
  id TEXT COLLATE "C" PRIMARY KEY, good TEXT COLLATE "C" NOT NULL REFERENCES good (id) DEFERRABLE,
  units BIGINT NOT NULL CHECK (units > 0), cents BIGINT NOT NULL CHECK (cents >= 0), "on" TEXT COLLATE "C" NOT NULL,
  undoes TEXT COLLATE "C", position BIGINT NOT NULL, rowid BIGINT NOT NULL GENERATED ALWAYS AS IDENTITY
);
CREATE INDEX lost_sale_day ON lost_sale ("on");
