/* csv_in.c - CSV files read row by row, columns found by their heading. */
#include "csv_in.h"

#include <csv.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>

#include "csv_near.h"
#include "memory.h"
#include "spelled_time.h"

enum { CHUNK = 65536, VALUE_SHOWN = 60 };

struct reader {
    const struct csv_layout *layout;
    csv_sink *sink;
    void *payload;
    struct problems *problems; /* lent; NULL: stop at the first */
    char *name;
    struct failure failure; /* what ended the reading */

    size_t line;        /* the line being read, from 1 */
    bool line_complete; /* its end was seen */
    bool after_cr;      /* the byte before was a CR, so that a LF belongs to it */
    uint64_t bytes_read;

    bool row_begun;   /* something of a row was read in this line or before it */
    size_t row_line;  /* where it begins */
    size_t row_bytes; /* of it so far */
    bool row_ended;   /* libcsv reported its end within the piece just parsed */

    bool heading_read;
    char **headings;   /* all of the file, in its order */
    size_t *wanted_as; /* for each of them the wanted column, or NOT_WANTED */
    size_t headings_length, headings_capacity;

    size_t fields_length; /* of the row so far */
    size_t row_values;    /* those of them that are not empty */
    char first_value[VALUE_SHOWN + 1];
    size_t stray_column;     /* a column without heading that has a value in this row; 0: none */
    size_t skipped;          /* lines and rows that rule 6 passed over */
    struct text row_text;    /* the wanted fields one after the other, each with its NUL */
    size_t *offsets;         /* by wanted column, into row_text */
    const char **fields;     /* by wanted column; NULL: not in the file */
    const char **field_head; /* by wanted column: its heading in the file */
};

#define NOT_WANTED CSV_NO_COLUMN

/* Deal with the problem in `failure`, written with its place: note it, or end the reading with it. */
static void
refuse(struct reader *reader, const struct failure *failure)
{
    if (reader->problems != NULL && failure->status != STATUS_SYSTEM)
        problems_add(reader->problems, failure);
    else
        reader->failure = *failure;
}

/* End the reading. */
static void
stop(struct reader *reader, size_t line, const char *what)
{
    failure_set(&reader->failure, STATUS_FORMAT, "%s:%zu: %s", reader->name, line, what);
}

static void
add_heading(struct reader *reader, const char *text, size_t length)
{
    size_t capacity = reader->headings_capacity;
    char *copy;

    if (reader->headings_length == CSV_COLUMNS_MOST) {
        stop(reader, reader->row_line, "the heading has more than 1000 columns");
        return;
    }
    copy = memory_new(length + 1, 1);
    if (length > 0)
        memcpy(copy, text, length);
    reader->headings =
        memory_room(reader->headings, reader->headings_length, &capacity, sizeof *reader->headings);
    reader->headings_capacity = capacity;
    memmove(copy, text_trim(copy), strlen(text_trim(copy)) + 1);
    reader->headings[reader->headings_length++] = copy;
}

static void
add_field(struct reader *reader, const char *text, size_t length)
{
    size_t column = reader->fields_length++;
    size_t wanted;
    char *copy;

    if (length > 0 && reader->row_values++ == 0)
        snprintf(reader->first_value, sizeof reader->first_value, "%.*s", (int)length, text);
    if (column >= reader->headings_length)
        return; /* counted, and refused with its row */
    wanted = reader->wanted_as[column];
    if (wanted == NOT_WANTED) {
        if (length > 0 && reader->headings[column][0] == '\0' && reader->stray_column == 0)
            reader->stray_column = column + 1;
        return;
    }
    reader->offsets[wanted] = reader->row_text.length;
    copy = text_room(&reader->row_text, length);
    if (length > 0)
        memcpy(copy, text, length);
    copy[length] = '\0';
    reader->row_text.length += length + 1;
}

/* libcsv: a field ended. */
static void
on_field(void *text, size_t length, void *payload)
{
    struct reader *reader = payload;

    if (reader->failure.status != STATUS_OK)
        return;
    if (reader->heading_read)
        add_field(reader, text, length);
    else
        add_heading(reader, text, length);
}

size_t
csv_in_find(const struct csv_layout *layout, const char *heading)
{
    for (size_t i = 0; i < layout->renames_length; i++) {
        if (text_same(layout->renames[i].heading, heading))
            return layout->renames[i].column;
    }
    for (size_t column = 0; column < layout->columns_length; column++) {
        bool renamed = false;

        for (size_t i = 0; i < layout->renames_length; i++)
            renamed = renamed || layout->renames[i].column == column;
        if (!renamed && text_same(layout->columns[column].name, heading))
            return column;
    }
    return NOT_WANTED;
}

