/* export.c - "export": everything in the notebook as CSV files. import_notebook.c is the way back.
 *
 * Rules
 * (1) One file a table, named after it, with all columns in table order and all rows by number. A notebook
 *     made from such files exports the same files again, byte for byte.
 * (2) Nothing is an empty field, an empty text a single apostrophe, and a text that a spreadsheet would
 *     take for a formula has an apostrophe in front (csv_out.h, rule 4).
 * (3) journal.csv is for the record. It is not imported: the new notebook logs what it takes in as its own
 *     writes.
 * (4) contents.csv says how many rows each file has and gives the seal of the journal, so that an export that was cut or
 *     changed shows.
 * (5) The folder is written beside its place and takes it as a whole: never part of one export and part of another. */
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "commands.h"
#include "csv_out.h"
#include "file.h"
#include "interrupt.h"
#include "journal.h"
#include "memory.h"
#include "seal.h"
#include "table_store.h"
#include "text.h"

static const struct option_spec export_options[] = {
    CSV_OPTIONS,
    {.name = "force", .kind = OPTION_FLAG, .help = "replace an earlier export in that folder, as a whole"},
    {.name = NULL},
};

static char *
file_of(const char *folder, size_t table)
{
    return text_format("%s/%s.csv", folder, table_store_name(table));
}

/* --- out --------------------------------------------------------------------------------------------- */

struct writing {
    struct csv_out out;
    size_t rows;
};

static enum status
write_row(const struct table_value *values, size_t count, void *payload, struct failure *failure)
{
    struct writing *writing = payload;

    if (writing->rows % 4096 == 0 && interrupt_waits())
        return failure_set(failure, STATUS_SYSTEM, "interrupted; nothing was exported");
    for (size_t i = 0; i < count; i++) {
        if (values[i].null)
            csv_out_text(&writing->out, NULL);
        else if (values[i].type == TABLE_INTEGER)
            csv_out_integer(&writing->out, values[i].integer);
        else if (values[i].type == TABLE_REAL)
            csv_out_number(&writing->out, values[i].real);
        else if (values[i].text == NULL || values[i].text[0] == '\0')
            csv_out_empty_text(&writing->out);
        else
            csv_out_text(&writing->out, values[i].text);
    }
    csv_out_end_row(&writing->out);
    writing->rows++;
    return STATUS_OK;
}

static enum status
write_rows(struct store *store, size_t table, struct csv_manner manner, const char *path, FILE *file,
           size_t *ret_rows, struct failure *failure)
{
    struct table_column columns[TABLE_COLUMNS_MOST];
    const char *names[TABLE_COLUMNS_MOST];
    struct writing writing = {0};
    size_t count = 0;
    enum status status = table_store_columns(store, table, columns, &count, failure);

    if (status != STATUS_OK)
        return status;
    for (size_t i = 0; i < count; i++)
        names[i] = columns[i].name;
    csv_out_start(&writing.out, file, manner);
    csv_out_heading(&writing.out, names, count);
    status = table_store_read(store, table, write_row, &writing, failure);
    if (status == STATUS_OK)
        status = csv_out_finish(&writing.out, path, failure);
    *ret_rows = writing.rows;
    return status;
}

static enum status
write_table(struct store *store, const char *folder, size_t table, struct csv_manner manner, size_t *ret_rows,
            struct failure *failure)
{
    char *path = file_of(folder, table);
    struct file_draft draft = {0};
    enum status status = file_draft_begin(path, &draft, failure);

    if (status == STATUS_OK)
        status = write_rows(store, table, manner, path, draft.stream, ret_rows, failure);
    status = file_draft_end(&draft, status, failure);
    free(path);
    return status;
}

/* Rule 4: a row a file, in the order of the tables; the last one is the journal's, with the seal. */
static void
write_counts(const char *seal, const size_t *rows, struct csv_manner manner, FILE *file)
{
    static const char *const names[] = {"table", "rows", "seal"};
    struct csv_out out = {0};

    csv_out_start(&out, file, manner);
    csv_out_heading(&out, names, LENGTH(names));
    for (size_t table = 0; table <= table_store_count(); table++) {
        csv_out_text(&out, table_store_name(table));
        csv_out_integer(&out, (int64_t)rows[table]);
        csv_out_text(&out, table == table_store_count() ? seal : NULL);
        csv_out_end_row(&out);
    }
    fflush(file); /* file_draft_end() asks whether it arrived */
}

static enum status
write_contents(const char *folder, const char *seal, const size_t *rows, struct csv_manner manner,
               struct failure *failure)
{
    char *path = file_join(folder, "contents.csv");
    struct file_draft draft = {0};
    enum status status = file_draft_begin(path, &draft, failure);

    if (status == STATUS_OK)
        write_counts(seal, rows, manner, draft.stream);
    status = file_draft_end(&draft, status, failure);
    free(path);
    return status;
}

struct exported {
    size_t *rows; /* by table, the journal last; owned */
    char seal[SEAL_TEXT_SIZE];
};

/* All files show one state of the notebook. */
static enum status
write_all(struct store *store, const char *folder, struct csv_manner manner, struct exported *exported,
          struct failure *failure)
{
    char head[JOURNAL_HASH_SIZE];
    enum status status = store_begin_reading(store, failure);

    if (status != STATUS_OK)
        return status;
    for (size_t table = 0; status == STATUS_OK && table <= table_store_count(); table++)
        status = write_table(store, folder, table, manner, &exported->rows[table], failure);
    if (status == STATUS_OK)
        status = journal_head(store, head, failure);
    store_end_reading(store);
    return status == STATUS_OK
               ? write_contents(folder, seal_text(head, exported->seal), exported->rows, manner, failure)
               : status;
}

static enum status
check_free(const char *folder, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t table = 0; status == STATUS_OK && table <= table_store_count(); table++) {
        char *path = file_of(folder, table);

        if (file_exists(path))
            status = failure_set(failure, STATUS_CONFLICT,
                                 "'%s' is there already (--force replaces the export)", path);
        free(path);
    }
    return status;
}

static void
say_exported(const struct context *context, const char *folder, const struct exported *exported)
{
    char *visible = text_visible(folder);
    size_t rows = 0;

    for (size_t table = 0; table <= table_store_count(); table++)
        rows += exported->rows[table];
    fprintf(context->out, "%zu rows in %zu files: %s\nseal   %s\n", rows, table_store_count() + 1, visible,
            exported->seal);
    free(visible);
}

static enum status
run_export(struct context *context, const struct options *options, struct failure *failure)
{
    const char *folder = options_name(options, 0);
    struct exported exported = {.rows = memory_new(table_store_count() + 1, sizeof *exported.rows)};
    struct file_folder_draft draft = {0};
    enum status status = options_has(options, "force") ? STATUS_OK : check_free(folder, failure);

    if (status == STATUS_OK)
        status = file_folder_draft_begin(folder, &draft, failure);
    if (status == STATUS_OK)
        status = write_all(context->store, draft.beside, context->csv, &exported, failure);
    status = file_folder_draft_end(&draft, status, failure);
    if (status == STATUS_OK)
        say_exported(context, folder, &exported);
    free(exported.rows);
    return status;
}

const struct command export_command = {
    .name = "export",
    .names = "FOLDER",
    .fewest = 1,
    .most = 1,
    .summary = "write everything in the notebook as CSV files, one a table",
    .example = "curetrace export notebook-csv",
    .options = export_options,
    .needs = COMMAND_READS_STORE,
    .run = run_export,
};
