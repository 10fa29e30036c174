-- Receipts, lots and movements, and what is on hand of each lot.
-- A receipt's line keeps the document's own figures; its shares say where it went; a lot is what
-- came in at one cost; a movement is what left a lot (negative) or came back to it (positive).

CREATE TABLE receipt (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  number TEXT NOT NULL,
  day TEXT NOT NULL,
  kind TEXT NOT NULL,
  supplier INTEGER NOT NULL REFERENCES supplier (id),
  document TEXT NOT NULL DEFAULT '',
  paid_by TEXT NOT NULL DEFAULT '',
  total INTEGER NOT NULL,
  agreement TEXT NOT NULL DEFAULT '',
  reverses INTEGER REFERENCES receipt (id),
  CONSTRAINT receipt_kind
    CHECK (kind IN ('bought', 'credit', 'in_kind', 'borrowed', 'reversal')),
  CONSTRAINT receipt_reversal_names_a_receipt CHECK ((kind = 'reversal') = (reverses IS NOT NULL)),
  CONSTRAINT receipt_free_goods_cost_nothing
    CHECK (kind NOT IN ('in_kind', 'borrowed') OR total = 0)
) STRICT;
CREATE INDEX receipt_by_number ON receipt (number);
CREATE INDEX receipt_by_day ON receipt (day);
CREATE INDEX receipt_by_document ON receipt (supplier, document);
CREATE INDEX receipt_by_reversal ON receipt (reverses) WHERE reverses IS NOT NULL;

CREATE TABLE receipt_line (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  receipt INTEGER NOT NULL REFERENCES receipt (id),
  material TEXT,
  words TEXT NOT NULL,
  category TEXT NOT NULL,
  bought INTEGER NOT NULL,
  bought_unit TEXT NOT NULL,
  quantity INTEGER NOT NULL,
  unit TEXT NOT NULL,
  unit_price TEXT,
  tax_kind TEXT NOT NULL,
  discount INTEGER NOT NULL DEFAULT 0,
  net INTEGER NOT NULL,
  freight INTEGER NOT NULL DEFAULT 0,
  tax_paid INTEGER NOT NULL DEFAULT 0,
  recoverable INTEGER NOT NULL DEFAULT 0,
  use_tax INTEGER NOT NULL DEFAULT 0,
  landed INTEGER NOT NULL,
  fair INTEGER NOT NULL DEFAULT 0,
  CONSTRAINT receipt_line_tax_kind
    CHECK (tax_kind IN ('paid', 'resale', 'use', 'recoverable', 'none')),
  CONSTRAINT receipt_line_landed_adds_up
    CHECK (landed = net + freight + tax_paid + use_tax - recoverable)
) STRICT;
CREATE INDEX receipt_line_by_receipt ON receipt_line (receipt);
CREATE INDEX receipt_line_by_material ON receipt_line (material) WHERE material IS NOT NULL;

CREATE TABLE receipt_share (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  line INTEGER NOT NULL REFERENCES receipt_line (id),
  place TEXT NOT NULL,
  job INTEGER REFERENCES job (id),
  quantity INTEGER NOT NULL,
  landed INTEGER NOT NULL,
  CONSTRAINT receipt_share_place CHECK (place IN ('job', 'stock', 'shop')),
  CONSTRAINT receipt_share_names_its_job CHECK ((place = 'job') = (job IS NOT NULL))
) STRICT;
CREATE INDEX receipt_share_by_line ON receipt_share (line);

CREATE TABLE lot (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  material TEXT,
  words TEXT NOT NULL,
  category TEXT NOT NULL,
  unit TEXT NOT NULL,
  day TEXT NOT NULL,
  source TEXT NOT NULL,
  quantity INTEGER NOT NULL,
  full INTEGER NOT NULL,
  cash INTEGER NOT NULL,
  tax_kind TEXT NOT NULL DEFAULT 'none',
  line INTEGER REFERENCES receipt_line (id),
  job INTEGER REFERENCES job (id),
  sponsor TEXT NOT NULL DEFAULT '',
  agreement TEXT NOT NULL DEFAULT '',
  declared INTEGER NOT NULL DEFAULT 0,
  method TEXT NOT NULL DEFAULT '',
  evidence TEXT NOT NULL DEFAULT '',
  thickness INTEGER,
  length INTEGER,
  width INTEGER,
  statement TEXT NOT NULL DEFAULT '',
  note TEXT NOT NULL DEFAULT '',
  CONSTRAINT lot_source
    CHECK (source IN ('receipt', 'opening', 'in_kind', 'borrowed', 'offcut')),
  CONSTRAINT lot_quantity_is_positive CHECK (quantity > 0),
  CONSTRAINT lot_cash_is_within_its_full_value CHECK (cash >= 0 AND full >= cash),
  CONSTRAINT lot_in_kind_costs_no_cash CHECK (source <> 'in_kind' OR cash = 0),
  CONSTRAINT lot_borrowed_is_not_ours CHECK (source <> 'borrowed' OR (full = 0 AND cash = 0)),
  CONSTRAINT lot_offcut_has_a_size_and_a_job
    CHECK (source <> 'offcut' OR (length > 0 AND width > 0 AND job IS NOT NULL) IS TRUE),
  CONSTRAINT lot_of_a_receipt_names_its_line
    CHECK ((source IN ('receipt', 'in_kind', 'borrowed')) = (line IS NOT NULL))
) STRICT;
CREATE INDEX lot_by_day ON lot (day, source);
CREATE INDEX lot_by_material ON lot (material, id);
CREATE INDEX lot_by_deed ON lot (deed);
CREATE INDEX lot_by_line ON lot (line) WHERE line IS NOT NULL;
CREATE INDEX lot_by_job ON lot (job) WHERE job IS NOT NULL;