static void
heading_problem(struct reader *reader, const char *what)
{
    struct failure failure = {0};
    char *visible = text_visible(what);

    failure_set(&failure, STATUS_FORMAT, "%s:%zu: %s", reader->name, reader->row_line, visible);
    free(visible);
    if (reader->failure.status == STATUS_OK)
        refuse(reader, &failure);
}

/* The wanted columns that the file has not. Given: free() the array; `ret_count` may be 0. */
static const char **
missing_names(const struct reader *reader, size_t *ret_count)
{
    const struct csv_layout *layout = reader->layout;
    const char **missing = memory_new(layout->columns_length + 1, sizeof *missing);

    *ret_count = 0;
    for (size_t i = 0; i < layout->columns_length; i++)
        if (reader->field_head[i] == NULL)
            missing[(*ret_count)++] = layout->columns[i].name;
    return missing;
}

/* "--column concentration_pct=percent", as it is typed. */
static void
add_column_option(struct text *text, const char *name, const char *heading)
{
    char *rename = text_format("%s=%.80s", name, heading), *typed = text_as_typed(rename);

    text_addf(text, "--column %s", typed);
    free(typed);
    free(rename);
}

static void
unknown_heading(struct reader *reader, const char *heading)
{
    struct text *ignored = reader->layout->ignored, what = {0};
    size_t count;
    const char **missing = missing_names(reader, &count), *near = NULL;

    if (ignored != NULL) {
        text_addf(ignored, "%s'%.80s'", ignored->length == 0 ? "" : ", ", heading);
        if (csv_near(heading, missing, count, &near, 1) > 0) {
            text_add(ignored, " (to take it: ");
            add_column_option(ignored, near, heading);
            text_add(ignored, ")");
        }
    } else {
        near = text_nearest(heading, missing, count);
        text_addf(&what, "'%.80s' is no known heading", heading);
        if (near != NULL)
            text_addf(&what, ", did you mean '%s'?", near);
        heading_problem(reader, text_of(&what));
    }
    text_clear(&what);
    free(missing);
}

/* What the file has instead of a column, a few headings, and how to say that one is it. */
static void
add_headings(const struct reader *reader, const char *name, const char *near, struct text *what)
{
    enum { SHOWN = 8 };
    const char *guess = NULL, *found;
    size_t shown = 0, more = 0;

    for (size_t i = 0; near == NULL && i < reader->headings_length; i++) {
        if (reader->wanted_as[i] != NOT_WANTED || reader->headings[i][0] == '\0')
            continue;
        if (guess == NULL && csv_near(reader->headings[i], &name, 1, &found, 1) > 0)
            guess = reader->headings[i];
        if (shown++ < SHOWN)
            text_addf(what, "%s'%.40s'", shown == 1 ? "; the file has " : ", ", reader->headings[i]);
        else
            more++;
    }
    if (more > 0)
        text_addf(what, " and %zu more", more);
    if (near == NULL && shown == 0)
        return;
    text_add(what, " (");
    add_column_option(what, name, near != NULL ? near : guess != NULL ? guess : "HEADING");
    text_add(what, near != NULL ? " takes it)" : guess != NULL ? " if it is that)" : " says which it is)");
}

static void
missing_heading(struct reader *reader, size_t column)
{
    const struct csv_layout *layout = reader->layout;
    const char *name = layout->columns[column].name, *near;
    const char **unknown = memory_new(reader->headings_length, sizeof *unknown);
    size_t count = 0;
    struct text what = {0};

    for (size_t i = 0; i < reader->headings_length; i++) {
        if (reader->wanted_as[i] == NOT_WANTED)
            unknown[count++] = reader->headings[i];
    }
    near = text_nearest(name, unknown, count);
    for (size_t i = 0; i < layout->renames_length; i++) {
        if (layout->renames[i].column == column) {
            text_addf(&what, "there is no column '%.80s', which was to be read as '%s'",
                      layout->renames[i].heading, name);
            near = NULL;
        }
    }
    if (what.length == 0)
        text_addf(&what, "there is no column '%s'", name);
    if (near != NULL)
        text_addf(&what, ", is it '%.80s'?", near);
    if (layout->ignored != NULL)
        add_headings(reader, name, near, &what);
    heading_problem(reader, text_of(&what));
    text_clear(&what);
    free(unknown);
}

