-- What it takes to put every record right. New columns are NULL in rows that were there before.

-- A value that was put right: the latest one of a record's field stands in its place. `record` names the table, `number`
-- its row and `field` its column (store/correctable.h lists them). `value` is a number in its shortest form, a row's
-- number, a word or a text as the column would hold it; NULL: not stated any more.
CREATE TABLE correction (
    id INTEGER PRIMARY KEY,
    record TEXT NOT NULL CHECK (record <> ''),
    number INTEGER NOT NULL CHECK (number > 0),
    field TEXT NOT NULL CHECK (field <> ''),
    value TEXT,
    why TEXT NOT NULL CHECK (why <> ''),
    at TEXT NOT NULL,
    who TEXT CHECK (who <> '')
) STRICT;

-- Rows that do not count, but stay.
ALTER TABLE calibration ADD COLUMN withdrawn INTEGER CHECK (withdrawn IN (0, 1));
ALTER TABLE weighing ADD COLUMN withdrawn INTEGER CHECK (withdrawn IN (0, 1));
ALTER TABLE titration ADD COLUMN withdrawn INTEGER CHECK (withdrawn IN (0, 1));

-- 1: the maker says which calibration the reading rests on. Else it follows from the times, whatever `calibration` says.
ALTER TABLE reading ADD COLUMN calibration_named INTEGER CHECK (calibration_named IN (0, 1));

-- Gear that is used no more, and the one of its kind that is meant when none is named.
ALTER TABLE gear ADD COLUMN retired INTEGER CHECK (retired IN (0, 1));
ALTER TABLE gear ADD COLUMN usual INTEGER CHECK (usual IN (0, 1));

-- Since when the batch has been in this state: the day of the evidence; `at` is when that was kept. NULL: the same.
ALTER TABLE state_change ADD COLUMN since_at TEXT;

-- 1: the acid was weighed, drop by drop: volume_ml, blank_ml and burette_ml are then of grams, and acid_mol_per_l is per
-- kilogram, which gives the same product.
ALTER TABLE titration ADD COLUMN acid_weighed INTEGER CHECK (acid_weighed IN (0, 1));

-- Which bottle a buffer was poured from; NULL: not said.
ALTER TABLE calibration_point ADD COLUMN bottle INTEGER REFERENCES gear (id);

-- 1: a strip pressed on the wet bar, so of no known concentration.
ALTER TABLE reading ADD COLUMN on_surface INTEGER CHECK (on_surface IN (0, 1));

-- 1: read off only about, as "~10.1" in an old book: it can warn, and clears nothing.
ALTER TABLE reading ADD COLUMN approximate INTEGER CHECK (approximate IN (0, 1));

-- Who read; NULL: not said.
ALTER TABLE session ADD COLUMN read_by TEXT CHECK (read_by <> '');
ALTER TABLE titration ADD COLUMN read_by TEXT CHECK (read_by <> '');

-- A batch of which nothing is left in the workshop. A row without a reason takes back the one it supersedes.
CREATE TABLE batch_close (
    id INTEGER PRIMARY KEY,
    batch INTEGER NOT NULL REFERENCES batch (id),
    reason TEXT CHECK (reason IN ('used-up', 'sold', 'given-away', 'thrown-away')),
    closed_on TEXT CHECK (closed_on GLOB '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
    added_at TEXT NOT NULL,
    supersedes INTEGER REFERENCES batch_close (id),
    why TEXT,
    CHECK ((reason IS NULL) = (closed_on IS NULL)),
    CHECK (supersedes IS NULL OR why IS NOT NULL),
    CHECK (reason IS NOT NULL OR supersedes IS NOT NULL)
) STRICT;

CREATE INDEX batch_close_batch ON batch_close (batch);
CREATE UNIQUE INDEX batch_close_supersedes ON batch_close (supersedes) WHERE supersedes IS NOT NULL;
CREATE INDEX correction_number ON correction (record, number);

CREATE TRIGGER correction_no_update BEFORE UPDATE ON correction
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER correction_no_delete BEFORE DELETE ON correction
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER batch_close_no_update BEFORE UPDATE ON batch_close
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER batch_close_no_delete BEFORE DELETE ON batch_close
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
