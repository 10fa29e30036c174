-- Sponsors, what was agreed with them, what was published, and how free goods were disclosed.
-- Their goods are lots of stock with the sponsor's name on them; nothing of that is repeated here.

CREATE TABLE sponsor (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  name TEXT NOT NULL,
  objective TEXT NOT NULL DEFAULT '',
  CONSTRAINT sponsor_has_a_name CHECK (length(trim(name)) > 0)
) STRICT;
CREATE INDEX sponsor_by_name ON sponsor (name);

CREATE TABLE sponsor_agreement (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  sponsor TEXT NOT NULL,
  day TEXT NOT NULL,
  supplies TEXT NOT NULL DEFAULT '',
  fee INTEGER NOT NULL DEFAULT 0,
  evidence TEXT NOT NULL DEFAULT '',
  CONSTRAINT sponsor_agreement_fee_is_not_negative CHECK (fee >= 0)
) STRICT;
CREATE INDEX sponsor_agreement_by_sponsor ON sponsor_agreement (sponsor);

CREATE TABLE deliverable (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  agreement INTEGER NOT NULL REFERENCES sponsor_agreement (id),
  kind TEXT NOT NULL,
  number INTEGER NOT NULL,
  due TEXT NOT NULL,
  CONSTRAINT deliverable_kind CHECK (kind IN ('long', 'short', 'photo', 'plan', 'post')),
  CONSTRAINT deliverable_number_is_positive CHECK (number > 0)
) STRICT;
CREATE INDEX deliverable_by_agreement ON deliverable (agreement);

CREATE TABLE publication (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  day TEXT NOT NULL,
  kind TEXT NOT NULL,
  title TEXT NOT NULL,
  platform TEXT NOT NULL DEFAULT '',
  link TEXT NOT NULL DEFAULT '',
  CONSTRAINT publication_kind CHECK (kind IN ('long', 'short', 'photo', 'plan')),
  CONSTRAINT publication_has_a_title CHECK (length(trim(title)) > 0)
) STRICT;
CREATE INDEX publication_by_link ON publication (link) WHERE link <> '';

CREATE TABLE publication_sponsor (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  publication INTEGER NOT NULL REFERENCES publication (id),
  sponsor TEXT NOT NULL
) STRICT;
CREATE INDEX publication_sponsor_by_sponsor ON publication_sponsor (sponsor);
CREATE INDEX publication_sponsor_by_publication ON publication_sponsor (publication);

CREATE TABLE publication_job (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  publication INTEGER NOT NULL REFERENCES publication (id),
  job INTEGER NOT NULL REFERENCES job (id)
) STRICT;
CREATE INDEX publication_job_by_publication ON publication_job (publication);
CREATE INDEX publication_job_by_job ON publication_job (job);

CREATE TABLE disclosure (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  publication INTEGER NOT NULL REFERENCES publication (id),
  day TEXT NOT NULL,
  how TEXT NOT NULL,
  CONSTRAINT disclosure_says_how CHECK (length(trim(how)) > 0)
) STRICT;
CREATE INDEX disclosure_by_publication ON disclosure (publication);

CREATE TABLE public_name (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  name TEXT NOT NULL,
  CONSTRAINT public_name_is_not_empty CHECK (length(trim(name)) > 0)
) STRICT;
CREATE INDEX public_name_by_job ON public_name (job);

CREATE TABLE tool_use (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  lot INTEGER NOT NULL REFERENCES lot (id),
  day TEXT NOT NULL,
  job INTEGER REFERENCES job (id),
  minutes INTEGER NOT NULL DEFAULT 0,
  uses INTEGER NOT NULL DEFAULT 0,
  blades INTEGER NOT NULL DEFAULT 0,
  fault TEXT NOT NULL DEFAULT '',
  CONSTRAINT tool_use_is_not_negative CHECK (minutes >= 0 AND uses >= 0 AND blades >= 0),
  CONSTRAINT tool_use_says_something
    CHECK (minutes > 0 OR uses > 0 OR blades > 0 OR length(fault) > 0)
) STRICT;
CREATE INDEX tool_use_by_lot ON tool_use (lot);

CREATE TABLE sponsor_note (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  sponsor TEXT NOT NULL,
  day TEXT NOT NULL,
  kind TEXT NOT NULL,
  words TEXT NOT NULL,
  CONSTRAINT sponsor_note_kind CHECK (kind IN ('photo', 'next', 'where', 'code', 'result')),
  CONSTRAINT sponsor_note_is_not_empty CHECK (length(trim(words)) > 0)
) STRICT;
CREATE INDEX sponsor_note_by_sponsor ON sponsor_note (sponsor, day);

CREATE INDEX lot_by_sponsor ON lot (sponsor) WHERE sponsor <> '';
