-- The log of every write. The row statements give whole rows for their canonical text.
-- name: journal_head
SELECT seq, hash FROM journal ORDER BY seq DESC LIMIT 1;
-- name: journal_add
INSERT INTO journal (seq, at, what, first_row, last_row, text, previous_hash, hash)
VALUES (:seq, :at, :what, :first_row, :last_row, :text, :previous_hash, :hash);
-- name: journal_list
SELECT seq, at, what, first_row, last_row, text, previous_hash, hash FROM journal ORDER BY seq;
