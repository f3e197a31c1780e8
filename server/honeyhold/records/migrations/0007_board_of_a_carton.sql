-- What the box maker's certificate says: sides together at most, edge crush, and how thick the board is (thousandths of a millimetre).
ALTER TABLE carton ADD COLUMN max_united_mm INTEGER;
ALTER TABLE carton ADD COLUMN edge_crush_lb_per_in INTEGER;
ALTER TABLE carton ADD COLUMN board_um INTEGER;
