/* import.c - what the kinds of "import" share. */
#include "import.h"

#include <stdlib.h>
#include <string.h>

#include "import_source.h"
#include "memory.h"
#include "words.h"

static enum status
read_words(const struct options *options, struct csv_layout *layout, size_t *ret_order, size_t *ret_encoding,
           struct failure *failure)
{
    static const char *const orders[] = {"iso", "dmy", "mdy"};
    const char *separator = options_text(options, "separator"), *decimal = options_text(options, "decimal"),
               *order = options_text(options, "date-order"), *encoding = options_text(options, "encoding");
    enum status status = STATUS_OK;

    if (separator != NULL)
        status = csv_manner_separator(separator, &layout->separator, failure);
    if (status == STATUS_OK && decimal != NULL)
        status = csv_manner_decimal(decimal, &layout->decimal, failure);
    if (status == STATUS_OK && order != NULL)
        status = words_find("--date-order:", order, orders, LENGTH(orders), ret_order, failure);
    if (status == STATUS_OK && encoding != NULL)
        status =
            words_find("--encoding:", encoding, import_encodings, IMPORT_ENCODINGS, ret_encoding, failure);
    return status;
}

/* What is told of how the file is written; *ret_find_... what is to be found out. */
static enum status
read_manner(struct import *import, const char **ret_encoding, bool *ret_find_dates, bool *ret_find_decimal,
            struct failure *failure)
{
    static const enum csv_date_order orders[] = {CSV_DATE_CERTAIN, CSV_DATE_DAY_FIRST, CSV_DATE_MONTH_FIRST};
    const struct options *options = import->options;
    size_t order = 0, encoding = 0;
    enum status status = read_words(options, &import->layout, &order, &encoding, failure);

    import->layout.dates = orders[order];
    *ret_find_dates = !options_has(options, "date-order");
    *ret_find_decimal = !options_has(options, "decimal");
    *ret_encoding = options_has(options, "encoding") ? import_encodings[encoding] : NULL;
    return status;
}

/* Rule 4. */
static enum status
look(struct import *import, bool find_dates, bool find_decimal, struct failure *failure)
{
    const char *path = options_name(import->options, 0);
    struct csv_layout *layout = &import->layout;

    csv_look_heading(import->file, layout, &import->look);
    layout->heading_line = import->look.heading_line;
    if (layout->separator == 0)
        layout->separator = import->look.separator;
    import_columns_recognise(import);
    if (find_dates || find_decimal)
        csv_look_rows(import->file, path, layout, find_dates, find_decimal, &import->problems);
    if (layout->separator == ',' && layout->decimal == NUMBER_COMMA &&
        options_has(import->options, "separator"))
        return failure_set(failure, STATUS_USAGE,
                           "a decimal comma and a comma between the columns do not go together");
    return STATUS_OK;
}

/* Copies of the kind's columns, so that others can stand behind them. */
static void
start_columns(struct import *import)
{
    const struct import_kind *kind = import->kind;

    import->columns = memory_new(kind->column_count, sizeof *import->columns);
    memcpy(import->columns, kind->columns, kind->column_count * sizeof *import->columns);
    import->column_count = import->column_capacity = kind->column_count;
    import->layout = (struct csv_layout){.columns = import->columns,
                                         .columns_length = kind->column_count,
                                         .ignored = &import->ignored,
                                         .skipped = &import->skipped,
                                         .unended = &import->unended};
}

enum status
import_open(struct import *import, struct context *context, const struct options *options,
            const struct import_kind *kind, struct failure *failure)
{
    const char *encoding = NULL;
    bool find_dates = false, find_decimal = false;
    enum status status;

    *import = (struct import){.context = context, .kind = kind, .percent_shown = -1};
    start_columns(import);
    status = import_mapping_read(import, options, failure);
    for (size_t i = 0; status == STATUS_OK && i < options_count(import->options, "column"); i++) {
        status = import_columns_rename(import, options_text_at(import->options, "column", i), failure);
        if (status != STATUS_OK)
            failure_at(failure, "--column: ");
    }
    if (status == STATUS_OK)
        status = read_manner(import, &encoding, &find_dates, &find_decimal, failure);
    if (status == STATUS_OK)
        status = import_source_open(options_name(options, 0), encoding, &import->file, &import->file_bytes,
                                    failure);
    return status == STATUS_OK ? look(import, find_dates, find_decimal, failure) : status;
}

bool
import_only_checks(const struct import *import)
{
    return options_has(import->options, "check") || options_has(import->options, "dry-run");
}

void
import_progress(struct import *import, const struct csv_row *row)
{
    int percent;

    if (import->context->progress == NULL || import->file_bytes < (1 << 20))
        return;
    percent = (int)(100 * row->bytes_read / import->file_bytes);
    if (percent == import->percent_shown)
        return;
    import->percent_shown = percent;
    fprintf(import->context->progress, "\r%3d %%", percent);
    fflush(import->context->progress);
}

