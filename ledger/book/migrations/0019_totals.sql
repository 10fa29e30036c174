-- Past jobs known by their total alone: all their minutes, rework in them (0: told by line), what
-- the maker had guessed (0: no guess), and whether price and material are known or stand at 0.
ALTER TABLE past_job ADD COLUMN minutes INTEGER NOT NULL DEFAULT 0
  CONSTRAINT past_job_minutes CHECK (minutes >= 0);
ALTER TABLE past_job ADD COLUMN guessed INTEGER NOT NULL DEFAULT 0
  CONSTRAINT past_job_guessed CHECK (guessed >= 0);
ALTER TABLE past_job ADD COLUMN price_known INTEGER NOT NULL DEFAULT 1
  CONSTRAINT past_job_price_known CHECK (price_known = 1 OR (price_known = 0 AND price = 0));
ALTER TABLE past_job ADD COLUMN material_known INTEGER NOT NULL DEFAULT 1
  CONSTRAINT past_job_material_known
  CHECK (material_known = 1 OR (material_known = 0 AND material = 0));
