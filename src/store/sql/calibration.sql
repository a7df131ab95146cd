-- name: calibration_list
-- With their points, a row for each, in no order: their times may have been put right.
SELECT calibration.id, gear.id, gear.name, taken_at, purpose, declared, slope_percent, offset_mv, verdict, reason,
       calibration.note, point.id, point.buffer, kitchen_made, temperature_c, displayed_ph, potential_mv, table_ph,
       calibration.id, withdrawn, point.bottle,
       (SELECT min(shelf.id) FROM gear AS shelf WHERE shelf.kind = 'buffer' AND shelf.buffer = point.buffer)
FROM calibration JOIN gear ON gear.id = standing('calibration', calibration.id, 'meter', calibration.meter)
                 LEFT JOIN calibration_point AS point ON point.calibration = calibration.id
WHERE (meter = :meter OR calibration.id IN (SELECT number FROM correction
                                            WHERE record = 'calibration' AND field = 'meter'))
      AND gear.id = :meter
ORDER BY calibration.id, point.id;
-- name: calibration_between
-- Likewise, from the one in force at a moment to the first after another: what readings between may rest on, and every
-- check of it, whenever that was made; and those that were put right, whose times may be others.
SELECT calibration.id, gear.id, gear.name, taken_at, purpose, declared, slope_percent, offset_mv, verdict, reason,
       calibration.note, point.id, point.buffer, kitchen_made, temperature_c, displayed_ph, potential_mv, table_ph,
       calibration.id, withdrawn, point.bottle,
       (SELECT min(shelf.id) FROM gear AS shelf WHERE shelf.kind = 'buffer' AND shelf.buffer = point.buffer)
FROM calibration JOIN gear ON gear.id = standing('calibration', calibration.id, 'meter', calibration.meter)
                 LEFT JOIN calibration_point AS point ON point.calibration = calibration.id
WHERE gear.id = :meter
      AND ((meter = :meter
            AND taken_at >= ifnull((SELECT max(before.taken_at) FROM calibration AS before
                                    WHERE before.meter = :meter AND before.purpose = 'calibration'
                                          AND before.taken_at <= :first
                                          AND before.id NOT IN (SELECT number FROM correction
                                                                WHERE record = 'calibration')), '')
            AND taken_at <= ifnull((SELECT min(next.taken_at) FROM calibration AS next
                                    WHERE next.meter = :meter AND next.purpose = 'calibration'
                                          AND next.taken_at > :last
                                          AND next.id NOT IN (SELECT number FROM correction
                                                              WHERE record = 'calibration')), '9999'))
           OR calibration.id IN (SELECT number FROM correction WHERE record = 'calibration'))
ORDER BY calibration.id, point.id;
