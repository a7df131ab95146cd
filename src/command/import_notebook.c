/* import_notebook.c - "import notebook": an empty notebook made equal to the one that was exported (export.c).
 *
 * Rules
 * (1) All of it goes in or nothing does; all problems of a file are listed.
 * (2) Nothing is taken unseen: every file has as many rows as contents.csv says, every row is what journal.csv says, whose
 *     entries follow one another and end with the seal; times and days are such, and every record passes the checks of a
 *     typed one.
 * (3) An export of an earlier version has no contents.csv; then its seal is not known, and that is said.
 * (4) The journal is not taken over: the new notebook logs what it takes in as its own writes. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "batch_store.h"
#include "commands.h"
#include "csv_in.h"
#include "dossier_store.h"
#include "file.h"
#include "gear_store.h"
#include "journal.h"
#include "memory.h"
#include "seal.h"
#include "table_store.h"
#include "titration.h"

static const struct option_spec notebook_options[] = {CSV_OPTIONS, {.name = NULL}};

struct taking {
    struct store *store;      /* lent */
    const char *folder;       /* lent */
    struct csv_manner manner; /* as the export was told */
    size_t table;             /* the one being read */
    struct table_column columns[TABLE_COLUMNS_MOST];
    size_t column_count;
    size_t rows[TABLES_MOST + 1]; /* of each table, the journal last */
    struct table_witness witness;
    bool sealed; /* contents.csv was there, and says of the journal: */
    int64_t entries;
    char seal[SEAL_TEXT_SIZE];
    struct problems problems;
};

/* --- a file -------------------------------------------------------------------------------------------- */

static enum status
take_text(const struct csv_row *row, size_t column, struct table_value *value, struct failure *failure)
{
    const char *field = row->fields[column];

    value->text = "";
    if (field != NULL && strcmp(field, "'") == 0) /* export.c, rule 2 */
        return STATUS_OK;
    if (csv_in_text(row, column, &value->text, failure) != STATUS_OK)
        return failure->status;
    value->null = value->text == NULL;
    value->length = value->null ? 0 : strlen(value->text);
    return STATUS_OK;
}

static bool
ends_with(const char *name, const char *end)
{
    size_t length = strlen(name), tail = strlen(end);

    return length >= tail && strcmp(name + length - tail, end) == 0;
}

/* Times and days are told by the names of their columns. */
static enum status
check_time(const struct csv_row *row, size_t column, const char *text, struct failure *failure)
{
    const char *name = row->columns[column].name;
    civil_time moment;
    civil_day day;
    enum status status = STATUS_OK;

    if (strcmp(name, "at") == 0 || ends_with(name, "_at"))
        status = clock_parse_moment(text, &moment, failure);
    else if (ends_with(name, "_on"))
        status = clock_parse_day(text, &day, failure);
    return status == STATUS_OK ? status : csv_row_at(row, column, failure);
}

static enum status
take_value(const struct csv_row *row, size_t column, enum table_type type, struct table_value *value,
           struct failure *failure)
{
    const char *field = row->fields[column];
    const int64_t most = INT64_C(1) << 53;
    enum status status;

    *value = (struct table_value){.type = type, .null = field == NULL || field[0] == '\0'};
    if (value->null)
        return STATUS_OK;
    if (type == TABLE_INTEGER)
        return csv_in_integer(row, column, -most, most, 0, &value->integer, failure);
    if (type == TABLE_REAL)
        return csv_in_number(row, column, -1e308, 1e308, &value->real, failure);
    status = take_text(row, column, value, failure);
    return status == STATUS_OK && !value->null ? check_time(row, column, value->text, failure) : status;
}

/* All that is wrong with a row is noted; *ret_good tells whether nothing is. */
static void
take_values(struct taking *taking, const struct csv_row *row, struct table_value *values, bool *ret_good)
{
    *ret_good = true;
    for (size_t i = 0; i < taking->column_count; i++) {
        struct failure failure = {0};

        if (take_value(row, i, taking->columns[i].type, &values[i], &failure) == STATUS_OK)
            continue;
        problems_add(&taking->problems, &failure);
        *ret_good = false;
    }
}

