-- A digest of every entry, chained to the one before it: a stored row that was changed is found.
-- `rows` has a line for each row of the entry (table, number, digest), `sha256` is that of the
-- digest before and those lines. What may be redacted carries a salt, so that the details cannot be
-- guessed from a digest that is left of them.

CREATE TABLE entry_digest (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  rows TEXT NOT NULL,
  sha256 TEXT NOT NULL,
  CONSTRAINT entry_digest_sha256_is_64_digits CHECK (length(sha256) = 64)
) STRICT;
CREATE INDEX entry_digest_by_deed ON entry_digest (deed);

ALTER TABLE client ADD COLUMN salt TEXT NOT NULL DEFAULT '';
ALTER TABLE addressee ADD COLUMN salt TEXT NOT NULL DEFAULT '';
UPDATE client SET salt = lower(hex(randomblob(16))) WHERE redacted_on IS NULL;
UPDATE addressee SET salt = lower(hex(randomblob(16)))
  WHERE client IN (SELECT id FROM client WHERE redacted_on IS NULL);
