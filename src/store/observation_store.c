/* observation_store.c - what was seen or said beside the readings, in the notebook. */
#include "observation_store.h"

#include "row.h"
#include "rows.h"
#include "sql.h"

enum status
observation_store_add(struct store *store, struct observation *observation, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "observation");
    row_id(&row, "session", observation->session_id);
    row_id(&row, "specimen", observation->specimen_id);
    row_text(&row, "kind", observation_kind_word(observation->kind));
    row_text(&row, "word", observation->word);
    row_number(&row, "value", observation->value);
    row_time(&row, "seen_at", observation->seen_at);
    row_id(&row, "supersedes", observation->supersedes);
    row_text(&row, "why", observation->why);
    return row_add(&row, &observation->id, failure);
}

enum status
used_up_store_add(struct store *store, struct used_up *used_up, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "bar_used_up");
    row_id(&row, "batch", used_up->batch_id);
    row_text(&row, "bar", used_up->bar);
    row_day(&row, "used_up_on", used_up->used_up_on);
    row_time(&row, "added_at", used_up->added_at);
    row_id(&row, "supersedes", used_up->supersedes);
    row_text(&row, "why", used_up->why);
    return row_add(&row, &used_up->id, failure);
}

static void
load_observation(struct statement *row, void *element)
{
    struct observation *observation = element;
    struct failure ignored = {0};

    *observation = (struct observation){.id = statement_id(row, 0),
                                        .session_id = statement_id(row, 1),
                                        .specimen_id = statement_id(row, 2),
                                        .word = statement_copy(row, 4),
                                        .value = statement_double(row, 5),
                                        .seen_at = statement_time(row, 6),
                                        .supersedes = statement_id(row, 7),
                                        .superseded_by = statement_id(row, 8),
                                        .why = statement_copy(row, 9)};
    observation_kind_parse(statement_word(row, 3), &observation->kind, &ignored);
}

static void
load_used_up(struct statement *row, void *element)
{
    struct used_up *used_up = element;

    *used_up = (struct used_up){.id = statement_id(row, 0),
                                .batch_id = statement_id(row, 1),
                                .bar = statement_name(row, 2),
                                .used_up_on = statement_day(row, 3),
                                .added_at = statement_time(row, 4),
                                .supersedes = statement_id(row, 5),
                                .superseded_by = statement_id(row, 6),
                                .why = statement_copy(row, 7)};
}

enum status
observation_store_of_batch(struct store *store, int64_t batch_id, struct observation **ret_observations,
                           size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_observation_of_batch, ":batch", batch_id,
                                   sizeof **ret_observations, load_observation, &array, ret_count, failure);

    *ret_observations = array;
    return status;
}

enum status
observation_store_of_session(struct store *store, int64_t session_id, struct observation **ret_observations,
                             size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_observation_of_session, ":session", session_id,
                                   sizeof **ret_observations, load_observation, &array, ret_count, failure);

    *ret_observations = array;
    return status;
}

enum status
used_up_store_of_batch(struct store *store, int64_t batch_id, struct used_up **ret_used_up, size_t *ret_count,
                       struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_bar_used_up_of_batch, ":batch", batch_id, sizeof **ret_used_up,
                                   load_used_up, &array, ret_count, failure);

    *ret_used_up = array;
    return status;
}
