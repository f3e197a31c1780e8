-- Money by transfer, the number of a check, what was handed over, and corrections as entries; what is taken off an order's price; what
-- is sent again or given at no charge; the till. A table's list of choices cannot be lengthened in place: payments are copied over.
CREATE TABLE payment_of_now (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), cents INTEGER NOT NULL,
  how TEXT NOT NULL CHECK (how IN ('cash', 'check', 'transfer', 'other')), "on" TEXT NOT NULL, note TEXT NOT NULL,
  check_number TEXT NOT NULL DEFAULT '', given_cents INTEGER, corrects TEXT, position INTEGER NOT NULL
);
INSERT INTO payment_of_now (id, "order", cents, how, "on", note, position) SELECT id, "order", cents, how, "on", note, position FROM payment;
DROP TABLE payment;
ALTER TABLE payment_of_now RENAME TO payment;
CREATE INDEX payment_order ON payment ("order");
CREATE INDEX payment_day ON payment ("on", how);
CREATE TABLE adjustment (
  id TEXT PRIMARY KEY, "order" TEXT NOT NULL REFERENCES "order" (id), cents INTEGER NOT NULL,
  why TEXT NOT NULL CHECK (why IN ('discount', 'gift', 'heat', 'breakage', 'loss', 'correction')),
  "on" TEXT NOT NULL, note TEXT NOT NULL, position INTEGER NOT NULL
);
CREATE INDEX adjustment_order ON adjustment ("order");
CREATE TABLE till (
  id TEXT PRIMARY KEY, "on" TEXT NOT NULL, what TEXT NOT NULL CHECK (what IN ('opening', 'taken', 'counted')),
  cents INTEGER NOT NULL CHECK (cents >= 0), "at" TEXT NOT NULL, note TEXT NOT NULL, undoes TEXT, position INTEGER NOT NULL
);
ALTER TABLE "order" ADD COLUMN adjusted_cents INTEGER NOT NULL DEFAULT 0;
ALTER TABLE "order" ADD COLUMN replaces TEXT REFERENCES "order" (id);
ALTER TABLE "order" ADD COLUMN free_for TEXT NOT NULL DEFAULT '' CHECK (free_for IN ('', 'heat', 'breakage', 'loss', 'gift'));
