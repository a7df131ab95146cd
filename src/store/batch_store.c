/* batch_store.c - batches and their recipes in the notebook. */
#include "batch_store.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "row.h"
#include "rows.h"
#include "sql.h"
#include "text.h"

/* The codes of rows of number and code. Given: free() each and the array. */
static enum status
codes_of(struct statement *statement, char ***ret_codes, size_t *ret_count, struct failure *failure)
{
    char **codes = NULL;
    size_t count = 0, capacity = 0;
    enum status status;
    bool row = false;

    while ((status = statement_step(statement, &row, failure)) == STATUS_OK && row) {
        codes = memory_room(codes, count, &capacity, sizeof *codes);
        codes[count++] = statement_name(statement, 1);
    }
    statement_done(statement);
    *ret_codes = codes;
    *ret_count = count;
    return status;
}

enum status
batch_store_of_gear(struct store *store, int64_t gear_id, civil_time since, char ***ret_codes,
                    size_t *ret_count, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_batch_of_gear, failure);

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":gear", gear_id);
    statement_bind_time(statement, ":since", since);
    return codes_of(statement, ret_codes, ret_count, failure);
}

enum status
batch_store_referring(struct store *store, const char *code, char ***ret_codes, size_t *ret_count,
                      struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_batch_referring, failure);

    if (statement == NULL)
        return failure->status;
    statement_bind_text(statement, ":code", code);
    return codes_of(statement, ret_codes, ret_count, failure);
}

enum status
batch_store_of_sessions(struct store *store, int64_t first_session, char ***ret_codes, size_t *ret_count,
                        struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_batch_of_portions, failure);

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":first", first_session);
    return codes_of(statement, ret_codes, ret_count, failure);
}

enum status
batch_store_of_portion(struct store *store, int64_t specimen_id, char **ret_code, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_batch_of_portions, failure);
    enum status status;
    bool row = false;

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":portion", specimen_id);
    status = statement_step(statement, &row, failure);
    if (status == STATUS_OK && !row)
        status =
            failure_set(failure, STATUS_MISSING, "there is no portion number %lld", (long long)specimen_id);
    if (status == STATUS_OK)
        *ret_code = statement_name(statement, 1);
    statement_done(statement);
    return status;
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

static void
load_line(struct statement *row, void *element)
{
    struct recipe_line *line = element;
    struct failure ignored = {0};

    *line = (struct recipe_line){.id = statement_id(row, 0),
                                 .name = statement_name(row, 2),
                                 .mass_g = statement_double(row, 3),
                                 .purity_fraction = statement_double(row, 4),
                                 .sv_min_mg_koh_per_g = statement_double(row, 5),
                                 .sv_max_mg_koh_per_g = statement_double(row, 6)};
    recipe_kind_parse(statement_word(row, 1), &line->kind, &ignored);
}

static enum status
load_lines(struct store *store, struct batch *batch, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_recipe_line_list, ":batch", batch->id, sizeof *batch->lines,
                                   load_line, &array, &batch->line_count, failure);

    batch->lines = array;
    return status;
}

enum status
batch_store_look(struct store *store, const char *code, struct batch *ret_batch, bool *ret_found,
                 struct failure *failure)
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
    enum status status = batch_store_look(store, code, &batch, &found, failure);

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
    enum status status = batch_store_look(store, code, &batch, &found, failure);

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

    *code = statement_name(row, 1);
}

enum status
batch_store_code(struct store *store, int64_t id, char **ret_code, struct failure *failure)
{
    return rows_find(store, sql_batch_code, "batch", id, ret_code, load_code, failure);
}

static enum status
add_line(struct store *store, int64_t batch_id, int64_t revision_id, struct recipe_line *line,
         struct failure *failure)
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
    row_id(&row, "revision", revision_id);
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
    enum status status = batch_store_look(store, batch->code, &same, &taken, failure);

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
        status = add_line(store, batch->id, 0, &batch->lines[i], failure);
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

static enum status
revise(struct store *store, int64_t batch_id, struct recipe_line *lines, size_t line_count, const char *why,
       civil_time added_at, struct failure *failure)
{
    struct row row;
    int64_t id = 0;
    enum status status;

    row_start(&row, store, "recipe_revision");
    row_id(&row, "batch", batch_id);
    row_text(&row, "why", why);
    row_time(&row, "added_at", added_at);
    status = row_add(&row, &id, failure);
    for (size_t i = 0; status == STATUS_OK && i < line_count; i++)
        status = add_line(store, batch_id, id, &lines[i], failure);
    return status;
}

enum status
batch_store_revise(struct store *store, int64_t batch_id, struct recipe_line *lines, size_t line_count,
                   const char *why, civil_time added_at, struct failure *failure)
{
    enum status status = store_begin(store, failure);

    if (status != STATUS_OK)
        return status;
    return store_end(store, revise(store, batch_id, lines, line_count, why, added_at, failure), failure);
}

static void
load_revision(struct statement *row, void *element)
{
    struct recipe_revision *revision = element;

    *revision = (struct recipe_revision){
        .id = statement_id(row, 0), .why = statement_name(row, 1), .added_at = statement_time(row, 2)};
}

static enum status
load_revision_lines(struct store *store, int64_t batch_id, struct recipe_revision *revision,
                    struct failure *failure)
{
    struct statement *list = statement_open(store, sql_recipe_line_of_revision, failure);
    size_t capacity = 0;
    enum status status;
    bool row = false;

    if (list == NULL)
        return failure->status;
    statement_bind_id(list, ":batch", batch_id);
    statement_bind_id(list, ":revision", revision->id);
    while ((status = statement_step(list, &row, failure)) == STATUS_OK && row) {
        revision->lines =
            memory_room(revision->lines, revision->line_count, &capacity, sizeof *revision->lines);
        load_line(list, &revision->lines[revision->line_count++]);
    }
    statement_done(list);
    return status;
}

enum status
batch_store_revisions(struct store *store, int64_t batch_id, struct recipe_revision **ret_revisions,
                      size_t *ret_count, struct failure *failure)
{
    struct recipe_revision *revisions;
    void *later = NULL;
    size_t count = 0;
    enum status status = rows_list(store, sql_recipe_revision_of_batch, ":batch", batch_id, sizeof *revisions,
                                   load_revision, &later, &count, failure);

    *ret_revisions = later;
    *ret_count = count;
    if (status != STATUS_OK || count == 0)
        return status;
    revisions = memory_resize(later, count + 1, sizeof *revisions);
    memmove(&revisions[1], revisions, count * sizeof *revisions);
    revisions[0] = (struct recipe_revision){.added_at = MOMENT_NONE};
    *ret_revisions = revisions;
    *ret_count = count + 1;
    for (size_t i = 0; status == STATUS_OK && i <= count; i++)
        status = load_revision_lines(store, batch_id, &revisions[i], failure);
    return status;
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
