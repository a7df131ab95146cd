-- Values that were put right.
-- name: correction_latest
SELECT max(id) FROM correction;
-- name: correction_list
SELECT id, record, number, field, value, why, at, who FROM correction WHERE id > :after ORDER BY id;
