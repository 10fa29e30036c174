-- What a cancellation settled with its tax, how a job stands to sales tax, and the use tax accrued
-- on what was issued to it untaxed. A row of use tax rests on one issue; what comes back from the
-- issue, as a return or as an offcut, takes its part of the tax back with a negative row.

ALTER TABLE cancellation ADD COLUMN tax INTEGER NOT NULL DEFAULT 0;

CREATE TABLE job_tax (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  day TEXT NOT NULL,
  standing TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT '',
  CONSTRAINT job_tax_standing CHECK (standing IN ('taxable', 'improvement'))
) STRICT;
CREATE INDEX job_tax_by_job ON job_tax (job, id);

CREATE TABLE job_use_tax (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  standing INTEGER NOT NULL REFERENCES job_tax (id),
  day TEXT NOT NULL,
  lot INTEGER NOT NULL REFERENCES lot (id),
  movement INTEGER NOT NULL REFERENCES movement (id),
  offcut INTEGER REFERENCES lot (id),
  amount INTEGER NOT NULL,
  CONSTRAINT job_use_tax_is_something CHECK (amount <> 0)
) STRICT;
CREATE INDEX job_use_tax_by_job ON job_use_tax (job, id);
CREATE INDEX job_use_tax_by_day ON job_use_tax (day);
CREATE INDEX job_use_tax_by_issue ON job_use_tax (movement);
