-- What so many of a good cost together, its prices by place and day, and whether sales tax is due on it; the same as a line was told.
-- A line without a total costs its units times its price, as all did before.
ALTER TABLE good ADD COLUMN steps TEXT NOT NULL DEFAULT '[]';
ALTER TABLE good ADD COLUMN prices TEXT NOT NULL DEFAULT '[]';
ALTER TABLE good ADD COLUMN taxed INTEGER NOT NULL DEFAULT 0;
ALTER TABLE line ADD COLUMN steps TEXT NOT NULL DEFAULT '[]';
ALTER TABLE line ADD COLUMN taxed INTEGER NOT NULL DEFAULT 0;
ALTER TABLE line ADD COLUMN total_cents INTEGER CHECK (total_cents >= 0);
ALTER TABLE "order" ADD COLUMN tax_cents INTEGER NOT NULL DEFAULT 0 CHECK (tax_cents >= 0);
ALTER TABLE "order" ADD COLUMN tax_rate INTEGER NOT NULL DEFAULT 0;
ALTER TABLE "order" ADD COLUMN tax_mailing INTEGER NOT NULL DEFAULT 0;
