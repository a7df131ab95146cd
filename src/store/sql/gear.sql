-- name: gear_list
SELECT id, name, kind, resolution_ph, accuracy_ph, atc, steps, readability_g, resolution_c, accuracy_c, buffer,
       expires_on, note, added_at, retired, usual
FROM gear ORDER BY id;
