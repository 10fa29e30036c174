-- What of a canceled job's material was said to go back to its seller, at what it was issued at.
ALTER TABLE cancellation ADD COLUMN returnable INTEGER NOT NULL DEFAULT 0
  CONSTRAINT cancellation_returnable CHECK (returnable >= 0);
