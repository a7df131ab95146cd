/* follow_store.c - what follows a test: titrations, states, plans, and the maker's settings. */
#include "follow_store.h"

#include <stdlib.h>
#include <string.h>

#include "row.h"
#include "rows.h"
#include "sql.h"

enum status
titration_store_add(struct store *store, struct titration *titration, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "titration");
    row_id(&row, "batch", titration->batch_id);
    row_id(&row, "session", titration->session_id);
    row_integer(&row, "replicate", titration->replicate);
    row_number(&row, "soap_mass_g", titration->soap_mass_g);
    row_number(&row, "acid_mol_per_l", titration->acid_mol_per_l);
    row_number(&row, "u_acid_relative", titration->u_acid_relative);
    row_number(&row, "volume_ml", titration->volume_ml);
    row_number(&row, "blank_ml", titration->blank_ml);
    row_number(&row, "burette_ml", titration->burette_ml);
    row_id(&row, "balance", titration->balance_id);
    row_text(&row, "method", titration->method);
    row_time(&row, "taken_at", titration->taken_at);
    row_id(&row, "supersedes", titration->supersedes);
    row_text(&row, "why", titration->why);
    row_text(&row, "note", titration->note);
    row_text(&row, "bar", titration->bar);
    row_text(&row, "read_by", titration->by);
    if (titration->withdrawn)
        row_integer(&row, "withdrawn", 1);
    if (titration->acid_weighed)
        row_integer(&row, "acid_weighed", 1);
    return row_add(&row, &titration->id, failure);
}

enum status
state_change_store_add(struct store *store, struct state_change *change, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "state_change");
    row_id(&row, "batch", change->batch_id);
    row_text(&row, "state", batch_state_word(change->state));
    row_time(&row, "at", change->at);
    row_text(&row, "why", change->why);
    row_text(&row, "evidence", change->evidence);
    row_integer(&row, "overridden", change->overridden ? 1 : 0);
    row_integer(&row, "automatic", change->automatic ? 1 : 0);
    change->rule = STATE_RULE_NOW;
    row_integer(&row, "rule", change->rule);
    if (change->since_at != 0 && change->since_at != change->at)
        row_time(&row, "since_at", change->since_at);
    return row_add(&row, &change->id, failure);
}

enum status
batch_close_store_add(struct store *store, struct batch_close *close, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "batch_close");
    row_id(&row, "batch", close->batch_id);
    if (close->end != BATCH_NOT_CLOSED)
        row_text(&row, "reason", batch_end_word(close->end));
    row_day(&row, "closed_on", close->closed_on);
    row_time(&row, "added_at", close->added_at);
    row_id(&row, "supersedes", close->supersedes);
    row_text(&row, "why", close->why);
    return row_add(&row, &close->id, failure);
}

enum status
batch_close_store_find(struct store *store, int64_t batch_id, struct batch_close *ret_close,
                       struct failure *failure)
{
    struct statement *find = statement_open(store, sql_batch_close_of_batch, failure);
    struct failure ignored = {0};
    enum status status;
    bool row = false;

    if (find == NULL)
        return failure->status;
    statement_bind_id(find, ":batch", batch_id);
    status = statement_step(find, &row, failure);
    *ret_close = (struct batch_close){.batch_id = batch_id, .closed_on = DAY_NONE};
    if (status == STATUS_OK && row) {
        ret_close->id = statement_id(find, 0);
        if (statement_text(find, 1) != NULL)
            batch_end_parse(statement_text(find, 1), &ret_close->end, &ignored);
        ret_close->closed_on = statement_day(find, 2);
        ret_close->added_at = statement_time(find, 3);
        ret_close->supersedes = statement_id(find, 4);
        ret_close->why = statement_copy(find, 5);
    }
    statement_done(find);
    return status;
}

enum status
plan_entry_store_add(struct store *store, struct plan_entry *entry, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "plan_entry");
    row_id(&row, "batch", entry->batch_id);
    row_day(&row, "due_on", entry->due_on);
    row_text(&row, "what", entry->what);
    row_text(&row, "why", entry->why);
    row_time(&row, "added_at", entry->added_at);
    return row_add(&row, &entry->id, failure);
}

enum status
plan_entry_store_drop(struct store *store, int64_t id, civil_time at, const char *why,
                      struct failure *failure)
{
    struct row row;
    int64_t drop_id;

    row_start(&row, store, "plan_drop");
    row_id(&row, "plan_entry", id);
    row_time(&row, "at", at);
    row_text(&row, "why", why);
    return row_add(&row, &drop_id, failure);
}

