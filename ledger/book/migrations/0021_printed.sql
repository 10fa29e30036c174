-- A paper that was printed when it was sent: of what, on which size of paper, by which version of
-- what lays papers out; the digest of its words, and of the very bytes of the file.
CREATE TABLE printed (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  quote INTEGER REFERENCES quote (id),
  invoice INTEGER REFERENCES invoice (id),
  change_order INTEGER REFERENCES change_order (id),
  size TEXT NOT NULL,
  engine TEXT NOT NULL,
  template TEXT NOT NULL,
  words TEXT NOT NULL,
  sha256 TEXT NOT NULL,
  fallback INTEGER NOT NULL DEFAULT 0,
  CONSTRAINT printed_is_of_one_paper CHECK (
    (quote IS NOT NULL) + (invoice IS NOT NULL) + (change_order IS NOT NULL) = 1
  ),
  CONSTRAINT printed_size CHECK (size IN ('letter', 'A4')),
  CONSTRAINT printed_digests
    CHECK (length(template) = 64 AND length(words) = 64 AND length(sha256) = 64),
  CONSTRAINT printed_flag CHECK (fallback IN (0, 1))
) STRICT;