CREATE TABLE movement (
  id INTEGER PRIMARY KEY,
  deed INTEGER NOT NULL REFERENCES deed (id),
  lot INTEGER NOT NULL REFERENCES lot (id),
  kind TEXT NOT NULL,
  day TEXT NOT NULL,
  quantity INTEGER NOT NULL,
  full INTEGER NOT NULL,
  cash INTEGER NOT NULL,
  job INTEGER REFERENCES job (id),
  reason TEXT NOT NULL DEFAULT '',
  on_camera INTEGER,
  of_movement INTEGER REFERENCES movement (id),
  line INTEGER REFERENCES receipt_line (id),
  use_tax INTEGER NOT NULL DEFAULT 0,
  CONSTRAINT movement_kind CHECK (kind IN ('issue', 'return', 'scrap', 'damage', 'to_supplier',
    'own_use', 'giveaway', 'count', 'reversed')),
  CONSTRAINT movement_leaves_or_comes_back CHECK (CASE kind
    WHEN 'return' THEN quantity >= 0 AND full >= 0 AND cash >= 0
    WHEN 'count' THEN quantity <> 0
    WHEN 'own_use' THEN (quantity < 0) = (of_movement IS NULL)
    ELSE quantity <= 0 AND full <= 0 AND cash <= 0 END),
  CONSTRAINT movement_an_issue_has_a_job CHECK (kind NOT IN ('issue', 'return') OR job IS NOT NULL),
  CONSTRAINT movement_a_return_names_its_issue CHECK (kind <> 'return' OR of_movement IS NOT NULL),
  CONSTRAINT movement_scrap_says_why
    CHECK (kind NOT IN ('scrap', 'damage', 'count') OR length(reason) > 0),
  CONSTRAINT movement_on_camera CHECK (on_camera IN (0, 1))
) STRICT;
CREATE INDEX movement_by_lot ON movement (lot, day);
CREATE INDEX movement_by_deed ON movement (deed);
CREATE INDEX movement_by_job ON movement (job) WHERE job IS NOT NULL;
CREATE INDEX movement_by_issue ON movement (of_movement) WHERE of_movement IS NOT NULL;
CREATE INDEX movement_by_day ON movement (day, kind, full, cash, use_tax, deed);

-- What is on hand of each lot in force. It holds nothing that lots and movements do not say, and
-- `check` recounts it; it is kept so that a draw costs the same in the tenth year as in the first.
CREATE TABLE on_hand (
  lot INTEGER PRIMARY KEY REFERENCES lot (id),
  material TEXT,
  source TEXT NOT NULL,
  day TEXT NOT NULL,
  quantity INTEGER NOT NULL,
  full INTEGER NOT NULL,
  cash INTEGER NOT NULL
) STRICT;
CREATE INDEX on_hand_by_material ON on_hand (material, day, lot) WHERE quantity > 0;
CREATE INDEX on_hand_by_source ON on_hand (source, material) WHERE quantity > 0;

CREATE TRIGGER on_hand_takes_a_lot_in AFTER INSERT ON lot BEGIN
  INSERT INTO on_hand (lot, material, source, day, quantity, full, cash)
  VALUES (NEW.id, NEW.material, NEW.source, NEW.day, NEW.quantity, NEW.full, NEW.cash);
END;

CREATE TRIGGER on_hand_follows_a_movement AFTER INSERT ON movement BEGIN
  UPDATE on_hand SET quantity = quantity + NEW.quantity, full = full + NEW.full,
    cash = cash + NEW.cash
  WHERE lot = NEW.lot;
END;

CREATE TRIGGER on_hand_follows_a_reversal AFTER INSERT ON deed WHEN NEW.reverses IS NOT NULL BEGIN
  UPDATE on_hand SET
    quantity = quantity - (SELECT sum(m.quantity) FROM movement m
                           WHERE m.deed = NEW.reverses AND m.lot = on_hand.lot),
    full = full - (SELECT sum(m.full) FROM movement m
                   WHERE m.deed = NEW.reverses AND m.lot = on_hand.lot),
    cash = cash - (SELECT sum(m.cash) FROM movement m
                   WHERE m.deed = NEW.reverses AND m.lot = on_hand.lot)
  WHERE lot IN (SELECT m.lot FROM movement m WHERE m.deed = NEW.reverses);
  DELETE FROM on_hand WHERE lot IN (SELECT id FROM lot WHERE deed = NEW.reverses);
END;
