-- Whether a price agreed in one sum was said with the tax in it.
ALTER TABLE job_total ADD COLUMN with_tax INTEGER NOT NULL DEFAULT 0
  CONSTRAINT job_total_with_tax CHECK (with_tax IN (0, 1));
