-- Freight that a job is planned to pay for what is bought for it: an amount of the job, like miles
-- and work bought outside. What it really was comes with the receipts, in the cost of the goods.

CREATE TABLE job_cost_with_freight (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  job INTEGER NOT NULL REFERENCES job (id),
  occasion TEXT NOT NULL,
  kind TEXT NOT NULL,
  words TEXT NOT NULL,
  quantity INTEGER NOT NULL,
  unit_amount TEXT NOT NULL,
  amount INTEGER NOT NULL,
  day TEXT NOT NULL,
  CONSTRAINT job_cost_occasion CHECK (occasion IN ('planned', 'actual')),
  CONSTRAINT job_cost_kind CHECK (kind IN ('miles', 'outside', 'fee', 'freight', 'other')),
  CONSTRAINT job_cost_freight_is_planned CHECK (kind <> 'freight' OR occasion = 'planned')
) STRICT;
INSERT INTO job_cost_with_freight
  (id, deed, job, occasion, kind, words, quantity, unit_amount, amount, day)
  SELECT id, deed, job, occasion, kind, words, quantity, unit_amount, amount, day FROM job_cost;
DROP TABLE job_cost;
ALTER TABLE job_cost_with_freight RENAME TO job_cost;
CREATE INDEX job_cost_by_job ON job_cost (job, id);
