-- What a piece looks like, and whether its measures are typical ones that nobody took.
ALTER TABLE good ADD COLUMN form TEXT NOT NULL DEFAULT '';
ALTER TABLE good ADD COLUMN typical INTEGER NOT NULL DEFAULT 0;
