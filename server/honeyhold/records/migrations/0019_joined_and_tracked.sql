-- A person who is the same as another one; the number under which a carrier follows a parcel.
ALTER TABLE person ADD COLUMN same_as TEXT REFERENCES person (id);
CREATE INDEX person_same_as ON person (same_as) WHERE same_as IS NOT NULL;
ALTER TABLE parcel ADD COLUMN tracking TEXT NOT NULL DEFAULT '';
