-- Titrations, states, plans and settings.
-- name: titration_of_batch
SELECT titration.id, titration.batch, titration.session, titration.replicate, titration.soap_mass_g,
       titration.acid_mol_per_l, titration.u_acid_relative, titration.volume_ml, titration.blank_ml,
       titration.burette_ml, titration.balance, titration.method, titration.taken_at, titration.supersedes, newer.id,
       titration.why, titration.note, titration.bar, titration.withdrawn, titration.acid_weighed, titration.read_by
FROM titration LEFT JOIN titration AS newer ON newer.supersedes = titration.id
WHERE titration.batch = :batch ORDER BY titration.taken_at, titration.id;
-- name: state_change_of_batch
SELECT id, batch, state, at, why, evidence, overridden, automatic, rule, since_at FROM state_change WHERE batch = :batch ORDER BY id;
-- name: plan_entry_of_batch
SELECT plan_entry.id, batch, due_on, what, plan_entry.why, added_at, plan_drop.id IS NOT NULL
FROM plan_entry LEFT JOIN plan_drop ON plan_drop.plan_entry = plan_entry.id
WHERE batch = :batch ORDER BY due_on, plan_entry.id;
-- name: setting_find
SELECT value FROM setting WHERE name = :name ORDER BY id DESC LIMIT 1;
-- name: batch_close_of_batch
SELECT id, reason, closed_on, added_at, supersedes, why FROM batch_close WHERE batch = :batch ORDER BY id DESC LIMIT 1;
-- name: setting_names
SELECT DISTINCT name FROM setting WHERE substr(name, 1, length(:beginning)) = :beginning ORDER BY name;
