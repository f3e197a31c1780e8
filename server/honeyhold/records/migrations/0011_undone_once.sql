-- What was undone, by the id of the entry undone: so each act is undone at most once.
CREATE TABLE undoing (id TEXT PRIMARY KEY NOT NULL, position INTEGER NOT NULL) WITHOUT ROWID;
