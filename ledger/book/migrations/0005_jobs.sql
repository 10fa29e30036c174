-- What was agreed for a job and is to be paid: agreements, payments asked for, change orders with
-- their states, payments received, invoices as they were sent, cancellations.

CREATE TABLE agreement (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  source TEXT NOT NULL,
  day TEXT NOT NULL,
  price INTEGER NOT NULL,
  tax INTEGER NOT NULL,
  tax_rate TEXT NOT NULL,
  tax_standing TEXT NOT NULL
) STRICT;
CREATE INDEX agreement_by_job ON agreement (job, id);

CREATE TABLE due (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  source TEXT NOT NULL,
  name TEXT NOT NULL,
  price INTEGER NOT NULL,
  tax INTEGER NOT NULL
) STRICT;
CREATE INDEX due_by_job ON due (job, id);

CREATE TABLE change_order (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  number INTEGER NOT NULL,
  words TEXT NOT NULL,
  price INTEGER NOT NULL,
  taxed INTEGER NOT NULL,
  days INTEGER NOT NULL,
  minutes INTEGER NOT NULL,
  affects TEXT NOT NULL DEFAULT '',
  asked_by TEXT NOT NULL DEFAULT '',
  day TEXT NOT NULL,
  CONSTRAINT change_order_counts_from_one CHECK (number >= 1),
  CONSTRAINT change_order_taxed CHECK (taxed IN (0, 1)),
  CONSTRAINT change_order_minutes_are_not_negative CHECK (minutes >= 0)
) STRICT;
CREATE INDEX change_order_by_job ON change_order (job, number);

CREATE TABLE change_state (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  change_order INTEGER NOT NULL REFERENCES change_order (id),
  state TEXT NOT NULL,
  day TEXT NOT NULL,
  how TEXT NOT NULL DEFAULT '',
  CONSTRAINT change_state_is_known CHECK (state IN ('proposed', 'approved', 'declined'))
) STRICT;
CREATE INDEX change_state_by_order ON change_state (change_order, id);

CREATE TABLE payment (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  day TEXT NOT NULL,
  amount INTEGER NOT NULL,
  how TEXT NOT NULL,
  words TEXT NOT NULL DEFAULT '',
  CONSTRAINT payment_is_something CHECK (amount <> 0),
  CONSTRAINT payment_how CHECK (how IN ('card', 'check', 'transfer', 'cash', 'other'))
) STRICT;
CREATE INDEX payment_by_job ON payment (job, id);
CREATE INDEX payment_by_day ON payment (day);

CREATE TABLE invoice (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  number TEXT NOT NULL,
  day TEXT NOT NULL,
  asked INTEGER NOT NULL,
  schema_number INTEGER NOT NULL,
  page BLOB NOT NULL,
  sha256 TEXT NOT NULL,
  CONSTRAINT invoice_sha256_is_64_digits CHECK (length(sha256) = 64)
) STRICT;
CREATE INDEX invoice_by_job ON invoice (job, id);

CREATE TABLE invoiced_due (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  invoice INTEGER NOT NULL REFERENCES invoice (id),
  due INTEGER NOT NULL REFERENCES due (id)
) STRICT;
CREATE INDEX invoiced_due_by_due ON invoiced_due (due);

CREATE TABLE cancellation (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  day TEXT NOT NULL,
  stage TEXT NOT NULL,
  kept INTEGER NOT NULL,
  back INTEGER NOT NULL,
  owed INTEGER NOT NULL,
  why TEXT NOT NULL,
  CONSTRAINT cancellation_sums_are_not_negative CHECK (kept >= 0 AND back >= 0 AND owed >= 0)
) STRICT;
CREATE INDEX cancellation_by_job ON cancellation (job, id);
