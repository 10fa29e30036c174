-- Goods that were sent back and the credit notes for them, in whichever order they came; and on
-- which basis a price is noted.

CREATE TABLE credited_goods (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  movement INTEGER NOT NULL REFERENCES movement (id),
  line INTEGER NOT NULL REFERENCES receipt_line (id),
  quantity INTEGER NOT NULL,
  CONSTRAINT credited_goods_are_more_than_nothing CHECK (quantity > 0)
) STRICT;
CREATE INDEX credited_goods_by_movement ON credited_goods (movement);
CREATE INDEX credited_goods_by_line ON credited_goods (line);
CREATE INDEX movement_to_supplier ON movement (lot) WHERE kind = 'to_supplier';

-- The amount is before tax, and this rate of tax on purchases stood when it was noted; or whatever
-- tax stays a cost is inside the amount.
ALTER TABLE price ADD COLUMN tax_rate TEXT NOT NULL DEFAULT '0';
ALTER TABLE price ADD COLUMN with_tax INTEGER NOT NULL DEFAULT 0
  CONSTRAINT price_with_tax CHECK (with_tax IN (0, 1));
