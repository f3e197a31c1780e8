-- Two weeks of what was wanted are read at every exchange: found by their day, however many years stand before them.
CREATE INDEX demand_by_day ON demand ("on");