static bool
must_be_there(const struct csv_layout *layout, size_t column)
{
    for (size_t i = 0; i < layout->renames_length; i++) {
        if (layout->renames[i].column == column)
            return true; /* the maker said that it is */
    }
    return layout->columns[column].need != CSV_OPTIONAL;
}

static void
take_heading(struct reader *reader)
{
    const struct csv_layout *layout = reader->layout;
    size_t problems = reader->problems == NULL ? 0 : reader->problems->count;

    reader->wanted_as = memory_new(reader->headings_length, sizeof *reader->wanted_as);
    for (size_t i = 0; i < reader->headings_length; i++) {
        size_t wanted = csv_in_find(layout, reader->headings[i]);

        reader->wanted_as[i] = wanted;
        if (wanted == NOT_WANTED)
            continue;
        if (reader->field_head[wanted] != NULL) {
            char *what = text_format("the heading '%.80s' is there twice", reader->headings[i]);

            heading_problem(reader, what);
            free(what);
        }
        reader->field_head[wanted] = reader->headings[i];
    }
    for (size_t i = 0; i < layout->columns_length; i++) {
        if (reader->field_head[i] == NULL && must_be_there(layout, i))
            missing_heading(reader, i);
    }
    for (size_t i = 0; i < reader->headings_length; i++) {
        if (reader->wanted_as[i] == NOT_WANTED && reader->headings[i][0] != '\0')
            unknown_heading(reader, reader->headings[i]);
    }
    reader->heading_read = true;
    if (reader->problems != NULL && reader->problems->count > problems)
        reader->failure.status = STATUS_FORMAT; /* reading ends; the words are among the problems */
}

static void
hand_over(struct reader *reader, struct failure *failure)
{
    const struct csv_layout *layout = reader->layout;
    struct csv_row row = {
        .file = reader->name,
        .line = reader->row_line,
        .bytes_read = reader->bytes_read,
        .columns = layout->columns,
        .fields = reader->fields,
        .headings = reader->field_head,
        .decimal = layout->decimal,
        .dates = layout->dates,
        .has_options = layout->ignored != NULL,
    };

    for (size_t i = 0; i < layout->columns_length; i++)
        reader->fields[i] = reader->field_head[i] == NULL ? NULL : reader->row_text.data + reader->offsets[i];
    reader->sink(&row, reader->payload, failure);
}

/* A line that rule 6 passes over, or one above the headings. */
static void
list_skipped(struct reader *reader, size_t line, const char *begin)
{
    enum { LISTED = 8 };
    struct text *skipped = reader->layout->skipped;

    if (reader->skipped++ < LISTED)
        text_addf(skipped, "%sline %zu '%.*s'", skipped->length == 0 ? "" : ", ", line,
                  (int)text_fit(begin, VALUE_SHOWN - 20), begin);
    else if (reader->skipped == LISTED + 1)
        text_add(skipped, " and more");
}

static bool
begins_with_sum_word(const char *text)
{
    static const char *const words[] = {"sum",    "total",        "mean",   "average", "count",  "number",
                                        "min",    "max",          "median", "summe",   "gesamt", "mittel",
                                        "anzahl", "durchschnitt", "somme",  "moyenne"};

    size_t length = strcspn(text, " :.=");

    for (size_t i = 0; i < LENGTH(words); i++)
        if (strlen(words[i]) == length && text_same_start(text, words[i], length))
            return true;
    return false;
}

/* Does the row lack what every row must have, a date where one must be included? */
static bool
lacks_needed(const struct reader *reader)
{
    const struct csv_layout *layout = reader->layout;
    struct spelled_time unused;

    if (reader->fields_length != reader->headings_length)
        return true;
    for (size_t i = 0; i < layout->columns_length; i++) {
        const char *field;

        if (layout->columns[i].need != CSV_VALUE || reader->field_head[i] == NULL)
            continue;
        field = reader->row_text.data + reader->offsets[i];
        if (*field == '\0' ||
            (layout->columns[i].holds == CSV_TIME && !spelled_time_read(field, true, &unused)))
            return true;
    }
    return false;
}

/* "S-01,15.2.2025,9.6" in a file of semicolons is a row that was typed otherwise, and no remark. */
static bool
has_other_separators(const struct reader *reader)
{
    size_t count = 0;

    if (reader->fields_length != 1 || reader->headings_length < 3)
        return false;
    for (const char *at = reader->first_value; (at = strpbrk(at, ",;\t")) != NULL; at++)
        count += at[1] != ' ' ? 1 : 0;
    return count >= 2;
}

