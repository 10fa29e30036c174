-- Parts as they were cut off at the saw: of a sheet of a layout, the running number of its mark.
CREATE TABLE cut_part (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  layout TEXT NOT NULL,
  sheet INTEGER NOT NULL,
  mark TEXT NOT NULL,
  number INTEGER NOT NULL,
  CONSTRAINT cut_part_counts_from_one CHECK (sheet >= 1 AND number >= 1)
) STRICT;
CREATE INDEX cut_part_job ON cut_part (job);
