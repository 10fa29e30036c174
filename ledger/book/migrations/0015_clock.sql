-- The moment at which a clock was started, in UTC: the wall clock may be put forward or back, and
-- the shop or its computer may move to another time zone, while it runs. Empty in older rows.

ALTER TABLE clock ADD COLUMN moment TEXT NOT NULL DEFAULT '';
