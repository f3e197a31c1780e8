-- An undoing names the movement it undoes, and none is undone twice.
ALTER TABLE movement ADD COLUMN undoes TEXT;
CREATE UNIQUE INDEX movement_undoes ON movement (undoes) WHERE undoes IS NOT NULL;
-- What the season's sums and a device's copy of them are added up from.
CREATE INDEX movement_sums ON movement (good, reason, "on", units);
