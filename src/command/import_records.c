/* import_records.c - "import gear" and "import batches": what there must be before readings, from CSV files.
 *
 * Rules
 * (1) A row says what "gear add" or "batch add" would; the columns are named like the fields of the
 *     record.
 * (2) What is there under the same name is skipped when it says the same, and refused when it does not.
 * (3) A recipe is one field of lines like those of "batch add", as in "fat olive oil=500; lye
 *     naoh=64@98.5%; water water=200". */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_state.h"
#include "batch_store.h"
#include "commands.h"
#include "gear_store.h"
#include "import.h"
#include "memory.h"

static const struct option_spec options_known[] = {
    IMPORT_OPTIONS,
    {.name = NULL},
};

enum {
    NAME,
    KIND,
    RESOLUTION_PH,
    ACCURACY_PH,
    ATC,
    STEPS,
    READABILITY_G,
    RESOLUTION_C,
    ACCURACY_C,
    BUFFER,
    EXPIRES_ON,
    GEAR_NOTE
};
static const struct csv_column gear_columns[] = {
    [NAME] = {.name = "name", .need = CSV_VALUE},
    [KIND] = {.name = "kind", .need = CSV_VALUE},
    [RESOLUTION_PH] = {.name = "resolution_ph", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [ACCURACY_PH] = {.name = "accuracy_ph", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [ATC] = {.name = "atc", .need = CSV_OPTIONAL},
    [STEPS] = {.name = "steps", .need = CSV_OPTIONAL},
    [READABILITY_G] = {.name = "readability_g", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [RESOLUTION_C] = {.name = "resolution_c", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [ACCURACY_C] = {.name = "accuracy_c", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [BUFFER] = {.name = "buffer", .need = CSV_OPTIONAL},
    [EXPIRES_ON] = {.name = "expires_on", .need = CSV_OPTIONAL, .holds = CSV_TIME},
    [GEAR_NOTE] = {.name = "note", .need = CSV_OPTIONAL},
};

enum { CODE, TITLE, MADE_ON, ROLE, REFERENCE, PARENT, RECIPE, BATCH_NOTE };
static const struct csv_column batch_columns[] = {
    [CODE] = {.name = "batch", .need = CSV_VALUE},
    [TITLE] = {.name = "title", .need = CSV_OPTIONAL},
    [MADE_ON] = {.name = "made_on", .need = CSV_VALUE, .holds = CSV_TIME},
    [ROLE] = {.name = "role", .need = CSV_OPTIONAL},
    [REFERENCE] = {.name = "reference", .need = CSV_OPTIONAL},
    [PARENT] = {.name = "parent", .need = CSV_OPTIONAL},
    [RECIPE] = {.name = "recipe", .need = CSV_OPTIONAL},
    [BATCH_NOTE] = {.name = "note", .need = CSV_OPTIONAL},
};

/* A text field copied into a record. */
static enum status
copy_text(const struct csv_row *row, size_t column, char **ret_text, struct failure *failure)
{
    const char *text = NULL;
    enum status status = csv_in_text(row, column, &text, failure);

    if (status == STATUS_OK)
        *ret_text = memory_copy(text);
    return status;
}

static bool
same_text(const char *a, const char *b)
{
    return a == NULL || b == NULL ? a == b : strcmp(a, b) == 0;
}

static bool
same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

/* --- gear -------------------------------------------------------------------------------------------- */

static enum status
read_kind(const struct csv_row *row, struct gear *gear, struct failure *failure)
{
    const char *word = NULL;
    enum gear_kind kind = GEAR_METER;

    if (csv_in_text(row, KIND, &word, failure) != STATUS_OK)
        return failure->status;
    if (gear_kind_parse(word, &kind, failure) != STATUS_OK)
        return csv_row_at(row, KIND, failure);
    gear_init(gear, kind);
    return STATUS_OK;
}

static enum status
read_gear_numbers(const struct csv_row *row, struct gear *gear, struct failure *failure)
{
    struct {
        size_t column;
        double *number;
    } numbers[] = {{RESOLUTION_PH, &gear->resolution_ph},
                   {ACCURACY_PH, &gear->accuracy_ph},
                   {READABILITY_G, &gear->readability_g},
                   {RESOLUTION_C, &gear->resolution_c},
                   {ACCURACY_C, &gear->accuracy_c}};
    int64_t atc = 0;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < LENGTH(numbers); i++)
        status = csv_in_number(row, numbers[i].column, 0.0, 100.0, numbers[i].number, failure);
    if (status == STATUS_OK)
        status = csv_in_integer(row, ATC, 0, 1, 0, &atc, failure);
    gear->atc = atc == 1;
    return status;
}

static enum status
read_gear(const struct csv_row *row, struct gear *gear, struct failure *failure)
{
    const char *steps = NULL;
    enum status status = read_kind(row, gear, failure);

    if (status == STATUS_OK)
        status = copy_text(row, NAME, &gear->name, failure);
    if (status == STATUS_OK)
        status = read_gear_numbers(row, gear, failure);
    if (status == STATUS_OK)
        status = csv_in_text(row, STEPS, &steps, failure);
    if (status == STATUS_OK && steps != NULL && gear_parse_steps(gear, steps, failure) != STATUS_OK)
        return csv_row_at(row, STEPS, failure);
    if (status == STATUS_OK)
        status = copy_text(row, BUFFER, &gear->buffer, failure);
    if (status == STATUS_OK)
        status = csv_in_day(row, EXPIRES_ON, &gear->expires_on, failure);
    if (status == STATUS_OK)
        status = copy_text(row, GEAR_NOTE, &gear->note, failure);
    if (status == STATUS_OK && gear_check(gear, failure) != STATUS_OK)
        status = csv_row_at(row, NAME, failure);
    return status;
}

static bool
same_gear(const struct gear *a, const struct gear *b)
{
    char *steps_a = gear_steps_text(a), *steps_b = gear_steps_text(b);
    bool same = a->kind == b->kind && same_number(a->resolution_ph, b->resolution_ph) &&
                same_number(a->accuracy_ph, b->accuracy_ph) && a->atc == b->atc &&
                same_text(steps_a, steps_b) && same_number(a->readability_g, b->readability_g) &&
                same_number(a->resolution_c, b->resolution_c) && same_number(a->accuracy_c, b->accuracy_c) &&
                same_text(a->buffer, b->buffer) && a->expires_on == b->expires_on;

    free(steps_a);
    free(steps_b);
    return same;
}

static enum status
add_gear(struct import *import, const struct csv_row *row, struct gear *gear, struct failure *failure)
{
    struct store *store = import->context->store;
    struct gear there = {0};
    enum status status = gear_store_find(store, gear->kind, gear->name, &there, failure);

    if (status == STATUS_OK) {
        bool same = same_gear(gear, &there);

        gear_clear(&there);
        if (same) {
            import->skipped_rows++;
            return STATUS_OK;
        }
        failure_set(failure, STATUS_CONFLICT, "the notebook has '%.60s' with other values", gear->name);
        return csv_row_at(row, NAME, failure);
    }
    if (status == STATUS_SYSTEM)
        return status;
    *failure = (struct failure){0};
    gear->added_at = context_now(import->context);
    status = gear_store_add(store, gear, failure);
    if (status == STATUS_OK)
        import->added++;
    return status == STATUS_OK || status == STATUS_SYSTEM ? status : csv_row_at(row, NAME, failure);
}

static enum status
take_gear(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct gear gear = {0};
    enum status status = read_gear(row, &gear, failure);

    if (status == STATUS_OK)
        status = add_gear(payload, row, &gear, failure);
    gear_clear(&gear);
    return status;
}

/* --- batches ----------------------------------------------------------------------------------------- */

/* "fat olive oil=500": the kind is the first word. */
static enum status
read_recipe_line(struct batch *batch, char *text, struct failure *failure)
{
    struct recipe_line line;
    enum recipe_kind kind = RECIPE_FAT;
    char *rest;
    enum status status;

    text = text_trim(text);
    if (*text == '\0')
        return STATUS_OK;
    rest = text + strcspn(text, " ");
    if (*rest != '\0')
        *rest++ = '\0';
    status = recipe_kind_parse(text, &kind, failure);
    if (status == STATUS_OK)
        status = recipe_line_parse(kind, text_trim(rest), &line, failure);
    if (status == STATUS_OK)
        batch_add_line(batch, line);
    return status;
}

static enum status
read_recipe(const struct csv_row *row, struct batch *batch, struct failure *failure)
{
    const char *text = NULL;
    char *copy, *rest, *piece;
    enum status status = csv_in_text(row, RECIPE, &text, failure);

    if (status != STATUS_OK || text == NULL)
        return status;
    copy = rest = memory_copy(text);
    while (status == STATUS_OK && (piece = strsep(&rest, ";")) != NULL)
        status = read_recipe_line(batch, piece, failure);
    free(copy);
    return status == STATUS_OK ? status : csv_row_at(row, RECIPE, failure);
}

static enum status
read_batch(const struct import *import, const struct csv_row *row, struct batch *batch,
           struct failure *failure)
{
    const char *role = NULL;
    enum status status = copy_text(row, CODE, &batch->code, failure);

    if (status == STATUS_OK)
        status = copy_text(row, TITLE, &batch->title, failure);
    if (status == STATUS_OK)
        status = csv_in_day(row, MADE_ON, &batch->made_on, failure);
    if (status == STATUS_OK)
        status = csv_in_text(row, ROLE, &role, failure);
    if (status == STATUS_OK && role != NULL && batch_role_parse(role, &batch->role, failure) != STATUS_OK)
        return csv_row_at(row, ROLE, failure);
    if (status == STATUS_OK)
        status = copy_text(row, REFERENCE, &batch->reference_code, failure);
    if (status == STATUS_OK)
        status = copy_text(row, PARENT, &batch->parent_code, failure);
    if (status == STATUS_OK)
        status = copy_text(row, BATCH_NOTE, &batch->note, failure);
    if (status == STATUS_OK)
        status = read_recipe(row, batch, failure);
    if (status == STATUS_OK)
        status = import_recipe(import, row, batch, failure);
    if (status == STATUS_OK && batch_check(batch, context_today(import->context), failure) != STATUS_OK)
        status = csv_row_at(row, CODE, failure);
    return status;
}

static bool
same_code(const char *a, const char *b)
{
    return a == NULL || b == NULL ? a == b : text_same(a, b);
}

static bool
same_batch(const struct batch *a, const struct batch *b)
{
    bool same = a->made_on == b->made_on && a->role == b->role && same_text(a->title, b->title) &&
                same_code(a->reference_code, b->reference_code) &&
                same_code(a->parent_code, b->parent_code) && a->line_count == b->line_count;

    for (size_t i = 0; same && i < a->line_count; i++)
        same = a->lines[i].kind == b->lines[i].kind && same_text(a->lines[i].name, b->lines[i].name) &&
               same_number(a->lines[i].mass_g, b->lines[i].mass_g) &&
               same_number(a->lines[i].purity_fraction, b->lines[i].purity_fraction);
    return same;
}

static enum status
add_batch(struct import *import, const struct csv_row *row, struct batch *batch, struct failure *failure)
{
    struct store *store = import->context->store;
    struct batch there = {0};
    bool found = false;
    enum status status = batch_store_look(store, batch->code, &there, &found, failure);

    batch_clear(&there);
    if (status == STATUS_OK && found) {
        bool same;

        if (batch_store_find(store, batch->code, &there, failure) != STATUS_OK) /* with its recipe */
            return failure->status;
        same = same_batch(batch, &there);
        batch_clear(&there);
        if (same) {
            import->skipped_rows++;
            return STATUS_OK;
        }
        failure_set(failure, STATUS_CONFLICT, "the notebook has a batch '%.60s' with other values",
                    batch->code);
        return csv_row_at(row, CODE, failure);
    }
    if (status != STATUS_OK)
        return status;
    batch->added_at = context_now(import->context);
    status = batch_store_add(store, batch, failure);
    if (status == STATUS_OK) {
        import->added++;
        batch_codes_add(&import->batches, batch->code);
    }
    return status == STATUS_OK || status == STATUS_SYSTEM ? status : csv_row_at(row, CODE, failure);
}

static enum status
take_batch(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct batch batch = {.made_on = DAY_NONE};
    enum status status = read_batch(payload, row, &batch, failure);

    if (status == STATUS_OK)
        status = add_batch(payload, row, &batch, failure);
    batch_clear(&batch);
    return status;
}

/* --- both -------------------------------------------------------------------------------------------- */

/* The report, and the hold of a batch whose recipe has more lye than fat (conclusion.h, rule 5). */
static enum status
finish(void *payload, struct failure *failure)
{
    struct import *import = payload;

    import_report(import);
    return batch_state_after_results(import->context, (const char *const *)import->batches.codes,
                                     import->batches.count, (struct filed_sessions){0}, failure);
}

static enum status
run(struct context *context, const struct options *options, const struct import_kind *kind, csv_sink *sink,
    struct failure *failure)
{
    struct import import;
    enum status status = import_open(&import, context, options, kind, failure);

    if (status == STATUS_OK)
        status = import_run(&import, sink, finish, &import, failure);
    import_close(&import);
    return status;
}

static const struct import_kind gear_kind = {"gear",        "gear",        gear_columns, LENGTH(gear_columns),
                                             options_known, IMPORT_NO_MORE};
static const struct import_kind batch_kind = {
    "batches", "batches", batch_columns, LENGTH(batch_columns), options_known, IMPORT_RECIPE};

static enum status
run_gear(struct context *context, const struct options *options, struct failure *failure)
{
    return run(context, options, &gear_kind, take_gear, failure);
}

static enum status
run_batches(struct context *context, const struct options *options, struct failure *failure)
{
    return run(context, options, &batch_kind, take_batch, failure);
}

const struct command import_batches_command = {
    .name = "import batches",
    .names = "FILE",
    .fewest = 1,
    .most = 1,
    .summary = "add batches from a CSV file, all of them or none",
    .example = "curetrace import batches batches.csv --date-order dmy --dry-run",
    .options = options_known,
    .needs = COMMAND_WRITES_STORE,
    .run = run_batches,
};
const struct command import_gear_command = {
    .name = "import gear",
    .names = "FILE",
    .fewest = 1,
    .most = 1,
    .summary = "add meters, paper, balances, thermometers and bottles from a CSV file",
    .example = "curetrace import gear gear.csv",
    .options = options_known,
    .needs = COMMAND_WRITES_STORE,
    .run = run_gear,
};
