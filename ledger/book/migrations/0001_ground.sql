-- Deeds, settings, people, materials, designs, jobs, standards, past jobs and layouts.
-- Money: whole minor units. Lengths: whole nanometers. Quantities: whole millionths of the unit.
-- Every table with a column `deed` is append-only: the book puts the two triggers on it.

CREATE TABLE deed (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  day TEXT NOT NULL,
  who TEXT NOT NULL,
  verb TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT '',
  reverses INTEGER UNIQUE REFERENCES deed (id),
  why TEXT,
  CONSTRAINT deed_reverses_an_earlier_one CHECK (reverses IS NULL OR reverses < id),
  CONSTRAINT deed_says_why CHECK (reverses IS NULL OR length(trim(coalesce(why, ''))) > 0)
) STRICT;

CREATE TABLE setting (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  name TEXT NOT NULL,
  value TEXT NOT NULL
) STRICT;
CREATE INDEX setting_by_name ON setting (name, id);

CREATE TABLE client (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL,
  contact TEXT NOT NULL DEFAULT '',
  address TEXT NOT NULL DEFAULT '',
  redacted_on TEXT
) STRICT;

CREATE TABLE supplier (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  name TEXT NOT NULL
) STRICT;

CREATE TABLE material (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  code TEXT NOT NULL,
  name TEXT NOT NULL,
  kind TEXT NOT NULL,
  unit TEXT NOT NULL,
  pack INTEGER NOT NULL,
  length INTEGER,
  width INTEGER,
  thickness INTEGER,
  grain TEXT,
  density TEXT,
  density_source TEXT,
  coverage TEXT,
  coverage_source TEXT,
  allowance TEXT,
  allowance_on TEXT,
  whole INTEGER NOT NULL DEFAULT 0,
  composite INTEGER NOT NULL DEFAULT 0,
  note TEXT NOT NULL DEFAULT '',
  CONSTRAINT material_pack_is_positive CHECK (pack > 0),
  CONSTRAINT material_sizes_are_positive
    CHECK (coalesce(length, 1) > 0 AND coalesce(width, 1) > 0 AND coalesce(thickness, 1) > 0),
  CONSTRAINT material_allowance_says_on_what CHECK ((allowance IS NULL) = (allowance_on IS NULL)),
  CONSTRAINT material_allowance_on CHECK (allowance_on IN ('net', 'bought')),
  CONSTRAINT material_coverage_has_a_source
    CHECK ((coverage IS NULL) = (coverage_source IS NULL)),
  CONSTRAINT material_density_has_a_source CHECK ((density IS NULL) = (density_source IS NULL)),
  CONSTRAINT material_kind CHECK (kind IN ('sheet', 'lumber', 'edging', 'hardware', 'fastener',
    'finish', 'adhesive', 'abrasive', 'supply')),
  CONSTRAINT material_sheet_has_a_size
    CHECK (kind <> 'sheet' OR (length IS NOT NULL AND width IS NOT NULL)),
  CONSTRAINT material_flags CHECK (whole IN (0, 1) AND composite IN (0, 1))
) STRICT;
CREATE INDEX material_by_code ON material (code, id);

CREATE TABLE price (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  material TEXT NOT NULL,
  supplier INTEGER REFERENCES supplier (id),
  day TEXT NOT NULL,
  amount TEXT NOT NULL,
  source TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX price_by_material ON price (material, day, id);

CREATE TABLE design_version (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  name TEXT NOT NULL,
  version INTEGER NOT NULL,
  title TEXT NOT NULL,
  errata TEXT NOT NULL DEFAULT '',
  schema_number INTEGER NOT NULL,
  body TEXT NOT NULL,
  digest TEXT NOT NULL,
  CONSTRAINT design_version_counts_from_one CHECK (version >= 1)
) STRICT;
CREATE INDEX design_version_by_name ON design_version (name, version);

CREATE TABLE job (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  number TEXT NOT NULL,
  title TEXT NOT NULL,
  client INTEGER REFERENCES client (id),
  kind TEXT NOT NULL,
  CONSTRAINT job_kind CHECK (kind IN ('commission', 'past'))
) STRICT;
CREATE INDEX job_by_number ON job (number);

CREATE TABLE job_basis (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  design INTEGER NOT NULL REFERENCES design_version (id),
  parameters TEXT NOT NULL
) STRICT;
CREATE INDEX job_basis_by_job ON job_basis (job, id);

CREATE TABLE job_state (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  state TEXT NOT NULL,
  day TEXT NOT NULL,
  why TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX job_state_by_job ON job_state (job, id);

CREATE TABLE job_count (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  operation TEXT NOT NULL,
  driver INTEGER NOT NULL,
  occasion TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT '',
  CONSTRAINT job_count_occasion CHECK (occasion IN ('planned', 'built')),
  CONSTRAINT job_count_is_not_negative CHECK (driver >= 0)
) STRICT;
CREATE INDEX job_count_by_job ON job_count (job, operation, id);

CREATE TABLE job_answer (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  item TEXT NOT NULL,
  amount INTEGER NOT NULL,
  words TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX job_answer_by_job ON job_answer (job, item, id);

CREATE TABLE job_cost (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  occasion TEXT NOT NULL,
  kind TEXT NOT NULL,
  words TEXT NOT NULL,
  quantity INTEGER NOT NULL,
  unit_amount TEXT NOT NULL,
  amount INTEGER NOT NULL,
  day TEXT NOT NULL,
  CONSTRAINT job_cost_occasion CHECK (occasion IN ('planned', 'actual')),
  CONSTRAINT job_cost_kind CHECK (kind IN ('miles', 'outside', 'fee', 'other'))
) STRICT;
CREATE INDEX job_cost_by_job ON job_cost (job, id);

CREATE TABLE operation (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  code TEXT NOT NULL,
  name TEXT NOT NULL,
  family TEXT NOT NULL,
  driver TEXT NOT NULL,
  unit TEXT NOT NULL,
  minutes TEXT NOT NULL,
  setup TEXT NOT NULL,
  helper_share TEXT NOT NULL,
  remark TEXT NOT NULL DEFAULT '',
  spoken TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX operation_by_code ON operation (code, id);

CREATE TABLE past_job (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  done TEXT NOT NULL,
  price INTEGER NOT NULL,
  material INTEGER NOT NULL,
  helper_minutes INTEGER NOT NULL,
  rework_minutes INTEGER NOT NULL,
  other INTEGER NOT NULL
) STRICT;
CREATE INDEX past_job_by_job ON past_job (job);

CREATE TABLE past_line (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  operation TEXT NOT NULL,
  driver INTEGER NOT NULL,
  minutes INTEGER NOT NULL
) STRICT;
CREATE INDEX past_line_by_job ON past_line (job);

CREATE TABLE layout (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  digest TEXT NOT NULL,
  material TEXT NOT NULL,
  solver TEXT NOT NULL,
  effort TEXT NOT NULL,
  plan TEXT NOT NULL
) STRICT;
CREATE INDEX layout_by_digest ON layout (digest, id);

CREATE TABLE month_state (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  month TEXT NOT NULL,
  state TEXT NOT NULL,
  why TEXT NOT NULL DEFAULT '',
  CONSTRAINT month_state_is_known CHECK (state IN ('closed', 'open'))
) STRICT;
CREATE INDEX month_state_by_month ON month_state (month, id);
