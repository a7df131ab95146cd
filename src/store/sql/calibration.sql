-- name: calibration_add
INSERT INTO calibration (meter, taken_at, purpose, declared, slope_percent, offset_mv, verdict, reason, note)
VALUES (:meter, :taken_at, :purpose, :declared, :slope_percent, :offset_mv, :verdict, :reason, :note) RETURNING id;
-- name: calibration_point_add
INSERT INTO calibration_point (calibration, buffer, kitchen_made, temperature_c, displayed_ph, potential_mv, table_ph)
VALUES (:calibration, :buffer, :kitchen_made, :temperature_c, :displayed_ph, :potential_mv, :table_ph) RETURNING id;
-- name: calibration_in_force
-- The latest calibration of a meter at or before a moment that was not refused; a later refused one
-- ends what was in force before it.
SELECT id, verdict FROM calibration
WHERE meter = :meter AND purpose = 'calibration' AND taken_at <= :at
ORDER BY taken_at DESC, id DESC LIMIT 1;
-- name: calibration_list
-- With their points, a row for each.
SELECT calibration.id, meter, gear.name, taken_at, purpose, declared, slope_percent, offset_mv, verdict, reason,
       calibration.note, point.id, point.buffer, kitchen_made, temperature_c, displayed_ph, potential_mv, table_ph
FROM calibration JOIN gear ON gear.id = calibration.meter
                 LEFT JOIN calibration_point AS point ON point.calibration = calibration.id
WHERE meter = :meter ORDER BY taken_at, calibration.id, point.id;
-- name: calibration_of_batch
-- Those that the batch's readings rest on, and the checks of those meters up to a day after the last reading;
-- with their points, a row for each.
WITH used (meter, first, last) AS (
    SELECT reading.gear, min(ifnull(calibration.taken_at, reading.taken_at)), max(reading.taken_at)
    FROM reading JOIN specimen ON specimen.id = reading.specimen
                 LEFT JOIN calibration ON calibration.id = reading.calibration
    WHERE specimen.batch = :batch AND reading.method = 'meter' GROUP BY reading.gear)
SELECT calibration.id, calibration.meter, gear.name, taken_at, purpose, declared, slope_percent, offset_mv, verdict,
       reason, calibration.note, point.id, point.buffer, kitchen_made, temperature_c, displayed_ph, potential_mv,
       table_ph
FROM used JOIN calibration ON calibration.meter = used.meter JOIN gear ON gear.id = calibration.meter
          LEFT JOIN calibration_point AS point ON point.calibration = calibration.id
WHERE taken_at >= used.first AND substr(taken_at, 1, 10) <= date(used.last, '+1 day')
ORDER BY taken_at, calibration.id, point.id;
-- name: calibration_any
SELECT 1 FROM calibration LIMIT 1;
