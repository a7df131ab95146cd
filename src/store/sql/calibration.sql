-- name: calibration_in_force
-- The latest calibration of a meter at or before a moment; a refused one ends what was in force before it.
SELECT id FROM calibration
WHERE meter = :meter AND purpose = 'calibration' AND taken_at <= :at
ORDER BY taken_at DESC, id DESC LIMIT 1;
-- name: calibration_list
-- With their points, a row for each.
SELECT calibration.id, meter, gear.name, taken_at, purpose, declared, slope_percent, offset_mv, verdict, reason,
       calibration.note, point.id, point.buffer, kitchen_made, temperature_c, displayed_ph, potential_mv, table_ph
FROM calibration JOIN gear ON gear.id = calibration.meter
                 LEFT JOIN calibration_point AS point ON point.calibration = calibration.id
WHERE meter = :meter ORDER BY taken_at, calibration.id, point.id;
-- name: calibration_between
-- Likewise, from one moment to the first calibration after another: what a reading at that one may rest on, and
-- every check of it, whenever that was made.
SELECT calibration.id, meter, gear.name, taken_at, purpose, declared, slope_percent, offset_mv, verdict, reason,
       calibration.note, point.id, point.buffer, kitchen_made, temperature_c, displayed_ph, potential_mv, table_ph
FROM calibration JOIN gear ON gear.id = calibration.meter
                 LEFT JOIN calibration_point AS point ON point.calibration = calibration.id
WHERE meter = :meter AND taken_at >= :first
      AND taken_at <= ifnull((SELECT min(next.taken_at) FROM calibration AS next
                              WHERE next.meter = :meter AND purpose = 'calibration' AND next.taken_at > :last), '9999')
ORDER BY taken_at, calibration.id, point.id;
-- name: calibration_taken_at
SELECT taken_at FROM calibration WHERE id = :id;
