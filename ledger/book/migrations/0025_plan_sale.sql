-- A plan that was sold: with which income, of which version of a design, to which order, and for
-- which sizes where they are known (NAME=VALUE; NAME=VALUE).
CREATE TABLE plan_sale (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  income INTEGER NOT NULL REFERENCES income (id),
  design_version INTEGER NOT NULL REFERENCES design_version (id),
  reference TEXT NOT NULL,
  sizes TEXT NOT NULL DEFAULT '',
  CONSTRAINT plan_sale_has_a_reference CHECK (trim(reference) <> '')
) STRICT;
CREATE INDEX plan_sale_by_version ON plan_sale (design_version, id);