/* Rule 6. */
static bool
passes_over(struct reader *reader)
{
    if (reader->layout->skipped == NULL || has_other_separators(reader) ||
        (reader->row_values > 1 && !begins_with_sum_word(reader->first_value)) || !lacks_needed(reader))
        return false;
    list_skipped(reader, reader->row_line, reader->first_value);
    return true;
}

static void
take_row(struct reader *reader)
{
    struct failure failure = {0};

    if (reader->row_values == 0 || passes_over(reader))
        return;
    if (reader->fields_length != reader->headings_length)
        failure_set(&failure, STATUS_FORMAT, "%s:%zu: expected %zu fields as in the heading, got %zu",
                    reader->name, reader->row_line, reader->headings_length, reader->fields_length);
    else if (reader->stray_column != 0)
        failure_set(&failure, STATUS_FORMAT, "%s:%zu: column %zu has no heading but a value", reader->name,
                    reader->row_line, reader->stray_column);
    else
        hand_over(reader, &failure);
    if (failure.status != STATUS_OK)
        refuse(reader, &failure);
}

/* libcsv: a row ended. */
static void
on_row(int end, void *payload)
{
    struct reader *reader = payload;

    (void)end;
    reader->row_ended = true;
    if (reader->failure.status == STATUS_OK) {
        if (reader->heading_read)
            take_row(reader);
        else
            take_heading(reader);
    }
    reader->fields_length = 0;
    reader->row_values = 0;
    reader->stray_column = 0;
    reader->row_text.length = 0;
}

size_t
csv_in_line_length(const char *bytes, size_t length)
{
    const char *lf = memchr(bytes, '\n', length);
    size_t to_lf = lf == NULL ? length : (size_t)(lf - bytes) + 1;
    const char *cr = memchr(bytes, '\r', to_lf);

    if (cr == NULL)
        return to_lf;
    return (size_t)(cr - bytes) + (cr + 1 == lf ? 2 : 1);
}

static bool
is_blank(const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (bytes[i] == '\0' || strchr(" \t\r\n", bytes[i]) == NULL)
            return false;
    }
    return true;
}

/* Parse a piece of one line. */
static void
parse_piece(struct reader *reader, struct csv_parser *parser, const char *bytes, size_t length)
{
    bool blank = !reader->row_begun && is_blank(bytes, length);

    if (!reader->row_begun)
        reader->row_line = reader->line;
    reader->row_bytes += length;
    if (memchr(bytes, '\0', length) != NULL) {
        stop(reader, reader->line, "a NUL byte: this is no text file");
        return;
    }
    if (reader->row_bytes > CSV_ROW_LARGEST) {
        stop(reader, reader->row_line, "a row of more than 1 MiB (a quoted text that does not end?)");
        return;
    }
    reader->row_ended = false;
    if (csv_parse(parser, bytes, length, on_field, on_row, reader) != length) {
        if (csv_error(parser) == CSV_EPARSE)
            stop(reader, reader->line,
                 "a quotation mark in the wrong place (a text that holds one is quoted, with the mark "
                 "doubled)");
        else
            stop(reader, reader->line, csv_strerror(csv_error(parser)));
        return;
    }
    reader->row_begun = !reader->row_ended && !blank;
    if (!reader->row_begun)
        reader->row_bytes = 0;
}

/* A line above the headings: what stands in it between separators and quotation marks. */
static void
skip_line(struct reader *reader, const char *bytes, size_t length)
{
    char *copy = text_format("%.*s", (int)length, bytes);
    size_t begin = strspn(copy, ",;\t\" \r\n"), end = strlen(copy);

    while (end > begin && strchr(",;\t\" \r\n", copy[end - 1]) != NULL)
        copy[--end] = '\0';
    if (begin < end && reader->layout->skipped != NULL)
        list_skipped(reader, reader->line, copy + begin);
    free(copy);
}

/* Parse a chunk, one physical line a call, so that the callbacks know where they are. */
static void
parse_chunk(struct reader *reader, struct csv_parser *parser, const char *bytes, size_t length)
{
    while (length > 0 && reader->failure.status == STATUS_OK) {
        size_t piece = csv_in_line_length(bytes, length);

        if (reader->after_cr && bytes[0] == '\n') {
            piece = 1; /* the other half of a CRLF that fell between two chunks */
        } else if (reader->line_complete) {
            reader->line++;
        }
        reader->bytes_read += piece;
        if (reader->line < reader->layout->heading_line)
            skip_line(reader, bytes, piece);
        else
            parse_piece(reader, parser, bytes, piece);
        reader->after_cr = bytes[piece - 1] == '\r';
        reader->line_complete = bytes[piece - 1] == '\r' || bytes[piece - 1] == '\n';
        bytes += piece;
        length -= piece;
    }
}

