-- The notebook's tables. Rows are added, never changed: a correction is a new row that names the
-- one it supersedes, and triggers refuse every UPDATE and DELETE. "Not measured" is NULL.
-- Dates and times are civil time in ISO 8601. See docs/notebook.md.
CREATE TABLE procedure (
    id INTEGER PRIMARY KEY,
    hash TEXT NOT NULL UNIQUE CHECK (length(hash) = 64),
    name TEXT NOT NULL,
    text TEXT NOT NULL,
    added_at TEXT NOT NULL
) STRICT;

CREATE TABLE batch (
    id INTEGER PRIMARY KEY,
    code TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (length(code) BETWEEN 1 AND 40),
    title TEXT,
    made_on TEXT NOT NULL CHECK (made_on GLOB '[12][0-9][0-9][0-9]-[01][0-9]-[0-3][0-9]'),
    role TEXT NOT NULL CHECK (role IN ('ordinary', 'control', 'variant', 'lye-heavy')),
    reference INTEGER REFERENCES batch (id),
    parent INTEGER REFERENCES batch (id),
    note TEXT,
    added_at TEXT NOT NULL
) STRICT;

CREATE TABLE recipe_line (
    id INTEGER PRIMARY KEY,
    batch INTEGER NOT NULL REFERENCES batch (id),
    kind TEXT NOT NULL CHECK (kind IN ('fat', 'lye', 'acid', 'water', 'other')),
    name TEXT NOT NULL CHECK (name <> ''),
    mass_g REAL NOT NULL CHECK (mass_g > 0 AND mass_g <= 1e6),
    purity_fraction REAL CHECK (purity_fraction > 0 AND purity_fraction <= 1),
    sv_min_mg_koh_per_g REAL CHECK (sv_min_mg_koh_per_g > 0),
    sv_max_mg_koh_per_g REAL CHECK (sv_max_mg_koh_per_g >= sv_min_mg_koh_per_g)
) STRICT;

CREATE TABLE gear (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE CHECK (name <> ''),
    kind TEXT NOT NULL CHECK (kind IN ('meter', 'paper', 'balance', 'thermometer', 'buffer')),
    resolution_ph REAL CHECK (resolution_ph > 0),
    accuracy_ph REAL CHECK (accuracy_ph > 0),
    atc INTEGER NOT NULL DEFAULT 0 CHECK (atc IN (0, 1)),
    steps TEXT,
    readability_g REAL CHECK (readability_g > 0),
    resolution_c REAL CHECK (resolution_c > 0),
    accuracy_c REAL CHECK (accuracy_c > 0),
    buffer TEXT,
    expires_on TEXT,
    note TEXT,
    added_at TEXT NOT NULL,
    CHECK ((kind = 'meter') = (resolution_ph IS NOT NULL)),
    CHECK ((kind = 'paper') = (steps IS NOT NULL)),
    CHECK ((kind = 'balance') = (readability_g IS NOT NULL)),
    CHECK ((kind = 'thermometer') = (resolution_c IS NOT NULL)),
    CHECK ((kind = 'buffer') = (buffer IS NOT NULL))
) STRICT;

CREATE TABLE calibration (
    id INTEGER PRIMARY KEY,
    meter INTEGER NOT NULL REFERENCES gear (id),
    taken_at TEXT NOT NULL,
    purpose TEXT NOT NULL CHECK (purpose IN ('calibration', 'check')),
    declared INTEGER NOT NULL CHECK (declared IN (0, 1)),
    slope_percent REAL,
    offset_mv REAL,
    verdict TEXT NOT NULL CHECK (verdict IN ('accepted', 'marginal', 'refused')),
    reason TEXT,
    note TEXT
) STRICT;

CREATE TABLE calibration_point (
    id INTEGER PRIMARY KEY,
    calibration INTEGER NOT NULL REFERENCES calibration (id),
    buffer TEXT NOT NULL,
    kitchen_made INTEGER NOT NULL CHECK (kitchen_made IN (0, 1)),
    temperature_c REAL CHECK (temperature_c BETWEEN 0 AND 100),
    displayed_ph REAL CHECK (displayed_ph BETWEEN -2 AND 16),
    potential_mv REAL CHECK (potential_mv BETWEEN -1000 AND 1000),
    table_ph REAL
) STRICT;

CREATE TABLE session (
    id INTEGER PRIMARY KEY,
    procedure INTEGER REFERENCES procedure (id),
    started_at TEXT NOT NULL,
    limit_ph REAL NOT NULL CHECK (limit_ph BETWEEN 7 AND 14),
    meter INTEGER REFERENCES gear (id),
    paper INTEGER REFERENCES gear (id),
    balance INTEGER REFERENCES gear (id),
    thermometer INTEGER REFERENCES gear (id),
    note TEXT
) STRICT;

CREATE TABLE session_close (
    id INTEGER PRIMARY KEY,
    session INTEGER NOT NULL UNIQUE REFERENCES session (id),
    finished_at TEXT NOT NULL,
    left_open TEXT
) STRICT;

