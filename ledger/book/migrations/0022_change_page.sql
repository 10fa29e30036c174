-- A change order as its client was asked to sign it: the very bytes, their schema and SHA-256.
CREATE TABLE change_page (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  change_order INTEGER NOT NULL REFERENCES change_order (id),
  schema_number INTEGER NOT NULL,
  page BLOB NOT NULL,
  sha256 TEXT NOT NULL,
  CONSTRAINT change_page_schema CHECK (schema_number >= 1),
  CONSTRAINT change_page_digest CHECK (length(sha256) = 64)
) STRICT;
