-- Where the posting of an order came from: the house's table, a hand, or nobody said. What was written before counts as typed.
ALTER TABLE "order" ADD COLUMN posting_by TEXT NOT NULL DEFAULT '' CHECK (posting_by IN ('', 'table', 'hand'));
