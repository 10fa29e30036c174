-- Quotes: revisions, drafts, frozen pages and their cost basis, states, and kits to compare with.
-- A frozen page is kept as the very bytes that were sent, with the schema number they were written
-- under and their SHA-256. What the client sees and what it cost stand in tables of their own, so
-- that writing the client's file never reads the other.

CREATE TABLE quote (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  number TEXT NOT NULL,
  revision TEXT NOT NULL,
  job INTEGER NOT NULL REFERENCES job (id),
  CONSTRAINT quote_revision_is_letters CHECK (length(revision) > 0 AND revision NOT GLOB '*[^A-Z]*')
) STRICT;
CREATE INDEX quote_by_job ON quote (job, id);
CREATE INDEX quote_by_number ON quote (number, id);

CREATE TABLE quote_state (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  quote INTEGER NOT NULL REFERENCES quote (id),
  state TEXT NOT NULL,
  day TEXT NOT NULL,
  how TEXT NOT NULL DEFAULT '',
  who TEXT NOT NULL DEFAULT '',
  drawing TEXT NOT NULL DEFAULT '',
  sample TEXT NOT NULL DEFAULT '',
  CONSTRAINT quote_state_is_known
    CHECK (state IN ('draft', 'sent', 'accepted', 'declined', 'superseded'))
) STRICT;
CREATE INDEX quote_state_by_quote ON quote_state (quote, id);

CREATE TABLE quote_draft (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  quote INTEGER NOT NULL REFERENCES quote (id),
  schema_number INTEGER NOT NULL,
  page BLOB NOT NULL,
  basis BLOB NOT NULL
) STRICT;
CREATE INDEX quote_draft_by_quote ON quote_draft (quote, id);

CREATE TABLE quote_page (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  quote INTEGER NOT NULL REFERENCES quote (id),
  schema_number INTEGER NOT NULL,
  program TEXT NOT NULL,
  page BLOB NOT NULL,
  sha256 TEXT NOT NULL,
  CONSTRAINT quote_page_sha256_is_64_digits CHECK (length(sha256) = 64)
) STRICT;
CREATE INDEX quote_page_by_quote ON quote_page (quote, id);

CREATE TABLE quote_basis (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  quote INTEGER NOT NULL REFERENCES quote (id),
  schema_number INTEGER NOT NULL,
  basis BLOB NOT NULL,
  sha256 TEXT NOT NULL,
  CONSTRAINT quote_basis_sha256_is_64_digits CHECK (length(sha256) = 64)
) STRICT;
CREATE INDEX quote_basis_by_quote ON quote_basis (quote, id);

CREATE TABLE kit (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  number TEXT NOT NULL,
  name TEXT NOT NULL,
  price INTEGER NOT NULL,
  seen TEXT NOT NULL,
  source TEXT NOT NULL DEFAULT '',
  shipping INTEGER NOT NULL DEFAULT 0,
  tax_rate TEXT NOT NULL,
  assembly TEXT NOT NULL,
  years INTEGER NOT NULL,
  warranty TEXT NOT NULL DEFAULT '',
  lift_help TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '',
  CONSTRAINT kit_costs_something CHECK (price > 0 AND shipping >= 0),
  CONSTRAINT kit_lasts_a_while CHECK (years > 0)
) STRICT;
CREATE INDEX kit_by_number ON kit (number, id);

CREATE TABLE kit_extra (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  kit INTEGER NOT NULL REFERENCES kit (id),
  words TEXT NOT NULL,
  amount INTEGER NOT NULL,
  taxed INTEGER NOT NULL,
  CONSTRAINT kit_extra_taxed CHECK (taxed IN (0, 1)),
  CONSTRAINT kit_extra_is_not_negative CHECK (amount >= 0)
) STRICT;
CREATE INDEX kit_extra_by_kit ON kit_extra (kit);
