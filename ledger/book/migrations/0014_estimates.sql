-- What the owner says of an estimated line without hours (the last of a line in force counts), and
-- the points that a closed job was foretold at beside the minutes that it took.

CREATE TABLE unlogged (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  operation TEXT NOT NULL,
  answer TEXT NOT NULL,
  onto TEXT NOT NULL DEFAULT '',
  CONSTRAINT unlogged_answer CHECK (answer IN ('on another line', 'not done', 'forgotten')),
  CONSTRAINT unlogged_onto CHECK ((answer = 'on another line') = (onto <> ''))
) STRICT;
CREATE INDEX unlogged_by_job ON unlogged (job, id);

-- `basis` names the method behind the points; without one they were of the work alone, and so are
-- the minutes, else work and rework.
CREATE TABLE foretold (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  typical TEXT NOT NULL,
  safe TEXT NOT NULL,
  bad TEXT NOT NULL,
  past_jobs INTEGER NOT NULL,
  basis TEXT NOT NULL DEFAULT '',
  minutes INTEGER NOT NULL,
  CONSTRAINT foretold_minutes CHECK (minutes >= 0)
) STRICT;
CREATE INDEX foretold_by_job ON foretold (job, id);
