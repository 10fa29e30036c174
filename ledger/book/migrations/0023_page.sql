-- What came in over the bench page: the key under which a device sent it, so that it is posted once
-- however often it is sent, the device, and the answer it was given.
CREATE TABLE page_entry (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  sent TEXT NOT NULL UNIQUE,
  device TEXT NOT NULL,
  words TEXT NOT NULL,
  CONSTRAINT page_entry_sent CHECK (length(sent) BETWEEN 16 AND 64),
  CONSTRAINT page_entry_device CHECK (device <> '')
) STRICT;
CREATE INDEX page_entry_device ON page_entry (device);
