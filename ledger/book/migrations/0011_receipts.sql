-- A metric book counts kilometers at a rate of its own, without a default. One that is there goes
-- on with the rate that it had under the name of a mile's, as part of the entry that made it.

INSERT INTO setting (deed, name, value)
SELECT (SELECT min(id) FROM deed), 'km_rate', coalesce(
  (SELECT value FROM setting
   WHERE name = 'mile_rate'
     AND deed NOT IN (SELECT reverses FROM deed WHERE reverses IS NOT NULL)
   ORDER BY id DESC LIMIT 1),
  '0.70')
WHERE EXISTS (SELECT 1 FROM setting WHERE name = 'units' AND value = 'mm');