static enum status
take_row(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct taking *taking = payload;
    struct table_value values[TABLE_COLUMNS_MOST];
    enum status status = STATUS_OK;
    bool good;

    take_values(taking, row, values, &good);
    taking->rows[taking->table]++;
    if (good && taking->table < table_store_count())
        status = table_store_add(taking->store, taking->table, values, taking->column_count, failure);
    else if (good)
        status = table_store_witness(taking->store, &taking->witness, values, failure);
    return status == STATUS_OK || status == STATUS_SYSTEM ? status : csv_row_at(row, 0, failure);
}

static enum status
read_file(struct taking *taking, const char *name, const struct csv_column *wanted, size_t count,
          bool may_be_missing, csv_sink *sink, struct failure *failure)
{
    struct csv_layout layout = {.columns = wanted,
                                .columns_length = count,
                                .separator = taking->manner.separator,
                                .decimal = taking->manner.decimal_comma ? NUMBER_COMMA : NUMBER_POINT};
    char *path = text_format("%s/%s.csv", taking->folder, name);
    FILE *file = fopen(path, "rb");
    enum status status;

    if (file == NULL && errno == ENOENT && may_be_missing) {
        status = STATUS_OK;
    } else if (file == NULL) {
        status = failure_set(failure, STATUS_MISSING, "cannot open '%s': %s", path, strerror(errno));
    } else {
        status = csv_in_read(file, path, &layout, sink, taking, &taking->problems, failure);
        fclose(file);
    }
    free(path);
    return status;
}

static enum status
read_table(struct taking *taking, size_t table, struct failure *failure)
{
    struct csv_column wanted[TABLE_COLUMNS_MOST];

    taking->table = table;
    if (table_store_columns(taking->store, table, taking->columns, &taking->column_count, failure) !=
        STATUS_OK)
        return failure->status;
    for (size_t i = 0; i < taking->column_count;
         i++) /* a column, or a table, may have come with a later version */
        wanted[i] =
            (struct csv_column){.name = taking->columns[i].name, .need = i == 0 ? CSV_VALUE : CSV_OPTIONAL};
    return read_file(taking, table_store_name(table), wanted, taking->column_count,
                     table < table_store_count(), take_row, failure);
}

/* --- is it whole? ---------------------------------------------------------------------------------------- */

enum { TABLE, ROWS, SEAL };
static const struct csv_column contents_columns[] = {[TABLE] = {.name = "table", .need = CSV_VALUE},
                                                     [ROWS] = {.name = "rows", .need = CSV_VALUE},
                                                     [SEAL] = {.name = "seal", .need = CSV_COLUMN}};

static enum status
check_contents(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct taking *taking = payload;
    const char *name = NULL, *seal = NULL;
    int64_t rows = 0;
    size_t table = 0;

    if (csv_in_text(row, TABLE, &name, failure) != STATUS_OK ||
        csv_in_integer(row, ROWS, 0, INT64_C(1) << 53, 0, &rows, failure) != STATUS_OK ||
        csv_in_text(row, SEAL, &seal, failure) != STATUS_OK)
        return failure->status;
    while (table <= table_store_count() && strcmp(table_store_name(table), name) != 0)
        table++;
    if (table > table_store_count()) {
        failure_set(failure, STATUS_FORMAT, "there is no table '%.40s'", name);
        return csv_row_at(row, TABLE, failure);
    }
    if (table == table_store_count()) /* looked at when its rows are */
        taking->entries = rows;
    else if ((int64_t)taking->rows[table] != rows) {
        failure_set(failure, STATUS_CONFLICT, "%s.csv has %zu rows, not %lld: it was cut or changed", name,
                    taking->rows[table], (long long)rows);
        return csv_row_at(row, ROWS, failure);
    }
    if (seal != NULL && seal_parse(seal, taking->seal, failure) != STATUS_OK)
        return csv_row_at(row, SEAL, failure);
    return STATUS_OK;
}

/* Rule 3. */
static enum status
read_contents(struct taking *taking, struct failure *failure)
{
    char *path = file_join(taking->folder, "contents.csv");

    taking->sealed = file_exists(path);
    free(path);
    return taking->sealed ? read_file(taking, "contents", contents_columns, LENGTH(contents_columns), false,
                                      check_contents, failure)
                          : STATUS_OK;
}

