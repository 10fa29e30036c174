-- Hours: what was worked, the clock, helpers and their rates, marks of a new start, hours planned.
-- A row of work is one person's minutes on one operation; the rows of one entry share its number
-- within the deed. Times of day are the shop's wall clock, without a time zone.

CREATE TABLE work (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  entry INTEGER NOT NULL,
  job INTEGER REFERENCES job (id),
  operation TEXT,
  family TEXT,
  task TEXT NOT NULL DEFAULT '',
  class TEXT NOT NULL,
  person TEXT NOT NULL,
  day TEXT NOT NULL,
  minutes INTEGER NOT NULL,
  began TEXT,
  ended TEXT,
  rate INTEGER,
  split INTEGER NOT NULL DEFAULT 0,
  part TEXT NOT NULL DEFAULT '',
  cause TEXT NOT NULL DEFAULT '',
  prevention TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '',
  CONSTRAINT work_takes_time CHECK (minutes > 0),
  CONSTRAINT work_class
    CHECK (class IN ('work', 'rework', 'change_order', 'first_time', 'content', 'shop')),
  CONSTRAINT work_is_an_operation_a_group_or_a_task CHECK ((family IS NULL) = (task <> '')),
  CONSTRAINT work_operation_has_its_group CHECK (operation IS NULL OR family IS NOT NULL),
  CONSTRAINT work_task_is_content_or_shop CHECK ((class IN ('content', 'shop')) = (task <> '')),
  CONSTRAINT work_belongs_to_a_job CHECK (job IS NOT NULL OR class IN ('content', 'shop')),
  CONSTRAINT work_for_the_shop_has_no_job CHECK (job IS NULL OR class <> 'shop'),
  CONSTRAINT work_times_come_together CHECK ((began IS NULL) = (ended IS NULL)),
  CONSTRAINT work_ends_after_it_began CHECK (began IS NULL OR ended > began),
  CONSTRAINT work_rate_is_a_helpers CHECK ((rate IS NULL) = (person = 'owner')),
  CONSTRAINT work_split_is_yes_or_no CHECK (split IN (0, 1)),
  CONSTRAINT work_cause_is_of_rework CHECK (class = 'rework' OR (cause = '' AND prevention = ''))
) STRICT;
CREATE INDEX work_by_job ON work (job, operation, class);
CREATE INDEX work_by_day ON work (day, person);
CREATE INDEX work_by_deed ON work (deed, entry);

CREATE TABLE clock (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER REFERENCES job (id),
  doing TEXT NOT NULL,
  class TEXT NOT NULL,
  began TEXT NOT NULL,
  people TEXT NOT NULL DEFAULT '',
  part TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT ''
) STRICT;

CREATE TABLE clock_stop (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  clock INTEGER NOT NULL REFERENCES clock (id),
  ended TEXT NOT NULL
) STRICT;
CREATE INDEX clock_stop_by_clock ON clock_stop (clock);

CREATE TABLE helper (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  name TEXT NOT NULL,
  cost INTEGER NOT NULL,
  billed INTEGER NOT NULL,
  CONSTRAINT helper_rates_are_not_negative CHECK (cost >= 0 AND billed >= 0)
) STRICT;
CREATE INDEX helper_by_name ON helper (name, id);

CREATE TABLE operation_mark (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  operation TEXT NOT NULL,
  day TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX operation_mark_by_operation ON operation_mark (operation, id);

CREATE TABLE hours_plan (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  operation TEXT NOT NULL,
  hours TEXT NOT NULL,
  basis TEXT NOT NULL,
  CONSTRAINT hours_plan_basis CHECK (basis IN ('quote', 'estimate'))
) STRICT;
CREATE INDEX hours_plan_by_job ON hours_plan (job, deed);
