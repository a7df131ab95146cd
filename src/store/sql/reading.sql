-- name: reading_find
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note, reading.calibration_named, reading.on_surface, reading.approximate
FROM reading LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE reading.id = :id;
-- name: reading_of_specimen
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note, reading.calibration_named, reading.on_surface, reading.approximate
FROM reading LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE reading.specimen = :specimen ORDER BY reading.taken_at, reading.id;
-- name: reading_of_batch
-- In no order: who asks has to sort them by time, whatever the specimen.
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note, reading.calibration_named, reading.on_surface, reading.approximate
FROM specimen JOIN reading ON reading.specimen = specimen.id
              LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE specimen.id IN (SELECT id FROM specimen WHERE batch = :batch
                      UNION SELECT number FROM correction WHERE record = 'specimen' AND field = 'batch')
      AND standing('specimen', specimen.id, 'batch', specimen.batch) = :batch;
-- name: reading_of_paper
-- Likewise, of the test portions that a paper was lately read on (session_of_paper).
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note, reading.calibration_named, reading.on_surface, reading.approximate
FROM reading LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE reading.specimen IN (
    SELECT specimen FROM reading AS paper
    WHERE method = 'paper' AND gear = :paper AND ph_low IS NOT NULL AND ifnull(on_surface, 0) = 0
      AND NOT EXISTS (SELECT 1 FROM reading AS newer WHERE newer.supersedes = paper.id)
      AND EXISTS (SELECT 1 FROM reading AS meter WHERE meter.specimen = paper.specimen AND meter.method = 'meter')
    ORDER BY id DESC LIMIT 200);
-- name: reading_of_several
-- Likewise, of the test portions of specimen_of_several.
SELECT reading.id, reading.specimen, reading.method, reading.gear, reading.replicate, reading.ph, reading.ph_low,
       reading.ph_high, reading.temperature_c, reading.taken_at, reading.calibration, reading.supersedes,
       newer.id, reading.why, reading.note, reading.calibration_named, reading.on_surface, reading.approximate
FROM reading LEFT JOIN reading AS newer ON newer.supersedes = reading.id
WHERE reading.specimen IN (
    SELECT a.id FROM (SELECT id, session, batch, bar FROM specimen ORDER BY id DESC LIMIT 2000) AS a
    WHERE a.bar IS NOT NULL
      AND EXISTS (SELECT 1 FROM specimen AS b
                  WHERE b.session = a.session AND b.id <> a.id AND b.batch = a.batch AND lower(b.bar) = lower(a.bar))
    ORDER BY a.id DESC LIMIT :most);
-- name: reading_same
SELECT 1 FROM reading JOIN specimen ON specimen.id = reading.specimen
WHERE reading.gear = :gear AND reading.taken_at = :taken_at AND reading.replicate = :replicate
      AND standing('specimen', specimen.id, 'batch', specimen.batch) = :batch
      AND ph IS :ph AND ph_low IS :ph_low AND ph_high IS :ph_high
      AND (:any_bar OR standing('specimen', specimen.id, 'bar', specimen.bar) IS :bar COLLATE NOCASE) LIMIT 1;
