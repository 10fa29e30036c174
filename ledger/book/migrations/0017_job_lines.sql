-- A work order: typed lines of work, material used and work of others, instead of a design. A line
-- is taken back by a later one that names it; work has a count of its operation, or minutes.
CREATE TABLE job_line (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  kind TEXT NOT NULL,
  name TEXT NOT NULL,
  quantity INTEGER NOT NULL DEFAULT 0,
  minutes INTEGER NOT NULL DEFAULT 0,
  amount INTEGER NOT NULL DEFAULT 0,
  markup TEXT,
  lead_days INTEGER NOT NULL DEFAULT 0,
  is_quoted INTEGER NOT NULL DEFAULT 0,
  words TEXT NOT NULL DEFAULT '',
  reverses INTEGER REFERENCES job_line (id),
  CONSTRAINT job_line_kind CHECK (kind IN ('work', 'use', 'outside')),
  CONSTRAINT job_line_is_not_negative
    CHECK (quantity >= 0 AND minutes >= 0 AND amount >= 0 AND lead_days >= 0),
  CONSTRAINT job_line_minutes_are_of_work CHECK (minutes = 0 OR (kind = 'work' AND quantity = 0)),
  CONSTRAINT job_line_of_others CHECK (
    kind = 'outside' OR (amount = 0 AND markup IS NULL AND lead_days = 0 AND is_quoted = 0)
  ),
  CONSTRAINT job_line_flag CHECK (is_quoted IN (0, 1)),
  CONSTRAINT job_line_reverses_an_earlier_one CHECK (reverses < id)
) STRICT;
CREATE INDEX job_line_by_job ON job_line (job, id);

-- A price that was agreed for a job in one sum, and the hours guessed for it.
CREATE TABLE job_total (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  price INTEGER NOT NULL,
  minutes INTEGER NOT NULL DEFAULT 0,
  CONSTRAINT job_total_is_a_price CHECK (price > 0),
  CONSTRAINT job_total_minutes CHECK (minutes >= 0)
) STRICT;
CREATE INDEX job_total_by_job ON job_total (job, id);

-- How many pieces alike a job or an agreed line is of.
ALTER TABLE job_basis ADD COLUMN pieces INTEGER NOT NULL DEFAULT 1
  CONSTRAINT job_basis_pieces CHECK (pieces >= 1);
ALTER TABLE agreed_line ADD COLUMN pieces INTEGER NOT NULL DEFAULT 1
  CONSTRAINT agreed_line_pieces CHECK (pieces >= 1);
