-- Which lots left for an order is asked for every slip and every trace: it must not read the whole season.
CREATE INDEX movement_order ON movement ("order") WHERE "order" IS NOT NULL;
