-- The cost sheet beside which a job without a quote was closed, as JSON: what its plan was then.
CREATE TABLE closing_plan (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  basis BLOB NOT NULL
) STRICT;
CREATE INDEX closing_plan_by_job ON closing_plan (job);