CREATE TABLE specimen (
    id INTEGER PRIMARY KEY,
    session INTEGER NOT NULL REFERENCES session (id),
    batch INTEGER NOT NULL REFERENCES batch (id),
    bar TEXT,
    stated_concentration_pct REAL CHECK (stated_concentration_pct > 0 AND stated_concentration_pct <= 100)
) STRICT;

CREATE TABLE weighing (
    id INTEGER PRIMARY KEY,
    specimen INTEGER NOT NULL REFERENCES specimen (id),
    weighed TEXT NOT NULL CHECK (weighed IN ('soap', 'water')),
    mass_g REAL NOT NULL CHECK (mass_g > 0 AND mass_g <= 1e5),
    balance INTEGER REFERENCES gear (id),
    taken_at TEXT NOT NULL,
    supersedes INTEGER REFERENCES weighing (id),
    why TEXT,
    CHECK (supersedes IS NULL OR why IS NOT NULL)
) STRICT;

CREATE TABLE answer (
    id INTEGER PRIMARY KEY,
    session INTEGER NOT NULL REFERENCES session (id),
    specimen INTEGER REFERENCES specimen (id),
    step TEXT NOT NULL,
    replicate INTEGER NOT NULL CHECK (replicate >= 1),
    outcome TEXT NOT NULL CHECK (outcome IN ('done', 'skipped', 'noted')),
    value REAL,
    value_high REAL,
    temperature_c REAL CHECK (temperature_c BETWEEN 0 AND 100),
    text TEXT,
    deviation TEXT,
    why TEXT,
    answered_at TEXT NOT NULL,
    supersedes INTEGER REFERENCES answer (id),
    CHECK (outcome <> 'skipped' OR why IS NOT NULL)
) STRICT;

CREATE TABLE reading (
    id INTEGER PRIMARY KEY,
    specimen INTEGER NOT NULL REFERENCES specimen (id),
    method TEXT NOT NULL CHECK (method IN ('meter', 'paper')),
    gear INTEGER NOT NULL REFERENCES gear (id),
    replicate INTEGER NOT NULL CHECK (replicate >= 1),
    ph REAL CHECK (ph BETWEEN 0 AND 14),
    ph_low REAL CHECK (ph_low BETWEEN 0 AND 14),
    ph_high REAL CHECK (ph_high BETWEEN 0 AND 14 AND ph_high > ph_low),
    temperature_c REAL CHECK (temperature_c BETWEEN 0 AND 100),
    taken_at TEXT NOT NULL,
    calibration INTEGER REFERENCES calibration (id),
    supersedes INTEGER REFERENCES reading (id),
    why TEXT,
    note TEXT,
    CHECK (supersedes IS NULL OR why IS NOT NULL),
    CHECK (CASE WHEN ph IS NULL AND ph_low IS NULL THEN supersedes IS NOT NULL
                WHEN method = 'meter' THEN ph IS NOT NULL AND ph_low IS NULL AND ph_high IS NULL
                ELSE ph IS NULL AND ph_low IS NOT NULL AND ph_high IS NOT NULL END)
) STRICT;

CREATE TABLE titration (
    id INTEGER PRIMARY KEY,
    batch INTEGER NOT NULL REFERENCES batch (id),
    session INTEGER REFERENCES session (id),
    replicate INTEGER NOT NULL CHECK (replicate >= 1),
    soap_mass_g REAL NOT NULL CHECK (soap_mass_g > 0 AND soap_mass_g <= 1000),
    acid_mol_per_l REAL NOT NULL CHECK (acid_mol_per_l > 0 AND acid_mol_per_l <= 10),
    u_acid_relative REAL CHECK (u_acid_relative > 0),
    volume_ml REAL NOT NULL CHECK (volume_ml BETWEEN 0 AND 1000),
    blank_ml REAL CHECK (blank_ml BETWEEN 0 AND volume_ml),
    burette_ml REAL CHECK (burette_ml > 0),
    balance INTEGER REFERENCES gear (id),
    method TEXT,
    taken_at TEXT NOT NULL,
    supersedes INTEGER REFERENCES titration (id),
    why TEXT,
    note TEXT,
    CHECK (supersedes IS NULL OR why IS NOT NULL)
) STRICT;

CREATE TABLE state_change (
    id INTEGER PRIMARY KEY,
    batch INTEGER NOT NULL REFERENCES batch (id),
    state TEXT NOT NULL CHECK (state IN ('in-cure', 'held', 'released', 'discarded')),
    at TEXT NOT NULL,
    why TEXT NOT NULL CHECK (why <> ''),
    evidence TEXT,
    overridden INTEGER NOT NULL CHECK (overridden IN (0, 1)),
    automatic INTEGER NOT NULL CHECK (automatic IN (0, 1))
) STRICT;

CREATE TABLE plan_entry (
    id INTEGER PRIMARY KEY,
    batch INTEGER NOT NULL REFERENCES batch (id),
    due_on TEXT NOT NULL,
    what TEXT NOT NULL,
    why TEXT,
    added_at TEXT NOT NULL
) STRICT;

