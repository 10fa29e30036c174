-- Income of a job beside its commission, material spoiled in rework, and closed accounts.

CREATE TABLE income (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  day TEXT NOT NULL,
  stream TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT '',
  gross INTEGER NOT NULL,
  fee INTEGER NOT NULL,
  CONSTRAINT income_stream CHECK (stream IN ('sponsor fee', 'plans', 'affiliate', 'ads', 'tips',
    'teaching', 'other')),
  CONSTRAINT income_fee_is_not_negative CHECK (fee >= 0)
) STRICT;
CREATE INDEX income_by_job ON income (job, day, id);
CREATE INDEX income_by_day ON income (day);

CREATE TABLE spoiled (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  day TEXT NOT NULL,
  part TEXT NOT NULL DEFAULT '',
  words TEXT NOT NULL,
  amount INTEGER NOT NULL,
  CONSTRAINT spoiled_is_not_negative CHECK (amount >= 0)
) STRICT;
CREATE INDEX spoiled_by_job ON spoiled (job, id);

CREATE TABLE close_out (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  day TEXT NOT NULL,
  price INTEGER NOT NULL,
  planned_hours TEXT NOT NULL,
  four_in_five TEXT NOT NULL,
  actual_minutes INTEGER NOT NULL
) STRICT;
CREATE INDEX close_out_by_job ON close_out (job, id);
