-- What was seen or said beside the readings, and bars that are used up.
-- name: observation_of_batch
-- Of the batch's sittings, those for the whole sitting too; other batches' portions are left out.
SELECT observation.id, observation.session, observation.specimen, observation.kind, observation.word,
       observation.value, observation.seen_at, observation.supersedes, newer.id, observation.why
FROM observation LEFT JOIN observation AS newer ON newer.supersedes = observation.id
WHERE observation.session IN (SELECT session FROM specimen WHERE specimen.id IN
                              (SELECT id FROM specimen WHERE batch = :batch
                               UNION SELECT number FROM correction WHERE record = 'specimen' AND field = 'batch')
                              AND standing('specimen', specimen.id, 'batch', specimen.batch) = :batch)
      AND (observation.specimen IS NULL
           OR (SELECT standing('specimen', specimen.id, 'batch', specimen.batch) FROM specimen
               WHERE specimen.id = observation.specimen) = :batch)
ORDER BY observation.seen_at, observation.id;
-- name: observation_of_session
SELECT observation.id, observation.session, observation.specimen, observation.kind, observation.word,
       observation.value, observation.seen_at, observation.supersedes, newer.id, observation.why
FROM observation LEFT JOIN observation AS newer ON newer.supersedes = observation.id
WHERE observation.session = :session ORDER BY observation.seen_at, observation.id;
-- name: bar_used_up_of_batch
SELECT bar_used_up.id, bar_used_up.batch, bar_used_up.bar, bar_used_up.used_up_on, bar_used_up.added_at,
       bar_used_up.supersedes, newer.id, bar_used_up.why
FROM bar_used_up LEFT JOIN bar_used_up AS newer ON newer.supersedes = bar_used_up.id
WHERE bar_used_up.batch = :batch ORDER BY bar_used_up.id;