CREATE TABLE plan_drop (
    id INTEGER PRIMARY KEY,
    plan_entry INTEGER NOT NULL UNIQUE REFERENCES plan_entry (id),
    at TEXT NOT NULL,
    why TEXT NOT NULL
) STRICT;

CREATE TABLE setting (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL,
    value TEXT NOT NULL,
    at TEXT NOT NULL,
    why TEXT
) STRICT;

CREATE INDEX recipe_line_batch ON recipe_line (batch);
CREATE INDEX calibration_meter ON calibration (meter, taken_at);
CREATE INDEX calibration_point_calibration ON calibration_point (calibration);
CREATE INDEX specimen_batch ON specimen (batch);
CREATE INDEX specimen_session ON specimen (session);
CREATE INDEX weighing_specimen ON weighing (specimen);
CREATE INDEX answer_session ON answer (session);
CREATE INDEX reading_specimen ON reading (specimen);
CREATE INDEX reading_paper ON reading (gear, id) WHERE method = 'paper';
CREATE INDEX titration_batch ON titration (batch);
CREATE INDEX state_change_batch ON state_change (batch);
CREATE INDEX plan_entry_batch ON plan_entry (batch);
CREATE INDEX batch_reference ON batch (reference);
CREATE INDEX batch_parent ON batch (parent);
-- A row is superseded once at most. Most rows supersede nothing and take no room here.
CREATE UNIQUE INDEX weighing_supersedes ON weighing (supersedes) WHERE supersedes IS NOT NULL;
CREATE UNIQUE INDEX answer_supersedes ON answer (supersedes) WHERE supersedes IS NOT NULL;
CREATE UNIQUE INDEX reading_supersedes ON reading (supersedes) WHERE supersedes IS NOT NULL;
CREATE UNIQUE INDEX titration_supersedes ON titration (supersedes) WHERE supersedes IS NOT NULL;

-- Every row above is also an entry here: table, rows, their canonical text (or, for a block of rows, its
-- hash) and the hash over all of it and the hash before (journal.h has the rules).
CREATE TABLE journal (
    seq INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    what TEXT NOT NULL,
    first_row INTEGER NOT NULL,
    last_row INTEGER NOT NULL CHECK (last_row >= first_row),
    text TEXT NOT NULL,
    previous_hash TEXT NOT NULL CHECK (length(previous_hash) = 64),
    hash TEXT NOT NULL CHECK (length(hash) = 64)
) STRICT;

CREATE TRIGGER procedure_no_update BEFORE UPDATE ON procedure
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER procedure_no_delete BEFORE DELETE ON procedure
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER batch_no_update BEFORE UPDATE ON batch
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER batch_no_delete BEFORE DELETE ON batch
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER recipe_line_no_update BEFORE UPDATE ON recipe_line
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER recipe_line_no_delete BEFORE DELETE ON recipe_line
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER gear_no_update BEFORE UPDATE ON gear
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER gear_no_delete BEFORE DELETE ON gear
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER calibration_no_update BEFORE UPDATE ON calibration
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER calibration_no_delete BEFORE DELETE ON calibration
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER calibration_point_no_update BEFORE UPDATE ON calibration_point
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER calibration_point_no_delete BEFORE DELETE ON calibration_point
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER session_no_update BEFORE UPDATE ON session
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER session_no_delete BEFORE DELETE ON session
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER session_close_no_update BEFORE UPDATE ON session_close
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER session_close_no_delete BEFORE DELETE ON session_close
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER specimen_no_update BEFORE UPDATE ON specimen
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER specimen_no_delete BEFORE DELETE ON specimen
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER weighing_no_update BEFORE UPDATE ON weighing
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER weighing_no_delete BEFORE DELETE ON weighing
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER answer_no_update BEFORE UPDATE ON answer
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER answer_no_delete BEFORE DELETE ON answer
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER reading_no_update BEFORE UPDATE ON reading
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER reading_no_delete BEFORE DELETE ON reading
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER titration_no_update BEFORE UPDATE ON titration
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER titration_no_delete BEFORE DELETE ON titration
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER state_change_no_update BEFORE UPDATE ON state_change
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER state_change_no_delete BEFORE DELETE ON state_change
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER plan_entry_no_update BEFORE UPDATE ON plan_entry
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER plan_entry_no_delete BEFORE DELETE ON plan_entry
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER plan_drop_no_update BEFORE UPDATE ON plan_drop
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER plan_drop_no_delete BEFORE DELETE ON plan_drop
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER setting_no_update BEFORE UPDATE ON setting
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER setting_no_delete BEFORE DELETE ON setting
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER journal_no_update BEFORE UPDATE ON journal
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
CREATE TRIGGER journal_no_delete BEFORE DELETE ON journal
BEGIN SELECT RAISE(ABORT, 'rows of the notebook are never changed or deleted'); END;
