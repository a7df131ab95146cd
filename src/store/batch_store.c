/* batch_store.c - batches and their recipes in the notebook. */
#include "batch_store.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "row.h"
#include "rows.h"
#include "sql.h"
#include "text.h"

/* The texts of the first column. Given: free() each and the array. */
static enum status
codes_of(struct statement *statement, char ***ret_codes, size_t *ret_count, struct failure *failure)
{
    char **codes = NULL;
    size_t count = 0, capacity = 0;
    enum status status;
    bool row = false;

    while ((status = statement_step(statement, &row, failure)) == STATUS_OK && row) {
        codes = memory_room(codes, count, &capacity, sizeof *codes);
        codes[count++] = statement_name(statement, 0);
    }
    statement_done(statement);
    *ret_codes = codes;
    *ret_count = count;
    return status;
}

enum status
batch_store_of_meter(struct store *store, int64_t meter_id, civil_time since, char ***ret_codes,
                     size_t *ret_count, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_batch_of_meter, failure);

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":meter", meter_id);
    statement_bind_time(statement, ":since", since);
    return codes_of(statement, ret_codes, ret_count, failure);
}

/* The code of an unknown batch, and the nearest that is known. */
static enum status
unknown(struct store *store, const char *code, struct failure *failure)
{
    struct statement *codes = statement_open(store, sql_batch_codes, failure);
    char **known = NULL;
    const char *nearest;
    size_t count = 0;

    if (codes == NULL)
        return failure->status;
    codes_of(codes, &known, &count, failure);
    nearest = text_nearest(code, (const char *const *)known, count);
    if (nearest != NULL)
        failure_set(failure, STATUS_MISSING, "there is no batch '%.60s'; did you mean '%s'?", code, nearest);
    else if (count == 0)
        failure_set(failure, STATUS_MISSING,
                    "there is no batch '%.60s'; the notebook has none yet (batch add)", code);
    else
        failure_set(failure, STATUS_MISSING, "there is no batch '%.60s' (batch list shows them)", code);
    for (size_t i = 0; i < count; i++)
        free(known[i]);
    free(known);
    return STATUS_MISSING;
}

/* One row of batch_find or batch_list. */
static void
load(struct statement *row, struct batch *batch)
{
    struct failure ignored = {0}; /* CHECKs hold the words; a damaged one reads as the first */
    const char *state = statement_text(row, 11);

    *batch = (struct batch){.id = statement_id(row, 0),
                            .code = statement_name(row, 1),
                            .title = statement_copy(row, 2),
                            .made_on = statement_day(row, 3),
                            .reference_id = statement_id(row, 5),
                            .reference_code = statement_copy(row, 6),
                            .parent_id = statement_id(row, 7),
                            .parent_code = statement_copy(row, 8),
                            .note = statement_copy(row, 9),
                            .added_at = statement_time(row, 10)};
    batch_role_parse(statement_word(row, 4), &batch->role, &ignored);
    if (state != NULL)
        batch_state_parse(state, &batch->state, &ignored);
}

static enum status
load_lines(struct store *store, struct batch *batch, struct failure *failure)
{
    struct statement *lines = statement_open(store, sql_recipe_line_list, failure);
    struct failure ignored = {0};
    enum status status;
    bool row = false;

    if (lines == NULL)
        return failure->status;
    statement_bind_id(lines, ":batch", batch->id);
    while ((status = statement_step(lines, &row, failure)) == STATUS_OK && row) {
        struct recipe_line line = {.id = statement_id(lines, 0),
                                   .name = statement_name(lines, 2),
                                   .mass_g = statement_double(lines, 3),
                                   .purity_fraction = statement_double(lines, 4),
                                   .sv_min_mg_koh_per_g = statement_double(lines, 5),
                                   .sv_max_mg_koh_per_g = statement_double(lines, 6)};

        recipe_kind_parse(statement_word(lines, 1), &line.kind, &ignored);
        batch_add_line(batch, line);
    }
    statement_done(lines);
    return status;
}

/* *ret_found is false when there is no such batch. */
static enum status
find(struct store *store, const char *code, struct batch *ret_batch, bool *ret_found, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_batch_find, failure);
    enum status status;

    if (statement == NULL)
        return failure->status;
    statement_bind_text(statement, ":code", code);
    status = statement_step(statement, ret_found, failure);
    if (status == STATUS_OK && *ret_found)
        load(statement, ret_batch);
    statement_done(statement);
    return status;
}

