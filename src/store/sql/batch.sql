-- name: batch_find
-- By its code, or by the one that it had before it was put right.
SELECT batch.id, batch.code, batch.title, batch.made_on, batch.role, reference.id, reference.code,
       parent.id, parent.code, batch.note, batch.added_at,
       (SELECT state FROM state_change WHERE state_change.batch = batch.id ORDER BY id DESC LIMIT 1)
FROM batch LEFT JOIN batch AS reference
                  ON reference.id = standing('batch', batch.id, 'reference', batch.reference)
           LEFT JOIN batch AS parent ON parent.id = batch.parent
WHERE batch.id = coalesce(standing_row('batch', 'code', :code), (SELECT id FROM batch WHERE code = :code));
-- name: batch_list
SELECT batch.id, batch.code, batch.title, batch.made_on, batch.role, reference.id, reference.code,
       parent.id, parent.code, batch.note, batch.added_at,
       (SELECT state FROM state_change WHERE state_change.batch = batch.id ORDER BY id DESC LIMIT 1)
FROM batch LEFT JOIN batch AS reference
                  ON reference.id = standing('batch', batch.id, 'reference', batch.reference)
           LEFT JOIN batch AS parent ON parent.id = batch.parent
ORDER BY standing('batch', batch.id, 'made_on', batch.made_on), batch.id;
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
SELECT id, code FROM batch ORDER BY id;
-- name: batch_code
SELECT id, code FROM batch WHERE id = :id;
-- name: batch_of_portions
-- Those of test portions, by the batch that stands of each.
SELECT id, code FROM batch WHERE id IN (SELECT standing('specimen', specimen.id, 'batch', specimen.batch) FROM specimen
                                        WHERE specimen.session >= :first OR specimen.id = :portion) ORDER BY id;
-- name: batch_of_gear
-- Batches that a meter, a paper or a balance was used for at or after a moment (NULL: ever).
SELECT id, code FROM batch WHERE id IN
    (SELECT standing('specimen', specimen.id, 'batch', specimen.batch)
     FROM reading JOIN specimen ON specimen.id = reading.specimen
     WHERE reading.gear = :gear AND reading.taken_at >= ifnull(:since, '')
     UNION SELECT standing('specimen', specimen.id, 'batch', specimen.batch)
     FROM weighing JOIN specimen ON specimen.id = weighing.specimen
     WHERE weighing.balance = :gear AND weighing.taken_at >= ifnull(:since, '')
     UNION SELECT batch FROM titration WHERE balance = :gear AND taken_at >= ifnull(:since, '')) ORDER BY id;
-- name: batch_referring
-- Batches that are compared with this one.
SELECT id, code FROM batch
WHERE standing('batch', id, 'reference', reference) =
      coalesce(standing_row('batch', 'code', :code), (SELECT id FROM batch WHERE code = :code)) ORDER BY id;
