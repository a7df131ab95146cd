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

CREATE INDEX correction_number ON correction (record, number);

CREATE TRIGGER correction_no_update BEFORE UPDATE ON correction
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER correction_no_delete BEFORE DELETE ON correction
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
