-- name: procedure_find
SELECT id FROM procedure WHERE hash = :hash;
-- name: procedure_text
SELECT name, text FROM procedure WHERE id = :id;
-- name: session_find
SELECT session.id, session.procedure, procedure.name, procedure.hash, started_at, finished_at, limit_ph, meter, paper,
       balance, thermometer, left_open, note, clear_ph, usual_low_ph, read_by
FROM session LEFT JOIN procedure ON procedure.id = session.procedure
             LEFT JOIN session_close ON session_close.session = session.id
WHERE session.id = :id;
-- name: session_latest
SELECT (SELECT max(id) FROM answer WHERE session = :session),
       EXISTS (SELECT 1 FROM session_close WHERE session = :session);
-- name: session_unfinished
SELECT session.id FROM session
WHERE procedure IS NOT NULL AND NOT EXISTS (SELECT 1 FROM session_close WHERE session_close.session = session.id)
ORDER BY session.id DESC;
-- name: session_of_batch
-- Once for each test portion, in no order: who asks sorts them and drops repeats.
SELECT session.id, session.procedure, procedure.name, procedure.hash, started_at, finished_at, limit_ph, meter, paper,
       balance, thermometer, left_open, note, clear_ph, usual_low_ph, read_by
FROM specimen JOIN session ON session.id = specimen.session
              LEFT JOIN procedure ON procedure.id = session.procedure
              LEFT JOIN session_close ON session_close.session = session.id
WHERE specimen.id IN (SELECT id FROM specimen WHERE batch = :batch
                      UNION SELECT number FROM correction WHERE record = 'specimen' AND field = 'batch')
      AND standing('specimen', specimen.id, 'batch', specimen.batch) = :batch;
-- name: session_of_paper
-- Likewise. Here and below: what a paper was lately read on, which is the test portions of its latest two hundred readings.
-- Enough to learn how it reads (the bias is then known eight times better than one strip tells), and few enough that a
-- verdict never waits for it.
SELECT session.id, session.procedure, procedure.name, procedure.hash, started_at, finished_at, limit_ph, meter, paper,
       balance, thermometer, left_open, note, clear_ph, usual_low_ph, read_by
FROM specimen JOIN session ON session.id = specimen.session
              LEFT JOIN procedure ON procedure.id = session.procedure
              LEFT JOIN session_close ON session_close.session = session.id
WHERE specimen.id IN (SELECT specimen FROM reading AS paper
    WHERE method = 'paper' AND gear = :paper AND ph_low IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM reading AS newer WHERE newer.supersedes = paper.id)
      AND EXISTS (SELECT 1 FROM reading AS meter WHERE meter.specimen = paper.specimen AND meter.method = 'meter')
    ORDER BY id DESC LIMIT 200);
-- name: specimen_of_batch
SELECT id, session, batch, bar, stated_concentration_pct FROM specimen
WHERE specimen.id IN (SELECT id FROM specimen WHERE batch = :batch
                      UNION SELECT number FROM correction WHERE record = 'specimen' AND field = 'batch')
      AND standing('specimen', specimen.id, 'batch', specimen.batch) = :batch ORDER BY id;
-- name: specimen_of_several
-- The latest that lie beside another of the same bar in their sitting; of very many without a second cup some are looked at.
SELECT id, session, batch, bar, stated_concentration_pct FROM specimen WHERE id IN (
    SELECT a.id FROM (SELECT id, session, batch, bar FROM specimen ORDER BY id DESC LIMIT 2000) AS a
    WHERE a.bar IS NOT NULL
      AND EXISTS (SELECT 1 FROM specimen AS b
                  WHERE b.session = a.session AND b.id <> a.id AND b.batch = a.batch AND lower(b.bar) = lower(a.bar))
    ORDER BY a.id DESC LIMIT :most) ORDER BY id;
-- name: specimen_of_paper
SELECT id, session, batch, bar, stated_concentration_pct FROM specimen WHERE id IN (
    SELECT specimen FROM reading AS paper
    WHERE method = 'paper' AND gear = :paper AND ph_low IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM reading AS newer WHERE newer.supersedes = paper.id)
      AND EXISTS (SELECT 1 FROM reading AS meter WHERE meter.specimen = paper.specimen AND meter.method = 'meter')
    ORDER BY id DESC LIMIT 200) ORDER BY id;
-- name: specimen_of_session
SELECT id, session, batch, bar, stated_concentration_pct FROM specimen WHERE session = :session ORDER BY id;
-- name: specimen_find
SELECT id, session, batch, bar, stated_concentration_pct FROM specimen WHERE id = :id;
-- name: weighing_of_specimen
SELECT id, specimen, weighed, mass_g, balance, taken_at, supersedes, why, withdrawn
FROM weighing WHERE specimen = :specimen ORDER BY id;
-- name: weighing_of_batch
SELECT weighing.id, weighing.specimen, weighed, mass_g, weighing.balance, weighing.taken_at, supersedes, why, withdrawn
FROM specimen JOIN weighing ON weighing.specimen = specimen.id
WHERE specimen.id IN (SELECT id FROM specimen WHERE batch = :batch
                      UNION SELECT number FROM correction WHERE record = 'specimen' AND field = 'batch')
      AND standing('specimen', specimen.id, 'batch', specimen.batch) = :batch
ORDER BY weighing.specimen, weighing.id;
-- name: weighing_of_paper
SELECT id, specimen, weighed, mass_g, balance, taken_at, supersedes, why, withdrawn FROM weighing WHERE specimen IN (
    SELECT specimen FROM reading AS paper
    WHERE method = 'paper' AND gear = :paper AND ph_low IS NOT NULL
      AND NOT EXISTS (SELECT 1 FROM reading AS newer WHERE newer.supersedes = paper.id)
      AND EXISTS (SELECT 1 FROM reading AS meter WHERE meter.specimen = paper.specimen AND meter.method = 'meter')
    ORDER BY id DESC LIMIT 200)
ORDER BY specimen, id;
-- name: weighing_find
SELECT id, specimen, weighed, mass_g, balance, taken_at, supersedes, why, withdrawn FROM weighing WHERE id = :id;
-- name: answer_of_session
SELECT answer.id, answer.session, answer.specimen, answer.step, answer.replicate, answer.outcome, answer.value,
       answer.value_high, answer.temperature_c, answer.text, answer.deviation, answer.why, answer.answered_at,
       answer.supersedes, newer.id
FROM answer LEFT JOIN answer AS newer ON newer.supersedes = answer.id
WHERE answer.session = :session ORDER BY answer.id;
