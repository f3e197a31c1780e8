-- What a caller wanted, could not have at once, and went without: what looking back adds up, and what devices are given shares for.
CREATE TABLE lost_sale (
  id TEXT PRIMARY KEY, good TEXT NOT NULL REFERENCES good (id), units INTEGER NOT NULL CHECK (units > 0),
  cents INTEGER NOT NULL CHECK (cents >= 0), "on" TEXT NOT NULL, undoes TEXT, position INTEGER NOT NULL
);
CREATE INDEX lost_sale_day ON lost_sale ("on");
