-- What a heading of a file was said to mean, for a kind of file and, where said, for one source of
-- such files (a supplier); the last one said counts. A column that is not read means '-'.
CREATE TABLE heading (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  file_kind TEXT NOT NULL,
  source TEXT NOT NULL DEFAULT '',
  heading TEXT NOT NULL,
  meaning TEXT NOT NULL,
  CONSTRAINT heading_says_something
    CHECK (trim(file_kind) <> '' AND trim(heading) <> '' AND trim(meaning) <> '')
) STRICT;
