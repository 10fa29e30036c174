-- Which edges of an offcut are still the factory's, such as `far right`, or `none`; empty where
-- nobody knows. Its length and width are those inside what is still to be trimmed off there.
ALTER TABLE lot ADD COLUMN factory_edges TEXT NOT NULL DEFAULT ''
  CONSTRAINT lot_factory_edges_are_of_an_offcut CHECK (factory_edges = '' OR source = 'offcut');
