-- Whom a quote or a change order was sent to is kept with it, as with an invoice: the client's
-- details as they were then. The table is made anew, since every row had an invoice until now.
CREATE TABLE addressee_of_paper (
  id INTEGER PRIMARY KEY,
  invoice INTEGER REFERENCES invoice (id),
  client INTEGER NOT NULL REFERENCES client (id),
  name TEXT NOT NULL,
  contact TEXT NOT NULL,
  address TEXT NOT NULL,
  vat_number TEXT NOT NULL,
  salt TEXT NOT NULL DEFAULT '',
  quote INTEGER REFERENCES quote (id),
  change_order INTEGER REFERENCES change_order (id),
  CONSTRAINT addressee_is_of_one_paper CHECK (
    (quote IS NOT NULL) + (invoice IS NOT NULL) + (change_order IS NOT NULL) = 1
  )
) STRICT;
INSERT INTO addressee_of_paper (id, invoice, client, name, contact, address, vat_number, salt)
  SELECT id, invoice, client, name, contact, address, vat_number, salt FROM addressee;
DROP TABLE addressee;
ALTER TABLE addressee_of_paper RENAME TO addressee;
CREATE INDEX addressee_by_quote ON addressee (quote) WHERE quote IS NOT NULL;
CREATE INDEX addressee_by_invoice ON addressee (invoice);
CREATE INDEX addressee_by_change_order ON addressee (change_order) WHERE change_order IS NOT NULL;
CREATE INDEX addressee_by_client ON addressee (client);
