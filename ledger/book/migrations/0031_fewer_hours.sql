-- A change order that takes hours off, as one that leaves something out does.
ALTER TABLE change_order ADD COLUMN fewer_minutes INTEGER NOT NULL DEFAULT 0
  CONSTRAINT change_order_adds_hours_or_takes_them_off
  CHECK (fewer_minutes >= 0 AND (minutes = 0 OR fewer_minutes = 0));
