-- name: batch_find
SELECT batch.id, batch.code, batch.title, batch.made_on, batch.role, batch.reference, reference.code,
       batch.parent, parent.code, batch.note, batch.added_at,
       (SELECT state FROM state_change WHERE state_change.batch = batch.id ORDER BY id DESC LIMIT 1)
FROM batch LEFT JOIN batch AS reference ON reference.id = batch.reference
           LEFT JOIN batch AS parent ON parent.id = batch.parent
WHERE batch.code = :code;
-- name: batch_list
SELECT batch.id, batch.code, batch.title, batch.made_on, batch.role, batch.reference, reference.code,
       batch.parent, parent.code, batch.note, batch.added_at,
       (SELECT state FROM state_change WHERE state_change.batch = batch.id ORDER BY id DESC LIMIT 1)
FROM batch LEFT JOIN batch AS reference ON reference.id = batch.reference
           LEFT JOIN batch AS parent ON parent.id = batch.parent
ORDER BY batch.made_on, batch.id;
-- name: recipe_line_list
SELECT id, kind, name, mass_g, purity_fraction, sv_min_mg_koh_per_g, sv_max_mg_koh_per_g
FROM recipe_line
WHERE batch = :batch AND revision IS (SELECT max(id) FROM recipe_revision WHERE recipe_revision.batch = :batch)
ORDER BY id;
-- name: recipe_line_of_revision
SELECT id, kind, name, mass_g, purity_fraction, sv_min_mg_koh_per_g, sv_max_mg_koh_per_g
FROM recipe_line WHERE batch = :batch AND revision IS :revision ORDER BY id;
-- name: recipe_revision_of_batch
SELECT id, why, added_at FROM recipe_revision WHERE batch = :batch ORDER BY id;
-- name: batch_codes
SELECT code FROM batch ORDER BY id;
-- name: batch_code
SELECT code FROM batch WHERE id = :id;
-- name: batch_of_meter
-- Batches that a meter was read for at or after a moment.
SELECT DISTINCT batch.code FROM reading JOIN specimen ON specimen.id = reading.specimen
                                        JOIN batch ON batch.id = specimen.batch
WHERE reading.method = 'meter' AND reading.gear = :meter AND reading.taken_at >= :since ORDER BY batch.code;
-- name: batch_of_sessions
-- Batches with a test portion in a session from a number on.
SELECT code FROM batch WHERE id IN (SELECT batch FROM specimen WHERE session >= :first) ORDER BY id;
-- name: batch_referring
-- Batches that are compared with this one.
SELECT code FROM batch WHERE reference = (SELECT id FROM batch WHERE code = :code) ORDER BY id;
