-- Entries that a restored house has read but not judged: what they name has not come back yet. Their device's chain goes on behind them.
CREATE TABLE pending_entry (
  number INTEGER PRIMARY KEY, device TEXT NOT NULL, seq INTEGER NOT NULL, id TEXT NOT NULL UNIQUE, hash TEXT NOT NULL,
  received_at TEXT NOT NULL, heard INTEGER NOT NULL, place INTEGER NOT NULL, body TEXT NOT NULL, UNIQUE (device, seq)
);
