-- name: reading_add
INSERT INTO reading (specimen, method, gear, replicate, ph, ph_low, ph_high, temperature_c, taken_at, calibration,
                     supersedes, why, note)
VALUES (:specimen, :method, :gear, :replicate, :ph, :ph_low, :ph_high, :temperature_c, :taken_at, :calibration,
        :supersedes, :why, :note) RETURNING id;
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