enum status
import_outcome(struct import *import, enum status status, struct failure *failure)
{
    if (status == STATUS_OK || status == STATUS_SYSTEM)
        status = status == STATUS_OK ? problems_status(&import->problems, failure) : status;
    if (import->problems.count > 1) {
        problems_print(&import->problems, import->context->err);
        failure_set(failure, status, "nothing was imported: %zu problems in '%.200s'", import->problems.count,
                    options_name(import->options, 0));
    }
    return status;
}

enum status
import_read(struct import *import, csv_sink *sink, void *payload, struct failure *failure)
{
    enum status status = csv_in_read(import->file, options_name(import->options, 0), &import->layout, sink,
                                     payload, &import->problems, failure);

    if (import->percent_shown >= 0)
        fputs("\r      \r", import->context->progress);
    return status;
}

/* "passed over: line 1 'Soap 2023'", as a person may see it. */
static void
report_text(const struct import *import, const char *what, const struct text *text)
{
    char *visible;

    if (text->length == 0)
        return;
    visible = text_visible(text_of(text));
    fprintf(import->context->out, "%s: %s\n", what, visible);
    free(visible);
}

/* Which heading is which column: what a check is for. */
static void
report_columns(const struct import *import)
{
    struct text read = {0};

    for (size_t i = 0; i < import->look.heading_count; i++) {
        size_t column = csv_in_find(&import->layout, import->look.headings[i]);

        if (column == CSV_NO_COLUMN)
            continue;
        text_addf(&read, "%s'%s'", read.length == 0 ? "" : ", ", import->look.headings[i]);
        for (size_t k = 0; k < import->ingredient_count; k++)
            if (import->ingredients[k].column == column)
                text_addf(&read, " as %s %s",
                          import->kind->extra == IMPORT_BUFFERS
                              ? "buffer"
                              : recipe_kind_word(import->ingredients[k].kind),
                          import->ingredients[k].name);
        if (import->columns[column].name != import_extra_column &&
            !text_same(import->look.headings[i], import->columns[column].name))
            text_addf(&read, " as %s", import->columns[column].name);
    }
    report_text(import, "columns read", &read);
    text_clear(&read);
}

static void
report_found(const struct import *import)
{
    FILE *out = import->context->out;

    if (!options_has(import->options, "date-order") && import->layout.dates != CSV_DATE_CERTAIN)
        fprintf(out, "dates have the %s first, as all rows show\n",
                import->layout.dates == CSV_DATE_DAY_FIRST ? "day" : "month");
    if (!options_has(import->options, "decimal") && import->layout.decimal == NUMBER_COMMA)
        fputs("numbers have a decimal comma, as all rows show\n", out);
}

void
import_report(const struct import *import)
{
    FILE *out = import->context->out;
    bool only_checks = import_only_checks(import);

    fprintf(out, "%zu %s %s", import->added, import->kind->what, only_checks ? "would be added" : "added");
    if (import->skipped_rows > 0)
        fprintf(out, ", %zu %s there already", import->skipped_rows,
                import->skipped_rows == 1 ? "was" : "were");
    fputs(only_checks ? "; nothing was changed\n" : "\n", out);
    if (import->unended > 0)
        fprintf(out, "the file does not end with a line break: was its last row, line %zu, cut? Look at it\n",
                import->unended);
    report_found(import);
    report_text(import, "passed over, for it is no data", &import->skipped);
    if (only_checks)
        report_columns(import);
    report_text(import, "columns left out", &import->ignored);
}

/* Reads, finishes and tells, in the transaction that is open. */
static enum status
read_and_finish(struct import *import, csv_sink *sink, enum status (*finish)(void *, struct failure *),
                void *payload, struct failure *failure)
{
    enum status status = import_outcome(import, import_read(import, sink, payload, failure), failure);

    if (status == STATUS_OK && finish != NULL)
        status = finish(payload, failure);
    if (status == STATUS_OK && !import_only_checks(import))
        status = import_keep_mapping(import, failure);
    return status;
}

enum status
import_run(struct import *import, csv_sink *sink, enum status (*finish)(void *, struct failure *),
           void *payload, struct failure *failure)
{
    struct failure undone = {0}; /* a check is undone, and unsaid, on purpose */
    struct held_words held;
    enum status status = context_begin(import->context, &held, failure);

    if (status != STATUS_OK)
        return status;
    status = read_and_finish(import, sink, finish, payload, failure);
    if (status != STATUS_OK || !import_only_checks(import))
        return context_commit(import->context, &held, status, failure);
    context_commit(import->context, &held, STATUS_CONFLICT, &undone);
    import_report(import);
    return STATUS_OK;
}

void
import_close(struct import *import)
{
    if (import->file != NULL)
        fclose(import->file);
    for (size_t i = 0; i < import->rename_count; i++)
        csv_rename_clear(&import->renames[i]);
    free(import->renames);
    for (size_t i = 0; i < import->ingredient_count; i++)
        free(import->ingredients[i].name);
    free(import->ingredients);
    free(import->columns);
    options_close(import->options);
    for (size_t i = 0; i < import->word_count; i++)
        free(import->words[i]);
    free(import->words);
    csv_look_clear(&import->look);
    batch_codes_clear(&import->batches);
    text_clear(&import->ignored);
    text_clear(&import->skipped);
    problems_clear(&import->problems);
}
