-- What was agreed deliverable by deliverable; invoices, payment requests and credit notes apart,
-- the yearly series of a shop under VAT; how what is kept of a canceled job is taxed; whom a paper
-- was sent to. An addressee has no deed: like the client's own row it is redacted on request.

CREATE TABLE agreed_line (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  agreement INTEGER NOT NULL REFERENCES agreement (id),
  name TEXT NOT NULL,
  price INTEGER NOT NULL,
  taxed INTEGER NOT NULL,
  CONSTRAINT agreed_line_taxed CHECK (taxed IN (0, 1))
) STRICT;
CREATE INDEX agreed_line_by_agreement ON agreed_line (agreement, id);

ALTER TABLE client ADD COLUMN vat_number TEXT NOT NULL DEFAULT '';

ALTER TABLE invoice ADD COLUMN kind TEXT NOT NULL DEFAULT 'invoice'
  CONSTRAINT invoice_kind CHECK (kind IN ('invoice', 'request', 'credit'));
ALTER TABLE invoice ADD COLUMN series TEXT NOT NULL DEFAULT '';
ALTER TABLE invoice ADD COLUMN place INTEGER NOT NULL DEFAULT 0;
ALTER TABLE invoice ADD COLUMN corrects INTEGER REFERENCES invoice (id);
CREATE UNIQUE INDEX invoice_by_place ON invoice (series, place) WHERE place > 0;
CREATE INDEX invoice_by_corrected ON invoice (corrects);

ALTER TABLE cancellation ADD COLUMN kept_as TEXT NOT NULL DEFAULT ''
  CONSTRAINT cancellation_kept_as CHECK (kept_as IN ('', 'work', 'compensation'));

CREATE TABLE addressee (
  id INTEGER PRIMARY KEY,
  invoice INTEGER NOT NULL REFERENCES invoice (id),
  client INTEGER NOT NULL REFERENCES client (id),
  name TEXT NOT NULL,
  contact TEXT NOT NULL,
  address TEXT NOT NULL,
  vat_number TEXT NOT NULL
) STRICT;
CREATE INDEX addressee_by_invoice ON addressee (invoice);
CREATE INDEX addressee_by_client ON addressee (client);

-- The client of a job that was opened without one; the last in force counts.
CREATE TABLE job_client (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  client INTEGER NOT NULL REFERENCES client (id)
) STRICT;
CREATE INDEX job_client_by_job ON job_client (job, id);