static void
load_titration(struct statement *row, void *element)
{
    struct titration *titration = element;

    titration_init(titration);
    titration->id = statement_id(row, 0);
    titration->batch_id = statement_id(row, 1);
    titration->session_id = statement_id(row, 2);
    titration->replicate = (int)statement_int(row, 3);
    titration->soap_mass_g = statement_double(row, 4);
    titration->acid_mol_per_l = statement_double(row, 5);
    titration->u_acid_relative = statement_double(row, 6);
    titration->volume_ml = statement_double(row, 7);
    titration->blank_ml = statement_double(row, 8);
    titration->burette_ml = statement_double(row, 9);
    titration->balance_id = statement_id(row, 10);
    titration->method = statement_copy(row, 11);
    titration->taken_at = statement_time(row, 12);
    titration->supersedes = statement_id(row, 13);
    titration->superseded_by = statement_id(row, 14);
    titration->why = statement_copy(row, 15);
    titration->note = statement_copy(row, 16);
    titration->bar = statement_copy(row, 17);
    titration->by = statement_copy(row, 20);
    titration->withdrawn = statement_int(row, 18) != 0;
    titration->acid_weighed = statement_int(row, 19) != 0;
}

static void
load_state_change(struct statement *row, void *element)
{
    struct state_change *change = element;
    struct failure ignored = {0};

    *change = (struct state_change){.id = statement_id(row, 0),
                                    .batch_id = statement_id(row, 1),
                                    .at = statement_time(row, 3),
                                    .since_at = statement_is_null(row, 9) ? 0 : statement_time(row, 9),
                                    .why = statement_name(row, 4),
                                    .evidence = statement_copy(row, 5),
                                    .overridden = statement_int(row, 6) != 0,
                                    .automatic = statement_int(row, 7) != 0,
                                    .rule = statement_is_null(row, 8) ? 1 : (int)statement_int(row, 8)};
    batch_state_parse(statement_word(row, 2), &change->state, &ignored);
}

static void
load_plan_entry(struct statement *row, void *element)
{
    struct plan_entry *entry = element;

    *entry = (struct plan_entry){.id = statement_id(row, 0),
                                 .batch_id = statement_id(row, 1),
                                 .due_on = statement_day(row, 2),
                                 .what = statement_name(row, 3),
                                 .why = statement_copy(row, 4),
                                 .added_at = statement_time(row, 5),
                                 .dropped = statement_int(row, 6) != 0};
}

enum status
titration_store_of_batch(struct store *store, int64_t batch_id, struct titration **ret_titrations,
                         size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_titration_of_batch, ":batch", batch_id, sizeof **ret_titrations,
                                   load_titration, &array, ret_count, failure);

    *ret_titrations = array;
    return status;
}

enum status
state_change_store_of_batch(struct store *store, int64_t batch_id, struct state_change **ret_changes,
                            size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_state_change_of_batch, ":batch", batch_id, sizeof **ret_changes,
                                   load_state_change, &array, ret_count, failure);

    *ret_changes = array;
    return status;
}

enum status
plan_entry_store_of_batch(struct store *store, int64_t batch_id, struct plan_entry **ret_entries,
                          size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_plan_entry_of_batch, ":batch", batch_id, sizeof **ret_entries,
                                   load_plan_entry, &array, ret_count, failure);

    *ret_entries = array;
    return status;
}

enum status
setting_store_find(struct store *store, const char *name, char **ret_value, struct failure *failure)
{
    struct statement *find = statement_open(store, sql_setting_find, failure);
    enum status status;
    bool row = false;

    if (find == NULL)
        return failure->status;
    statement_bind_text(find, ":name", name);
    status = statement_step(find, &row, failure);
    if (status == STATUS_OK)
        *ret_value = row ? statement_name(find, 0) : NULL;
    statement_done(find);
    return status;
}

enum status
setting_store_set(struct store *store, const char *name, const char *value, civil_time at, const char *why,
                  struct failure *failure)
{
    struct row row;
    int64_t id;

    row_start(&row, store, "setting");
    row_text(&row, "name", name);
    row_text(&row, "value", value);
    row_time(&row, "at", at);
    row_text(&row, "why", why);
    return row_add(&row, &id, failure);
}

enum status
setting_store_names(struct store *store, const char *beginning, struct text *names, struct failure *failure)
{
    struct statement *find = statement_open(store, sql_setting_names, failure);
    enum status status;
    bool row = false;

    if (find == NULL)
        return failure->status;
    statement_bind_text(find, ":beginning", beginning);
    while ((status = statement_step(find, &row, failure)) == STATUS_OK && row) {
        char *name = statement_name(find, 0);

        text_addf(names, "%s%s", names->length == 0 ? "" : ", ", name + strlen(beginning));
        free(name);
    }
    statement_done(find);
    return status;
}
