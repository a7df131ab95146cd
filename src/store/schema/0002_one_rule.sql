-- What the rule of method.md asks for beside readings and titrations. New columns are NULL in rows that were
-- there before, so that their canonical text, and with it the journal, stays what it was.

-- The maker's own bounds of a sitting; NULL: the usual ones. Sittings whose limit is higher than the usual one are
-- judged by the usual one.
ALTER TABLE session ADD COLUMN clear_ph REAL CHECK (clear_ph BETWEEN 7 AND 11);
ALTER TABLE session ADD COLUMN usual_low_ph REAL CHECK (usual_low_ph BETWEEN 7 AND 11);

-- Which bar a titrated portion was cut from; NULL: not said.
ALTER TABLE titration ADD COLUMN bar TEXT CHECK (bar <> '');

-- The rule by which the state was changed; NULL: before there was a number, so by the first.
ALTER TABLE state_change ADD COLUMN rule INTEGER CHECK (rule >= 2);

-- A recipe that was put right, whole: the latest revision is in force. Lines without one are the recipe as it was
-- written down first.
CREATE TABLE recipe_revision (
    id INTEGER PRIMARY KEY,
    batch INTEGER NOT NULL REFERENCES batch (id),
    why TEXT NOT NULL CHECK (why <> ''),
    added_at TEXT NOT NULL
) STRICT;
ALTER TABLE recipe_line ADD COLUMN revision INTEGER REFERENCES recipe_revision (id);

-- What was seen or said in a sitting beside the readings (record/observation.h has the words). A row with
-- neither word nor value takes back the one that it supersedes.
CREATE TABLE observation (
    id INTEGER PRIMARY KEY,
    session INTEGER NOT NULL REFERENCES session (id),
    specimen INTEGER REFERENCES specimen (id),
    kind TEXT NOT NULL CHECK (kind IN ('water', 'water-ph', 'undissolved', 'look', 'cut')),
    word TEXT,
    value REAL CHECK (value BETWEEN 0 AND 14),
    seen_at TEXT NOT NULL,
    supersedes INTEGER REFERENCES observation (id),
    why TEXT,
    CHECK (supersedes IS NULL OR why IS NOT NULL),
    CHECK (CASE WHEN word IS NULL AND value IS NULL THEN supersedes IS NOT NULL
                WHEN kind = 'water' THEN value IS NULL AND word IN ('distilled', 'deionised', 'other')
                WHEN kind = 'water-ph' THEN word IS NULL
                WHEN kind = 'undissolved' THEN value IS NULL AND word IN ('nothing', 'soap')
                WHEN kind = 'look' THEN value IS NULL AND word IN ('sound', 'weeping', 'lye-pockets', 'white',
                                                                   'crumbling', 'glassy', 'orange')
                ELSE value IS NULL AND word = 'spot' END)
) STRICT;

-- A bar that is used up, so that it cannot be tested again. A row without a day takes back the one it supersedes.
CREATE TABLE bar_used_up (
    id INTEGER PRIMARY KEY,
    batch INTEGER NOT NULL REFERENCES batch (id),
    bar TEXT NOT NULL CHECK (bar <> ''),
    used_up_on TEXT CHECK (used_up_on GLOB '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
    added_at TEXT NOT NULL,
    supersedes INTEGER REFERENCES bar_used_up (id),
    why TEXT,
    CHECK (supersedes IS NULL OR why IS NOT NULL),
    CHECK (used_up_on IS NOT NULL OR supersedes IS NOT NULL)
) STRICT;

-- Is a reading there already? What was a meter read for since? Both are asked by time and gear.
CREATE INDEX reading_taken_at ON reading (taken_at, gear, replicate);
CREATE INDEX recipe_revision_batch ON recipe_revision (batch);
CREATE INDEX observation_session ON observation (session);
CREATE INDEX bar_used_up_batch ON bar_used_up (batch);
CREATE UNIQUE INDEX observation_supersedes ON observation (supersedes) WHERE supersedes IS NOT NULL;
CREATE UNIQUE INDEX bar_used_up_supersedes ON bar_used_up (supersedes) WHERE supersedes IS NOT NULL;

CREATE TRIGGER recipe_revision_no_update BEFORE UPDATE ON recipe_revision
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER recipe_revision_no_delete BEFORE DELETE ON recipe_revision
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER observation_no_update BEFORE UPDATE ON observation
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER observation_no_delete BEFORE DELETE ON observation
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER bar_used_up_no_update BEFORE UPDATE ON bar_used_up
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER bar_used_up_no_delete BEFORE DELETE ON bar_used_up
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