/* The separator that stands most often in the heading, outside quotation marks; a comma when there is none.
 */
static char
find_separator(const char *bytes)
{
    static const char separators[] = ",;\t";
    size_t counts[3] = {0}, best = 0;
    bool quoted = false;

    bytes += strspn(bytes, "\r\n");
    for (; *bytes != '\0' && (quoted || strchr("\r\n", *bytes) == NULL); bytes++) {
        const char *found = strchr(separators, *bytes);

        if (*bytes == '"')
            quoted = !quoted;
        else if (found != NULL && !quoted)
            counts[found - separators]++;
    }
    for (size_t i = 1; i < LENGTH(counts); i++)
        best = counts[i] > counts[best] ? i : best;
    return separators[best];
}

size_t
csv_in_mark(const char *bytes)
{
    return strncmp(bytes, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
}

static void
parse(struct reader *reader, struct csv_parser *parser, FILE *input)
{
    char *chunk = memory_new(CHUNK + 1, 1);
    size_t length;

    while (reader->failure.status == STATUS_OK && (length = fread(chunk, 1, CHUNK, input)) > 0) {
        size_t skip = 0;

        chunk[length] = '\0';
        if (reader->bytes_read == 0) {
            if (strncmp(chunk, "\xff\xfe", 2) == 0 || strncmp(chunk, "\xfe\xff", 2) == 0)
                stop(reader, 1, "the file is UTF-16; save it as CSV in UTF-8");
            skip = csv_in_mark(chunk);
            csv_set_delim(parser,
                          (unsigned char)(reader->layout->separator == 0 ? find_separator(chunk + skip)
                                                                         : reader->layout->separator));
        }
        reader->bytes_read += skip;
        parse_chunk(reader, parser, chunk + skip, length - skip);
    }
    free(chunk);
    if (reader->failure.status != STATUS_OK)
        return; /* csv_fini() would hand over the broken row */
    if (ferror(input)) {
        failure_set(&reader->failure, STATUS_SYSTEM, "cannot read '%s': %s", reader->name, strerror(errno));
        return;
    }
    if (reader->row_begun && reader->heading_read && reader->layout->unended != NULL)
        *reader->layout->unended = reader->row_line;
    if (csv_fini(parser, on_field, on_row, reader) != 0)
        stop(reader, reader->row_line, "a quoted text that begins in this row does not end");
    else if (!reader->heading_read && reader->failure.status == STATUS_OK)
        failure_set(&reader->failure, STATUS_FORMAT, "%s: is empty, expected a row of headings",
                    reader->name);
}

/* What the caller is told at the end. */
static enum status
outcome(const struct reader *reader, struct failure *failure)
{
    if (reader->failure.status != STATUS_OK && reader->failure.text[0] != '\0') {
        if (reader->problems == NULL || reader->failure.status == STATUS_SYSTEM) {
            *failure = reader->failure;
            return failure->status;
        }
        problems_add(reader->problems, &reader->failure);
    }
    return reader->problems == NULL ? STATUS_OK : problems_status(reader->problems, failure);
}

enum status
csv_in_read(FILE *input, const char *name, const struct csv_layout *layout, csv_sink *sink, void *payload,
            struct problems *problems, struct failure *failure)
{
    size_t columns = layout->columns_length;
    struct reader reader = {
        .layout = layout,
        .sink = sink,
        .payload = payload,
        .problems = problems,
        .name = text_visible(name),
        .line = 1,
        .offsets = memory_new(columns, sizeof(size_t)),
        .fields = memory_new(columns, sizeof(char *)),
        .field_head = memory_new(columns, sizeof(char *)),
    };
    struct csv_parser parser;
    enum status status;

    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI) != 0) {
        status = failure_set(failure, STATUS_SYSTEM, "the CSV library does not start");
        goto out;
    }
    csv_set_blk_size(&parser, CHUNK); /* its own 128 bytes make a long field grow in thousands of steps */
    parse(&reader, &parser, input);
    status = outcome(&reader, failure);
    csv_free(&parser);
out:
    for (size_t i = 0; i < reader.headings_length; i++)
        free(reader.headings[i]);
    free(reader.headings);
    free(reader.wanted_as);
    free(reader.offsets);
    free(reader.fields);
    free(reader.field_head);
    free(reader.name);
    text_clear(&reader.row_text);
    return status;
}