/* What contents.csv says of the journal. */
static enum status
check_seal(const struct taking *taking, struct failure *failure)
{
    char found[SEAL_TEXT_SIZE];

    if (!taking->sealed)
        return STATUS_OK;
    if (taking->entries != taking->witness.entries)
        return failure_set(failure, STATUS_CONFLICT,
                           "journal.csv has %lld rows, contents.csv says %lld: it was cut or changed",
                           (long long)taking->witness.entries, (long long)taking->entries);
    if (taking->entries > 0 && strcmp(seal_text(taking->witness.head, found), taking->seal) != 0)
        return failure_set(failure, STATUS_CONFLICT,
                           "the seal of journal.csv is %s, contents.csv says %s: it was changed", found,
                           taking->seal);
    return STATUS_OK;
}

/* --- is it what could have been typed? ------------------------------------------------------------------- */

static enum status
check_dossier(const struct dossier *dossier, civil_day today, struct failure *failure)
{
    enum status status = batch_check(&dossier->batch, today, failure);

    for (size_t i = 0; status == STATUS_OK && i < dossier->reading_count; i++)
        status = reading_check(&dossier->readings[i], failure);
    for (size_t i = 0; status == STATUS_OK && i < dossier->titration_count; i++)
        status = titration_check(&dossier->titrations[i], failure);
    return status == STATUS_OK ? status : failure_at(failure, "batch '%.60s': ", dossier->batch.code);
}

struct checking {
    struct store *store;
    civil_day today;
};

static enum status
check_batch(const struct batch *batch, void *payload, struct failure *failure)
{
    struct checking *checking = payload;
    struct dossier dossier = {0};
    enum status status = dossier_store_load_of_many(checking->store, batch->code, &dossier, failure);

    if (status == STATUS_OK)
        status = check_dossier(&dossier, checking->today, failure);
    dossier_clear(&dossier);
    return status;
}

static enum status
check_records(struct store *store, civil_day today, struct failure *failure)
{
    struct checking checking = {store, today};
    struct gear *gear = NULL;
    size_t count = 0;
    enum status status = gear_store_list(store, &gear, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK) {
            status = gear_check(&gear[i], failure);
            if (status != STATUS_OK)
                failure_at(failure, "gear '%.60s': ", gear[i].name);
        }
        gear_clear(&gear[i]);
    }
    free(gear);
    return status == STATUS_OK ? batch_store_list(store, check_batch, &checking, failure) : status;
}

/* --- all of it ------------------------------------------------------------------------------------------- */

static enum status
read_all(struct taking *taking, civil_day today, struct failure *failure)
{
    bool empty = false;
    enum status status = table_store_empty(taking->store, &empty, failure);

    if (status == STATUS_OK && !empty)
        return failure_set(
            failure, STATUS_CONFLICT,
            "a whole notebook is imported into an empty one only (--notebook FILE names a new one)");
    for (size_t table = 0; status == STATUS_OK && table < table_store_count(); table++)
        status = read_table(taking, table, failure);
    if (status == STATUS_OK)
        status = read_contents(taking, failure);
    if (status == STATUS_OK)
        status = table_store_check_names(taking->store, failure);
    if (status == STATUS_OK)
        status = read_table(taking, table_store_count(), failure);
    if (status == STATUS_OK)
        status = table_store_witnessed(&taking->witness, taking->rows, failure);
    if (status == STATUS_OK)
        status = check_seal(taking, failure);
    return status == STATUS_OK ? check_records(taking->store, today, failure) : status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct taking taking = {
        .store = context->store, .folder = options_name(options, 0), .manner = context->csv};
    size_t rows = 0;
    enum status status = table_store_begin(context->store, failure);

    if (status != STATUS_OK)
        return status;
    status = read_all(&taking, context_today(context), failure);
    status = table_store_end(context->store, status, failure);
    if (taking.problems.count > 1)
        problems_print(&taking.problems, context->err);
    problems_clear(&taking.problems);
    if (status != STATUS_OK)
        return status;
    for (size_t table = 0; table < table_store_count(); table++)
        rows += taking.rows[table];
    fprintf(context->out, "%zu rows in %zu tables\n", rows, table_store_count());
    if (!taking.sealed)
        fputs("an export of an earlier version, without contents.csv: whether it was cut at its end is not "
              "known\n",
              context->out);
    context_next(context, "verify", NULL);
    return STATUS_OK;
}

const struct command import_notebook_command = {
    .name = "import notebook",
    .names = "FOLDER",
    .fewest = 1,
    .most = 1,
    .summary = "make an empty notebook equal to the one that was exported to a folder",
    .example = "curetrace import notebook notebook-csv --notebook copy.sqlite",
    .options = notebook_options,
    .needs = COMMAND_WRITES_STORE,
    .run = run,
};
