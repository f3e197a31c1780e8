-- The places of a waiting line in the queue: [[position, units], ...], so that units added later stand behind those who came first.
ALTER TABLE line ADD COLUMN queue TEXT NOT NULL DEFAULT '[]';
UPDATE line SET queue = json_array(json_array(position, waits)) WHERE waits > 0;
