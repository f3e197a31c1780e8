-- What became of an entry that was kept apart: the position under which the house took it in, or a note when it was put aside.
ALTER TABLE late_entry ADD COLUMN settled_at TEXT;
ALTER TABLE late_entry ADD COLUMN position INTEGER;
ALTER TABLE late_entry ADD COLUMN note TEXT NOT NULL DEFAULT '';
