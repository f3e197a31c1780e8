-- The first schema. Rows of the one message first, then the house's own running books.
CREATE TABLE meta (key TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;

CREATE TABLE device (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, mark TEXT NOT NULL UNIQUE, role TEXT NOT NULL CHECK (role IN ('keeper', 'helper')),
  lost INTEGER NOT NULL DEFAULT 0 CHECK (lost IN (0, 1))
);
CREATE TABLE person (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, phone TEXT NOT NULL, street TEXT NOT NULL, unit TEXT NOT NULL, city TEXT NOT NULL,
  state TEXT NOT NULL, zip TEXT NOT NULL, note TEXT NOT NULL, hidden INTEGER NOT NULL CHECK (hidden IN (0, 1))
);
CREATE TABLE good (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, plural TEXT NOT NULL, short TEXT NOT NULL,
  kind TEXT NOT NULL CHECK (kind IN ('wax', 'honey', 'bulk', 'carton')), unit TEXT NOT NULL CHECK (unit IN ('each', 'g')),
  net_g INTEGER NOT NULL, gross_g INTEGER NOT NULL, gross_sd_mg INTEGER NOT NULL,
  length_mm INTEGER NOT NULL, width_mm INTEGER NOT NULL, height_mm INTEGER NOT NULL,
  upright INTEGER NOT NULL CHECK (upright IN (0, 1)), glass INTEGER NOT NULL CHECK (glass IN (0, 1)),
  wall_mm INTEGER NOT NULL, gap_mm INTEGER NOT NULL, bears_g INTEGER, liquid_ml INTEGER NOT NULL,
  price_cents INTEGER NOT NULL, row INTEGER NOT NULL, rank INTEGER NOT NULL,
  sold INTEGER NOT NULL CHECK (sold IN (0, 1)), hidden INTEGER NOT NULL CHECK (hidden IN (0, 1))
);
CREATE TABLE carton (
  id TEXT PRIMARY KEY REFERENCES good (id), name TEXT NOT NULL, inner TEXT NOT NULL, outer TEXT NOT NULL,
  tare_g INTEGER NOT NULL, max_gross_g INTEGER NOT NULL, cost_cents INTEGER NOT NULL,
  hidden INTEGER NOT NULL CHECK (hidden IN (0, 1))
);
CREATE TABLE lot (
  id TEXT PRIMARY KEY, good TEXT NOT NULL REFERENCES good (id), made_on TEXT NOT NULL, sources TEXT NOT NULL,
  note TEXT NOT NULL, measures TEXT NOT NULL
);
CREATE INDEX lot_good ON lot (good, made_on);

-- paid_cents, position and closed_on are the house's own: the sum of payments, when it was first seen, when it was closed.
CREATE TABLE "order" (
  id TEXT PRIMARY KEY, number TEXT NOT NULL, person TEXT REFERENCES person (id),
  way TEXT NOT NULL CHECK (way IN ('post', 'pick_up', 'walk_in')),
  state TEXT NOT NULL CHECK (state IN ('promised', 'packed', 'gone', 'let_go')),
  leave_on TEXT, dressing TEXT NOT NULL CHECK (dressing IN ('plain', 'lined', 'chilled')),
  hold_for_cool INTEGER NOT NULL CHECK (hold_for_cool IN (0, 1)),
  pays TEXT NOT NULL CHECK (pays IN ('cash', 'check', 'later', 'paid')), posting_cents INTEGER NOT NULL,
  note TEXT NOT NULL, heat TEXT NOT NULL, taken_on TEXT NOT NULL, gone_on TEXT,
  paid_cents INTEGER NOT NULL DEFAULT 0, position INTEGER NOT NULL DEFAULT 0, closed_on TEXT
);
CREATE INDEX order_state ON "order" (state, closed_on);
CREATE INDEX order_person ON "order" (person);

-- sure, handed and waits are running: the sums of reservation and movement of the line, and units still waited for.
CREATE TABLE line (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), good TEXT NOT NULL REFERENCES good (id),
  units INTEGER NOT NULL CHECK (units >= 0), price_cents INTEGER NOT NULL,
  sure INTEGER NOT NULL DEFAULT 0 CHECK (sure >= 0), handed INTEGER NOT NULL DEFAULT 0,
  waits INTEGER NOT NULL DEFAULT 0 CHECK (waits >= 0), position INTEGER NOT NULL DEFAULT 0
);
CREATE INDEX line_order ON line ("order");
CREATE INDEX line_waits ON line (good, position) WHERE waits > 0;
CREATE INDEX line_sure ON line (good, position) WHERE sure > 0;

