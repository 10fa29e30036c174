BEGIN TRANSACTION;
CREATE TABLE client (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL,
  contact TEXT NOT NULL DEFAULT '',
  address TEXT NOT NULL DEFAULT '',
  redacted_on TEXT
) STRICT;
INSERT INTO "client" VALUES(1,'A client','client@example.com','1 Sample Street',NULL);
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
INSERT INTO "deed" VALUES(1,'2025-04-25T12:00:00Z','2025-04-25','owner','new','Quillhaven Workshop',NULL,NULL);
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
INSERT INTO "design_version" VALUES(1,1,'bed',1,'Bed','',1,'{}','0');
CREATE TABLE job (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  number TEXT NOT NULL,
  title TEXT NOT NULL,
  client INTEGER REFERENCES client (id),
  kind TEXT NOT NULL,
  CONSTRAINT job_kind CHECK (kind IN ('commission', 'past'))
) STRICT;
INSERT INTO "job" VALUES(1,1,'J-2507','Bed',1,'commission');
CREATE TABLE job_answer (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  item TEXT NOT NULL,
  amount INTEGER NOT NULL,
  words TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO "job_answer" VALUES(1,1,1,'delivery',0,'');
CREATE TABLE job_basis (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  design INTEGER NOT NULL REFERENCES design_version (id),
  parameters TEXT NOT NULL
) STRICT;
INSERT INTO "job_basis" VALUES(1,1,1,1,'{}');
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
INSERT INTO "job_cost" VALUES(1,1,1,'planned','miles','delivery',24000000,'0.70',1680,'2025-04-25');
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
INSERT INTO "job_count" VALUES(1,1,1,'SAND',40000000,'planned','');
CREATE TABLE job_state (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  state TEXT NOT NULL,
  day TEXT NOT NULL,
  why TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO "job_state" VALUES(1,1,1,'open','2025-04-25','');
CREATE TABLE layout (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  digest TEXT NOT NULL,
  material TEXT NOT NULL,
  solver TEXT NOT NULL,
  effort TEXT NOT NULL,
  plan TEXT NOT NULL
) STRICT;
INSERT INTO "layout" VALUES(1,1,'0','PLY34','1','usual','{}');
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
INSERT INTO "material" VALUES(1,1,'PLY34','Birch plywood 3/4','sheet','sheet',1000000,2438400000,1219200000,18256250,'length',NULL,NULL,NULL,NULL,NULL,NULL,0,0,'');
CREATE TABLE month_state (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  month TEXT NOT NULL,
  state TEXT NOT NULL,
  why TEXT NOT NULL DEFAULT '',
  CONSTRAINT month_state_is_known CHECK (state IN ('closed', 'open'))
) STRICT;
INSERT INTO "month_state" VALUES(1,1,'2025-03','closed','');
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
INSERT INTO "operation" VALUES(1,1,'SAND','Sanding','finish','sand','sq ft','1.5','10','0','','');
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
INSERT INTO "past_job" VALUES(1,1,1,'2024-11-30',410000,98000,0,45,0);
CREATE TABLE past_line (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  operation TEXT NOT NULL,
  driver INTEGER NOT NULL,
  minutes INTEGER NOT NULL
) STRICT;
INSERT INTO "past_line" VALUES(1,1,1,'SAND',38000000,75);
CREATE TABLE price (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  material TEXT NOT NULL,
  supplier INTEGER REFERENCES supplier (id),
  day TEXT NOT NULL,
  amount TEXT NOT NULL,
  source TEXT NOT NULL DEFAULT ''
) STRICT;
INSERT INTO "price" VALUES(1,1,'PLY34',1,'2025-04-01','96.00','price list');
CREATE TABLE setting (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  name TEXT NOT NULL,
  value TEXT NOT NULL
) STRICT;
INSERT INTO "setting" VALUES(1,1,'shop','Quillhaven Workshop');
CREATE TABLE supplier (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  name TEXT NOT NULL
) STRICT;
INSERT INTO "supplier" VALUES(1,1,'Copper Vale Lumber');
CREATE INDEX setting_by_name ON setting (name, id);
CREATE INDEX material_by_code ON material (code, id);
CREATE INDEX price_by_material ON price (material, day, id);
CREATE INDEX design_version_by_name ON design_version (name, version);
CREATE INDEX job_by_number ON job (number);
CREATE INDEX job_basis_by_job ON job_basis (job, id);
CREATE INDEX job_state_by_job ON job_state (job, id);
CREATE INDEX job_count_by_job ON job_count (job, operation, id);
CREATE INDEX job_answer_by_job ON job_answer (job, item, id);
CREATE INDEX job_cost_by_job ON job_cost (job, id);
CREATE INDEX operation_by_code ON operation (code, id);
CREATE INDEX past_job_by_job ON past_job (job);
CREATE INDEX past_line_by_job ON past_line (job);
CREATE INDEX layout_by_digest ON layout (digest, id);
CREATE INDEX month_state_by_month ON month_state (month, id);
CREATE TRIGGER deed_is_never_changed BEFORE UPDATE ON deed BEGIN SELECT RAISE(ABORT, 'a posted row of deed is never changed'); END;
CREATE TRIGGER deed_is_never_deleted BEFORE DELETE ON deed BEGIN SELECT RAISE(ABORT, 'a posted row of deed is never deleted'); END;
CREATE TRIGGER design_version_is_never_changed BEFORE UPDATE ON design_version BEGIN SELECT RAISE(ABORT, 'a posted row of design_version is never changed'); END;
CREATE TRIGGER design_version_is_never_deleted BEFORE DELETE ON design_version BEGIN SELECT RAISE(ABORT, 'a posted row of design_version is never deleted'); END;
CREATE TRIGGER job_is_never_changed BEFORE UPDATE ON job BEGIN SELECT RAISE(ABORT, 'a posted row of job is never changed'); END;
CREATE TRIGGER job_is_never_deleted BEFORE DELETE ON job BEGIN SELECT RAISE(ABORT, 'a posted row of job is never deleted'); END;
CREATE TRIGGER job_answer_is_never_changed BEFORE UPDATE ON job_answer BEGIN SELECT RAISE(ABORT, 'a posted row of job_answer is never changed'); END;
CREATE TRIGGER job_answer_is_never_deleted BEFORE DELETE ON job_answer BEGIN SELECT RAISE(ABORT, 'a posted row of job_answer is never deleted'); END;
CREATE TRIGGER job_basis_is_never_changed BEFORE UPDATE ON job_basis BEGIN SELECT RAISE(ABORT, 'a posted row of job_basis is never changed'); END;
CREATE TRIGGER job_basis_is_never_deleted BEFORE DELETE ON job_basis BEGIN SELECT RAISE(ABORT, 'a posted row of job_basis is never deleted'); END;
CREATE TRIGGER job_cost_is_never_changed BEFORE UPDATE ON job_cost BEGIN SELECT RAISE(ABORT, 'a posted row of job_cost is never changed'); END;
CREATE TRIGGER job_cost_is_never_deleted BEFORE DELETE ON job_cost BEGIN SELECT RAISE(ABORT, 'a posted row of job_cost is never deleted'); END;
CREATE TRIGGER job_count_is_never_changed BEFORE UPDATE ON job_count BEGIN SELECT RAISE(ABORT, 'a posted row of job_count is never changed'); END;
CREATE TRIGGER job_count_is_never_deleted BEFORE DELETE ON job_count BEGIN SELECT RAISE(ABORT, 'a posted row of job_count is never deleted'); END;
CREATE TRIGGER job_state_is_never_changed BEFORE UPDATE ON job_state BEGIN SELECT RAISE(ABORT, 'a posted row of job_state is never changed'); END;
CREATE TRIGGER job_state_is_never_deleted BEFORE DELETE ON job_state BEGIN SELECT RAISE(ABORT, 'a posted row of job_state is never deleted'); END;
CREATE TRIGGER layout_is_never_changed BEFORE UPDATE ON layout BEGIN SELECT RAISE(ABORT, 'a posted row of layout is never changed'); END;
CREATE TRIGGER layout_is_never_deleted BEFORE DELETE ON layout BEGIN SELECT RAISE(ABORT, 'a posted row of layout is never deleted'); END;
CREATE TRIGGER material_is_never_changed BEFORE UPDATE ON material BEGIN SELECT RAISE(ABORT, 'a posted row of material is never changed'); END;
CREATE TRIGGER material_is_never_deleted BEFORE DELETE ON material BEGIN SELECT RAISE(ABORT, 'a posted row of material is never deleted'); END;
CREATE TRIGGER month_state_is_never_changed BEFORE UPDATE ON month_state BEGIN SELECT RAISE(ABORT, 'a posted row of month_state is never changed'); END;
CREATE TRIGGER month_state_is_never_deleted BEFORE DELETE ON month_state BEGIN SELECT RAISE(ABORT, 'a posted row of month_state is never deleted'); END;
CREATE TRIGGER operation_is_never_changed BEFORE UPDATE ON operation BEGIN SELECT RAISE(ABORT, 'a posted row of operation is never changed'); END;
CREATE TRIGGER operation_is_never_deleted BEFORE DELETE ON operation BEGIN SELECT RAISE(ABORT, 'a posted row of operation is never deleted'); END;
CREATE TRIGGER past_job_is_never_changed BEFORE UPDATE ON past_job BEGIN SELECT RAISE(ABORT, 'a posted row of past_job is never changed'); END;
CREATE TRIGGER past_job_is_never_deleted BEFORE DELETE ON past_job BEGIN SELECT RAISE(ABORT, 'a posted row of past_job is never deleted'); END;
CREATE TRIGGER past_line_is_never_changed BEFORE UPDATE ON past_line BEGIN SELECT RAISE(ABORT, 'a posted row of past_line is never changed'); END;
CREATE TRIGGER past_line_is_never_deleted BEFORE DELETE ON past_line BEGIN SELECT RAISE(ABORT, 'a posted row of past_line is never deleted'); END;
CREATE TRIGGER price_is_never_changed BEFORE UPDATE ON price BEGIN SELECT RAISE(ABORT, 'a posted row of price is never changed'); END;
CREATE TRIGGER price_is_never_deleted BEFORE DELETE ON price BEGIN SELECT RAISE(ABORT, 'a posted row of price is never deleted'); END;
CREATE TRIGGER setting_is_never_changed BEFORE UPDATE ON setting BEGIN SELECT RAISE(ABORT, 'a posted row of setting is never changed'); END;
CREATE TRIGGER setting_is_never_deleted BEFORE DELETE ON setting BEGIN SELECT RAISE(ABORT, 'a posted row of setting is never deleted'); END;
CREATE TRIGGER supplier_is_never_changed BEFORE UPDATE ON supplier BEGIN SELECT RAISE(ABORT, 'a posted row of supplier is never changed'); END;
CREATE TRIGGER supplier_is_never_deleted BEFORE DELETE ON supplier BEGIN SELECT RAISE(ABORT, 'a posted row of supplier is never deleted'); END;
COMMIT;
PRAGMA application_id=1112294471;
PRAGMA user_version=1;
