-- Jobs that share sheets: how one material is laid for all of them, and what each job pays of it.
-- `question` says what the layout answers (parts, sheets, saw) without prices and without pieces of
-- the rack that it does not use; `plan` is the layout as JSON.
CREATE TABLE joint_plan (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  material TEXT NOT NULL,
  layout TEXT NOT NULL,
  question TEXT NOT NULL,
  sheets INTEGER NOT NULL,
  new_sheets INTEGER NOT NULL,
  sheets_cost INTEGER NOT NULL,
  offcuts INTEGER NOT NULL,
  plan TEXT NOT NULL,
  CONSTRAINT joint_plan_has_sheets CHECK (sheets >= 1 AND new_sheets BETWEEN 0 AND sheets),
  CONSTRAINT joint_plan_offcuts_are_within_its_cost CHECK (offcuts BETWEEN 0 AND sheets_cost)
) STRICT;
CREATE INDEX joint_plan_by_deed ON joint_plan (deed);
-- A job's share of it beside what it pays alone; `parts` says which parts of it were laid.
CREATE TABLE joint_share (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  joint_plan INTEGER NOT NULL REFERENCES joint_plan (id),
  job INTEGER NOT NULL REFERENCES job (id),
  parts TEXT NOT NULL,
  alone_sheets INTEGER NOT NULL,
  alone_sheets_cost INTEGER NOT NULL,
  alone_offcuts INTEGER NOT NULL,
  sheets_cost INTEGER NOT NULL,
  offcuts INTEGER NOT NULL,
  CONSTRAINT joint_share_is_not_above_the_cost_alone CHECK (sheets_cost <= alone_sheets_cost
    AND sheets_cost - offcuts <= alone_sheets_cost - alone_offcuts)
) STRICT;
CREATE INDEX joint_share_by_plan ON joint_share (joint_plan);
CREATE INDEX joint_share_by_job ON joint_share (job);
-- What a job took of the sheets of a joint plan.
CREATE TABLE joint_issue (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  joint_plan INTEGER NOT NULL REFERENCES joint_plan (id),
  movement INTEGER NOT NULL REFERENCES movement (id)
) STRICT;
CREATE INDEX joint_issue_by_plan ON joint_issue (joint_plan);
CREATE INDEX joint_issue_by_movement ON joint_issue (movement);
-- An offcut of such sheets, credited to the job of its lot; a movement without goods passes a part
-- of that credit on to another job. NULL stands for the piece itself.
CREATE TABLE joint_offcut (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  joint_plan INTEGER NOT NULL REFERENCES joint_plan (id),
  lot INTEGER NOT NULL REFERENCES lot (id),
  movement INTEGER REFERENCES movement (id)
) STRICT;
CREATE INDEX joint_offcut_by_lot ON joint_offcut (lot);
CREATE INDEX joint_offcut_by_movement ON joint_offcut (movement) WHERE movement IS NOT NULL;
