/* session_store.h - sittings at the bench: procedures, sessions, specimens, weighings, answers, readings. */
#ifndef SESSION_STORE_H
#define SESSION_STORE_H

#include "session.h"
#include "store.h"

/* Keep a procedure's text under its hash, once. Gives its number. */
enum status procedure_store_keep(struct store *store, const char *name, const char *hash, const char *text,
                                 civil_time added_at, int64_t *ret_id, struct failure *failure);

/* The text a session was begun with. Given: free() both. STATUS_MISSING. */
enum status procedure_store_find(struct store *store, int64_t id, char **ret_name, char **ret_text,
                                 struct failure *failure);

/* Set the id of what they add. */
enum status session_store_add(struct store *store, struct session *session, struct failure *failure);
enum status specimen_store_add(struct store *store, struct specimen *specimen, struct failure *failure);
enum status answer_store_add(struct store *store, struct answer *answer, struct failure *failure);

/* A weighing supersedes the specimen's last of the same kind when weighing->supersedes names it; `why`
 * is then needed. STATUS_CONFLICT when that one is superseded already. */
enum status weighing_store_add(struct store *store, struct weighing *weighing, struct failure *failure);

/* Likewise; its calibration is kept only where the maker named it. The statuses of reading_check() too. */
enum status reading_store_add(struct store *store, struct reading *reading, struct failure *failure);

/* Is it there already, whether it stands or not: a reading of that batch by the same gear, at the same time, with the
 * same replicate and value, and of that bar (NULL: none named) unless `any_bar`? */
enum status reading_store_same(struct store *store, int64_t batch_id, const char *bar, bool any_bar,
                               const struct reading *reading, bool *ret_same, struct failure *failure);

/* Finish a session; `left_open` says what was left undone, or NULL. STATUS_CONFLICT: finished already. */
enum status session_store_close(struct store *store, int64_t session_id, civil_time finished_at,
                                const char *left_open, struct failure *failure);

/* ret_session  owned by the caller: session_clear(). STATUS_MISSING. */
enum status session_store_find(struct store *store, int64_t id, struct session *ret_session,
                               struct failure *failure);

/* Number of the answer that was filed last in a session (0: none), and whether it is finished: one look, by which a
 * walk notices what another terminal did. STATUS_SYSTEM. */
enum status session_store_latest(struct store *store, int64_t session_id, int64_t *ret_answer_id,
                                 bool *ret_finished, struct failure *failure);

/* Walk-throughs that are not finished, the latest first. Given: free() the array. */
enum status session_store_unfinished(struct store *store, int64_t **ret_ids, size_t *ret_count,
                                     struct failure *failure);

/* Which test portions are asked for: those of a batch, or (batch_id 0) those of any batch that a paper's latest
 * 200 pairs with a meter were made on. */
struct portions {
    int64_t batch_id, paper_id;
};

/* Arrays in the order of adding, but sessions in that of time and readings of portions in none. Given, also on a failure: clear each,
 * free() the array. */
enum status session_store_of(struct store *store, const struct portions *portions,
                             struct session **ret_sessions, size_t *ret_count, struct failure *failure);
enum status specimen_store_of(struct store *store, const struct portions *portions,
                              struct specimen **ret_specimens, size_t *ret_count,
                              struct weighing **ret_weighings, size_t *ret_weighing_count,
                              struct failure *failure);
enum status reading_store_of(struct store *store, const struct portions *portions,
                             struct reading **ret_readings, size_t *ret_count, struct failure *failure);
/* Of the latest cups that lay beside another of their bar in one sitting, in numbers without weighings; at most `most`. */
enum status specimen_store_of_several(struct store *store, size_t most, struct specimen **ret_specimens,
                                      size_t *ret_count, struct failure *failure);
enum status reading_store_of_several(struct store *store, size_t most, struct reading **ret_readings,
                                     size_t *ret_count, struct failure *failure);
enum status specimen_store_of_session(struct store *store, int64_t session_id,
                                      struct specimen **ret_specimens, size_t *ret_count,
                                      struct failure *failure);
enum status answer_store_of_session(struct store *store, int64_t session_id, struct answer **ret_answers,
                                    size_t *ret_count, struct failure *failure);
enum status weighing_store_of_specimen(struct store *store, int64_t specimen_id,
                                       struct weighing **ret_weighings, size_t *ret_count,
                                       struct failure *failure);
enum status reading_store_of_specimen(struct store *store, int64_t specimen_id, struct reading **ret_readings,
                                      size_t *ret_count, struct failure *failure);

/* One reading. ret_reading owned by the caller: reading_clear(). STATUS_MISSING. */
enum status reading_store_find(struct store *store, int64_t id, struct reading *ret_reading,
                               struct failure *failure);
/* One weighing. ret_weighing owned by the caller: weighing_clear(). STATUS_MISSING. */
enum status weighing_store_find(struct store *store, int64_t id, struct weighing *ret_weighing,
                                struct failure *failure);

/* One specimen with its latest weighings. STATUS_MISSING. */
enum status specimen_store_find(struct store *store, int64_t id, struct specimen *ret_specimen,
                                struct failure *failure);

#endif
