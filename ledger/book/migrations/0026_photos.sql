-- Photos: the bytes are files beside the book, found by their SHA-256, so that a copy of the book
-- stays small and a photo can be deleted when somebody asks for it. Here stands what it is about.
CREATE TABLE photo (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  sha256 TEXT NOT NULL,
  bytes INTEGER NOT NULL,
  day TEXT NOT NULL,
  about TEXT NOT NULL,
  job INTEGER REFERENCES job (id),
  part TEXT NOT NULL DEFAULT '',
  words TEXT NOT NULL DEFAULT '',
  CONSTRAINT photo_digest CHECK (length(sha256) = 64),
  CONSTRAINT photo_bytes CHECK (bytes > 0),
  CONSTRAINT photo_about CHECK (about IN ('receipt', 'build', 'spoiled')),
  CONSTRAINT photo_has_a_job CHECK (about = 'receipt' OR job IS NOT NULL)
) STRICT;
-- The receipt that was entered from a photo.
CREATE TABLE receipt_photo (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  photo INTEGER NOT NULL REFERENCES photo (id),
  receipt INTEGER NOT NULL REFERENCES receipt (id)
) STRICT;
