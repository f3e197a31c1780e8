-- Lots that landed under another code than their device gave them: that code was on another lot already.
CREATE TABLE lot_renamed (
  device TEXT NOT NULL, code TEXT NOT NULL, lot TEXT PRIMARY KEY NOT NULL, position INTEGER NOT NULL
) WITHOUT ROWID;