enum status
batch_store_find(struct store *store, const char *code, struct batch *ret_batch, struct failure *failure)
{
    struct batch batch = {0};
    bool found = false;
    enum status status = find(store, code, &batch, &found, failure);

    if (status == STATUS_OK && !found)
        return unknown(store, code, failure);
    if (status == STATUS_OK)
        status = load_lines(store, &batch, failure);
    if (status != STATUS_OK) {
        batch_clear(&batch);
        return status;
    }
    *ret_batch = batch;
    return STATUS_OK;
}

enum status
batch_store_id(struct store *store, const char *code, int64_t *ret_id, struct failure *failure)
{
    struct batch batch = {0};
    bool found = false;
    enum status status = find(store, code, &batch, &found, failure);

    if (status == STATUS_OK && !found)
        status = unknown(store, code, failure);
    if (status == STATUS_OK)
        *ret_id = batch.id;
    batch_clear(&batch);
    return status;
}

static void
load_code(struct statement *row, void *element)
{
    char **code = element;

    *code = statement_name(row, 0);
}

enum status
batch_store_code(struct store *store, int64_t id, char **ret_code, struct failure *failure)
{
    return rows_find(store, sql_batch_code, "batch", id, ret_code, load_code, failure);
}

static enum status
add_line(struct store *store, int64_t batch_id, struct recipe_line *line, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "recipe_line");
    row_id(&row, "batch", batch_id);
    row_text(&row, "kind", recipe_kind_word(line->kind));
    row_text(&row, "name", line->name);
    row_number(&row, "mass_g", line->mass_g);
    row_number(&row, "purity_fraction", line->purity_fraction);
    row_number(&row, "sv_min_mg_koh_per_g", line->sv_min_mg_koh_per_g);
    row_number(&row, "sv_max_mg_koh_per_g", line->sv_max_mg_koh_per_g);
    return row_add(&row, &line->id, failure);
}

static enum status
add_row(struct store *store, struct batch *batch, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "batch");
    row_text(&row, "code", batch->code);
    row_text(&row, "title", batch->title);
    row_day(&row, "made_on", batch->made_on);
    row_text(&row, "role", batch_role_word(batch->role));
    row_id(&row, "reference", batch->reference_id);
    row_id(&row, "parent", batch->parent_id);
    row_text(&row, "note", batch->note);
    row_time(&row, "added_at", batch->added_at);
    return row_add(&row, &batch->id, failure);
}

static enum status
add(struct store *store, struct batch *batch, struct failure *failure)
{
    struct batch same = {0};
    bool taken = false;
    enum status status = find(store, batch->code, &same, &taken, failure);

    if (status == STATUS_OK && taken)
        status =
            failure_set(failure, STATUS_CONFLICT, "there is a batch '%s' already; codes are unique%s",
                        same.code, strcmp(same.code, batch->code) == 0 ? "" : ", upper and lower case alike");
    batch_clear(&same);
    if (status == STATUS_OK && batch->reference_code != NULL)
        status = batch_store_id(store, batch->reference_code, &batch->reference_id, failure);
    if (status == STATUS_OK && batch->parent_code != NULL)
        status = batch_store_id(store, batch->parent_code, &batch->parent_id, failure);
    if (status == STATUS_OK)
        status = add_row(store, batch, failure);
    for (size_t i = 0; status == STATUS_OK && i < batch->line_count; i++)
        status = add_line(store, batch->id, &batch->lines[i], failure);
    return status;
}

enum status
batch_store_add(struct store *store, struct batch *batch, struct failure *failure)
{
    enum status status = store_begin(store, failure);

    if (status != STATUS_OK)
        return status;
    return store_end(store, add(store, batch, failure), failure);
}

enum status
batch_store_list(struct store *store, batch_sink sink, void *payload, struct failure *failure)
{
    struct statement *list = statement_open(store, sql_batch_list, failure);
    enum status status;
    bool row = false;

    if (list == NULL)
        return failure->status;
    while ((status = statement_step(list, &row, failure)) == STATUS_OK && row) {
        struct batch batch = {0};

        load(list, &batch);
        status = sink(&batch, payload, failure);
        batch_clear(&batch);
        if (status != STATUS_OK)
            break;
    }
    statement_done(list);
    return status;
}
