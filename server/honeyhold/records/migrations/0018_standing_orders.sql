-- What somebody wants again and again, and which order came of it on which day; an order that goes in the parcel of another.
CREATE TABLE standing (
  id TEXT PRIMARY KEY, person TEXT NOT NULL REFERENCES person (id), wanted TEXT NOT NULL,
  way TEXT NOT NULL CHECK (way IN ('post', 'pick_up')), every TEXT NOT NULL CHECK (every IN ('month', 'week')),
  interval INTEGER NOT NULL CHECK (interval >= 1), first_on TEXT NOT NULL, ends_on TEXT, paused INTEGER NOT NULL, skipped_on TEXT,
  note TEXT NOT NULL, goes_to TEXT NOT NULL CHECK (goes_to IN ('', 'other')), to_name TEXT NOT NULL, to_street TEXT NOT NULL,
  to_unit TEXT NOT NULL, to_city TEXT NOT NULL, to_state TEXT NOT NULL, to_zip TEXT NOT NULL, gift_note TEXT NOT NULL, hidden INTEGER NOT NULL
);
CREATE INDEX standing_person ON standing (person);
ALTER TABLE "order" ADD COLUMN standing TEXT REFERENCES standing (id);
ALTER TABLE "order" ADD COLUMN standing_on TEXT;
ALTER TABLE "order" ADD COLUMN goes_with TEXT REFERENCES "order" (id);
CREATE INDEX order_standing ON "order" (standing) WHERE standing IS NOT NULL;
CREATE INDEX order_goes_with ON "order" (goes_with) WHERE goes_with IS NOT NULL;
