/* import.c - what the kinds of "import" share. */
#include "import.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "file.h"
#include "memory.h"

enum { MAP_LARGEST = 65536 };

static enum status
add_rename(struct import *import, const char *text, struct failure *failure)
{
    struct csv_rename rename = {0};
    enum status status =
        csv_rename_parse(text, import->layout.columns, import->layout.columns_length, &rename, failure);

    if (status != STATUS_OK)
        return status;
    for (size_t i = 0; i < import->rename_count; i++) {
        if (import->renames[i].column == rename.column) {
            csv_rename_clear(&rename);
            return failure_set(failure, STATUS_USAGE, "'%.80s': this column is named twice", text);
        }
    }
    import->renames =
        memory_room(import->renames, import->rename_count, &import->rename_capacity, sizeof *import->renames);
    import->renames[import->rename_count++] = rename;
    return STATUS_OK;
}

/* "ph = Meter pH" with blanks around either, as csv_rename_parse() takes it. */
static enum status
add_map_line(struct import *import, char *line, struct failure *failure)
{
    char *equals = strchr(line, '='), *whole;
    enum status status;

    line = text_trim(line);
    if (*line == '\0' || *line == '#')
        return STATUS_OK;
    if (equals == NULL)
        return failure_set(failure, STATUS_FORMAT, "'%.80s' is not of the form COLUMN=HEADING", line);
    *equals = '\0';
    whole = text_format("%s=%s", text_trim(line), text_trim(equals + 1));
    status = add_rename(import, whole, failure);
    free(whole);
    return status;
}

static enum status
read_map(struct import *import, const char *path, struct failure *failure)
{
    char *text = NULL, *rest, *line;
    enum status status = file_read(path, MAP_LARGEST, &text, failure);

    rest = text;
    for (size_t number = 1; status == STATUS_OK && (line = strsep(&rest, "\n")) != NULL; number++) {
        status = add_map_line(import, line, failure);
        if (status != STATUS_OK)
            failure_at(failure, "%s:%zu: ", path, number);
    }
    free(text);
    return status;
}

/* The place of a word among those allowed, which end with NULL; an unknown one is refused. */
static enum status
choose(const struct options *options, const char *name, const char *const *words, int *ret_choice,
       struct failure *failure)
{
    const char *text = options_text(options, name);
    struct text allowed = {0};

    if (text == NULL)
        return STATUS_OK;
    for (int i = 0; words[i] != NULL; i++) {
        if (text_same(words[i], text)) {
            text_clear(&allowed);
            *ret_choice = i;
            return STATUS_OK;
        }
        if (strlen(words[i]) > 1) /* the signs themselves are taken too, but not worth a mention */
            text_addf(&allowed, "%s%s", i == 0 ? "" : ", ", words[i]);
    }
    failure_set(failure, STATUS_USAGE, "--%s: '%.40s' is unknown, allowed are %s", name, text,
                text_of(&allowed));
    text_clear(&allowed);
    return STATUS_USAGE;
}

static enum status
read_manner(struct import *import, struct failure *failure)
{
    static const char *const separators[] = {"comma", "semicolon", "tab", ",", ";", "\t", NULL};
    static const char *const decimals[] = {"point", "comma", ".", ",", NULL};
    static const char *const orders[] = {"iso", "dmy", "mdy", NULL};
    int separator = -1, decimal = 0, order = 0;
    enum status status = choose(import->options, "separator", separators, &separator, failure);

    if (status == STATUS_OK)
        status = choose(import->options, "decimal", decimals, &decimal, failure);
    if (status == STATUS_OK)
        status = choose(import->options, "date-order", orders, &order, failure);
    if (separator >= 0)
        import->layout.separator = separators[separator % 3 + 3][0];
    import->layout.decimal = decimal % 2 == 0 ? NUMBER_POINT : NUMBER_COMMA;
    import->layout.dates = order == 0 ? CSV_DATE_ISO : order == 1 ? CSV_DATE_DAY_FIRST : CSV_DATE_MONTH_FIRST;
    if (import->layout.separator == ',' && import->layout.decimal == NUMBER_COMMA)
        return failure_set(failure, STATUS_USAGE,
                           "a decimal comma and a comma between the columns do not go together");
    return status;
}

static enum status
open_file(struct import *import, struct failure *failure)
{
    const char *path = options_name(import->options, 0);
    struct stat about;

    import->file = fopen(path, "rb");
    if (import->file == NULL)
        return failure_set(failure, STATUS_MISSING, "cannot open '%s': %s", path, strerror(errno));
    if (fstat(fileno(import->file), &about) == 0 && S_ISREG(about.st_mode))
        import->file_bytes = (uint64_t)about.st_size;
    return STATUS_OK;
}

enum status
import_open(struct import *import, struct context *context, const struct options *options,
            const struct csv_column *columns, size_t columns_length, struct failure *failure)
{
    const char *map = options_text(options, "map");
    enum status status = STATUS_OK;

    *import = (struct import){.context = context, .options = options, .percent_shown = -1};
    import->layout.columns = columns;
    import->layout.columns_length = columns_length;
    import->layout.ignored = &import->ignored;
    import->layout.unended = &import->unended;
    if (map != NULL)
        status = read_map(import, map, failure);
    for (size_t i = 0; status == STATUS_OK && i < options_count(options, "column"); i++) {
        status = add_rename(import, options_text_at(options, "column", i), failure);
        if (status != STATUS_OK)
            failure_at(failure, "--column: ");
    }
    if (status == STATUS_OK)
        status = read_manner(import, failure);
    import->layout.renames = import->renames;
    import->layout.renames_length = import->rename_count;
    return status == STATUS_OK ? open_file(import, failure) : status;
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
import_read(struct import *import, csv_sink *sink, void *payload, struct failure *failure)
{
    const char *path = options_name(import->options, 0);
    enum status status =
        csv_in_read(import->file, path, &import->layout, sink, payload, &import->problems, failure);

    if (import->percent_shown >= 0)
        fputs("\r      \r", import->context->progress);
    if (import->problems.count > 1) {
        problems_print(&import->problems, import->context->err);
        failure_set(failure, status, "nothing was imported: %zu problems in '%.200s'", import->problems.count,
                    path);
    }
    return status;
}

void
import_report(const struct import *import, const char *what)
{
    FILE *out = import->context->out;
    bool dry = options_has(import->options, "dry-run");

    fprintf(out, "%zu %s %s", import->added, what, dry ? "would be added" : "added");
    if (import->skipped > 0)
        fprintf(out, ", %zu %s there already", import->skipped, import->skipped == 1 ? "was" : "were");
    fputs(dry ? "; nothing was changed\n" : "\n", out);
    if (import->unended > 0)
        fprintf(out, "the file does not end with a line break: was its last row, line %zu, cut? Look at it\n",
                import->unended);
    if (import->ignored.length > 0) {
        char *visible = text_visible(text_of(&import->ignored));

        fprintf(out, "columns left out: %s\n", visible);
        free(visible);
    }
}

void
import_close(struct import *import)
{
    if (import->file != NULL)
        fclose(import->file);
    for (size_t i = 0; i < import->rename_count; i++)
        csv_rename_clear(&import->renames[i]);
    free(import->renames);
    batch_codes_clear(&import->batches);
    text_clear(&import->ignored);
    problems_clear(&import->problems);
}
