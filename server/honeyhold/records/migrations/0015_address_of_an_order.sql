-- An order's own copy of the address it goes to, who receives it, and what is written for them. Empty: the person's own counts, as before.
ALTER TABLE "order" ADD COLUMN goes_to TEXT NOT NULL DEFAULT '' CHECK (goes_to IN ('', 'own', 'other'));
ALTER TABLE "order" ADD COLUMN to_name TEXT NOT NULL DEFAULT '';
ALTER TABLE "order" ADD COLUMN to_street TEXT NOT NULL DEFAULT '';
ALTER TABLE "order" ADD COLUMN to_unit TEXT NOT NULL DEFAULT '';
ALTER TABLE "order" ADD COLUMN to_city TEXT NOT NULL DEFAULT '';
ALTER TABLE "order" ADD COLUMN to_state TEXT NOT NULL DEFAULT '';
ALTER TABLE "order" ADD COLUMN to_zip TEXT NOT NULL DEFAULT '';
ALTER TABLE "order" ADD COLUMN gift_note TEXT NOT NULL DEFAULT '';
