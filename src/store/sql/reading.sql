-- name: reading_find
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note
FROM reading LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE reading.id = :id;
-- name: reading_of_specimen
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note
FROM reading LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE reading.specimen = :specimen ORDER BY reading.taken_at, reading.id;
-- name: reading_of_batch
-- In no order: who asks has to sort them by time, whatever the specimen.
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note
FROM specimen JOIN reading ON reading.specimen = specimen.id
              LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE specimen.batch = :batch;
-- name: reading_of_paper
-- Likewise, of the test portions that a paper was lately read on (session_of_paper).
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note
FROM reading LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE reading.specimen IN (
    SELECT specimen FROM reading WHERE method = 'paper' AND gear = :paper ORDER BY id DESC LIMIT 60);
-- For imports, from the rows in memory (bulk_block.h, rule 3).
-- name: batch_add_many
INSERT INTO batch (code, made_on, role, added_at) SELECT code, made_on, role, added_at FROM pending_batch;
-- name: session_add_many
INSERT INTO session (started_at, limit_ph, meter, paper) SELECT started_at, limit_ph, meter, paper FROM pending_session;
-- name: session_close_add_many
INSERT INTO session_close (session, finished_at) SELECT session, finished_at FROM pending_session_close;
-- name: specimen_add_many
INSERT INTO specimen (session, batch, stated_concentration_pct)
SELECT session, batch, stated_concentration_pct FROM pending_specimen;
-- name: reading_add_many
INSERT INTO reading (specimen, method, gear, replicate, ph, ph_low, ph_high, temperature_c, taken_at, calibration, note)
SELECT specimen, method, gear, replicate, ph, ph_low, ph_high, temperature_c, taken_at, calibration, note
FROM pending_reading;
-- name: last_numbers
-- Of the latest row of each table that an import adds to, in the order of enum bulk_table.
SELECT ifnull((SELECT max(id) FROM batch), 0), ifnull((SELECT max(id) FROM session), 0),
       ifnull((SELECT max(id) FROM session_close), 0), ifnull((SELECT max(id) FROM specimen), 0),
       ifnull((SELECT max(id) FROM reading), 0);
-- name: reading_values_of_batch
SELECT reading.gear, reading.taken_at, reading.replicate, coalesce(reading.ph, reading.ph_low), reading.ph_high
FROM specimen JOIN reading ON reading.specimen = specimen.id
WHERE specimen.batch = :batch AND (reading.ph IS NOT NULL OR reading.ph_low IS NOT NULL);
