-- The log of every write. The row statements give whole rows for their canonical text.
-- name: journal_head
SELECT seq, hash FROM journal ORDER BY seq DESC LIMIT 1;
-- name: journal_add
INSERT INTO journal (seq, at, what, first_row, last_row, text, previous_hash, hash)
VALUES (:seq, :at, :what, :first_row, :last_row, :text, :previous_hash, :hash);
-- name: journal_list
SELECT seq, at, what, first_row, last_row, text, previous_hash, hash FROM journal ORDER BY seq;
-- name: rows_procedure
SELECT * FROM procedure WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_batch
SELECT * FROM batch WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_recipe_line
SELECT * FROM recipe_line WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_gear
SELECT * FROM gear WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_calibration
SELECT * FROM calibration WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_calibration_point
SELECT * FROM calibration_point WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_session
SELECT * FROM session WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_session_close
SELECT * FROM session_close WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_specimen
SELECT * FROM specimen WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_weighing
SELECT * FROM weighing WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_answer
SELECT * FROM answer WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_reading
SELECT * FROM reading WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_titration
SELECT * FROM titration WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_state_change
SELECT * FROM state_change WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_plan_entry
SELECT * FROM plan_entry WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_plan_drop
SELECT * FROM plan_drop WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
-- name: rows_setting
SELECT * FROM setting WHERE id BETWEEN :first_row AND :last_row ORDER BY id;
