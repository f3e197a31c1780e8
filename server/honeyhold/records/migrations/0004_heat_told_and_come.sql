-- What the weather service foretells for a place (its ZIP prefix), written by the house alone; days without any is a place nobody posts to now.
CREATE TABLE forecast (
  id TEXT PRIMARY KEY, service TEXT NOT NULL, issued TEXT NOT NULL, fetched_at TEXT NOT NULL, days TEXT NOT NULL
);
-- What was told of heat when the order was taken or changed, and whether it is held at the post office for pick-up there.
ALTER TABLE "order" ADD COLUMN told TEXT NOT NULL DEFAULT '{}';
ALTER TABLE "order" ADD COLUMN hold_at_counter INTEGER NOT NULL DEFAULT 0 CHECK (hold_at_counter IN (0, 1));
-- The chance of harm told when it was packed, and how the parcel came.
ALTER TABLE parcel ADD COLUMN told_permille INTEGER;
ALTER TABLE parcel ADD COLUMN arrived TEXT NOT NULL DEFAULT '';
ALTER TABLE parcel ADD COLUMN arrived_on TEXT;
