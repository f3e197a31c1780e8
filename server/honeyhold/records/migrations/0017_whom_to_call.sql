-- Whom to call: what waited is here, or the weather turned; and the day on which they were called.
ALTER TABLE "order" ADD COLUMN call_for TEXT NOT NULL DEFAULT '' CHECK (call_for IN ('', 'here', 'going'));
ALTER TABLE "order" ADD COLUMN called_on TEXT;