CREATE TABLE reservation (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), line TEXT NOT NULL REFERENCES line (id),
  good TEXT NOT NULL REFERENCES good (id), units INTEGER NOT NULL CHECK (units <> 0), position INTEGER NOT NULL
);
CREATE INDEX reservation_line ON reservation (line);
CREATE TABLE movement (
  id TEXT PRIMARY KEY, good TEXT NOT NULL REFERENCES good (id), lot TEXT REFERENCES lot (id),
  units INTEGER NOT NULL CHECK (units <> 0), reason TEXT NOT NULL, "order" TEXT REFERENCES "order" (id),
  line TEXT REFERENCES line (id), "on" TEXT NOT NULL, note TEXT NOT NULL, position INTEGER NOT NULL
);
CREATE INDEX movement_lot ON movement (lot);
CREATE INDEX movement_line ON movement (line);
CREATE TABLE payment (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), cents INTEGER NOT NULL,
  how TEXT NOT NULL CHECK (how IN ('cash', 'check', 'other')), "on" TEXT NOT NULL, note TEXT NOT NULL,
  position INTEGER NOT NULL
);
CREATE INDEX payment_order ON payment ("order");
CREATE TABLE parcel (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), part INTEGER NOT NULL,
  carton TEXT REFERENCES carton (id), dressing TEXT NOT NULL CHECK (dressing IN ('plain', 'lined', 'chilled')),
  plan TEXT NOT NULL, gross_g INTEGER NOT NULL, gross_sd_g INTEGER NOT NULL, scale_g INTEGER, packed_on TEXT
);
CREATE INDEX parcel_order ON parcel ("order");
CREATE TABLE setting (id TEXT PRIMARY KEY, value TEXT NOT NULL);

-- The house's own books: running sums, changed in the same transaction as the rows they add up.
CREATE TABLE balance (
  good TEXT PRIMARY KEY REFERENCES good (id), on_hand INTEGER NOT NULL DEFAULT 0,
  promised INTEGER NOT NULL DEFAULT 0 CHECK (promised >= 0), out INTEGER NOT NULL DEFAULT 0 CHECK (out >= 0)
);
CREATE TABLE lot_balance (
  good TEXT NOT NULL REFERENCES good (id), lot TEXT NOT NULL, units INTEGER NOT NULL, PRIMARY KEY (good, lot)
) WITHOUT ROWID;
CREATE TABLE share (
  device TEXT NOT NULL REFERENCES device (id), good TEXT NOT NULL REFERENCES good (id),
  granted INTEGER NOT NULL, spent INTEGER NOT NULL CHECK (spent >= 0 AND granted >= spent), PRIMARY KEY (device, good)
) WITHOUT ROWID;
CREATE TABLE demand (
  device TEXT NOT NULL, good TEXT NOT NULL, "on" TEXT NOT NULL, units INTEGER NOT NULL, callers INTEGER NOT NULL,
  PRIMARY KEY (device, good, "on")
) WITHOUT ROWID;

-- One row a device (and one for the house itself): its token, its chain, how often it is in reach.
CREATE TABLE device_state (
  id TEXT PRIMARY KEY, token_hash TEXT UNIQUE, last_seq INTEGER NOT NULL DEFAULT 0, last_hash TEXT NOT NULL DEFAULT '',
  frozen TEXT, reported_epoch TEXT, seen_at TEXT, gap_s INTEGER NOT NULL DEFAULT 86400, skew_s INTEGER NOT NULL DEFAULT 0
);
-- Every operation ever read, landed (position set) or refused (why set), with its answer, for ever.
CREATE TABLE operation (
  device TEXT NOT NULL, seq INTEGER NOT NULL, id TEXT NOT NULL UNIQUE, hash TEXT NOT NULL, kind TEXT NOT NULL,
  made_at TEXT NOT NULL, received_at TEXT NOT NULL, body TEXT NOT NULL,
  position INTEGER UNIQUE, rows TEXT, why TEXT, remedy TEXT, PRIMARY KEY (device, seq),
  CHECK ((position IS NULL) <> (why IS NULL))
);
-- What a lost or forked device still sent: facts for the keeper to settle, never applied and never dropped.
CREATE TABLE late_entry (
  device TEXT NOT NULL, seq INTEGER NOT NULL, hash TEXT NOT NULL, received_at TEXT NOT NULL, reason TEXT NOT NULL,
  body TEXT NOT NULL, settled INTEGER NOT NULL DEFAULT 0, PRIMARY KEY (device, seq, hash)
);
CREATE TABLE enrol_code (hash TEXT PRIMARY KEY, role TEXT NOT NULL, expires_at TEXT NOT NULL);
