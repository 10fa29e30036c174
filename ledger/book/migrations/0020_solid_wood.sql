-- What an operation does to the piece, who gave its standard, and how lumber is bought.
ALTER TABLE operation ADD COLUMN stage TEXT NOT NULL DEFAULT '';
ALTER TABLE operation ADD COLUMN source TEXT NOT NULL DEFAULT '';
ALTER TABLE material ADD COLUMN by_tally INTEGER NOT NULL DEFAULT 0
  CONSTRAINT material_by_tally CHECK (by_tally IN (0, 1));
ALTER TABLE material ADD COLUMN grade TEXT NOT NULL DEFAULT '';
ALTER TABLE material ADD COLUMN surfaced INTEGER
  CONSTRAINT material_surfaced_is_positive CHECK (surfaced > 0);
