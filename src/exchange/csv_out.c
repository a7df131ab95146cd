/* csv_out.c - tables written as CSV. */
#include "csv_out.h"

#include <assert.h>
#include <csv.h>
#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

#include "number.h"
#include "text.h"

void
csv_out_start(struct csv_out *out, FILE *file, struct csv_manner manner)
{
    assert(!manner.decimal_comma || (manner.separator != '\0' && manner.separator != ','));
    out->file = file; /* `bytes` need no beginning */
    out->manner = manner;
    if (out->manner.separator == '\0')
        out->manner.separator = ',';
    out->columns = out->fields = out->length = 0;
    out->row_empty = true;
    out->error = 0;
}

void
csv_out_heading(struct csv_out *out, const char *const *names, size_t count)
{
    assert(out->columns == 0 && count > 0);
    out->columns = count;
    for (size_t i = 0; i < count; i++)
        csv_out_text(out, names[i]);
    csv_out_end_row(out);
}

static void
pass_on(struct csv_out *out)
{
    fwrite_unlocked(out->bytes, 1, out->length, out->file);
    out->length = 0;
}

/* Through a buffer of our own: a call of the library for every field takes longer than finding what to write. */
static void
put(struct csv_out *out, const char *bytes, size_t length)
{
    if (length > sizeof out->bytes - out->length)
        pass_on(out);
    if (length > sizeof out->bytes) {
        fwrite_unlocked(bytes, 1, length, out->file);
        return;
    }
    memcpy(out->bytes + out->length, bytes, length);
    out->length += length;
}

static void
begin_field(struct csv_out *out)
{
    if (out->fields++ > 0)
        put(out, &out->manner.separator, 1);
}

/* A field that needs no quotes. */
static void
put_plain(struct csv_out *out, const char *text, size_t length)
{
    begin_field(out);
    if (length > 0)
        out->row_empty = false;
    put(out, text, length);
}

bool
csv_marked(char first)
{
    return first != '\0' && strchr("=+-@\t\r\n'", first) != NULL;
}

/* Separators of every kind a reader may be set to, and blanks at the ends, which readers trim. */
static bool
needs_quotes(const char *text, size_t length)
{
    return text[strcspn(text, "\",;\t\r\n")] != '\0' || text[0] == ' ' || text[length - 1] == ' ';
}

static void
put_text(struct csv_out *out, const char *text, size_t length)
{
    if (!needs_quotes(text, length)) {
        put_plain(out, text, length);
        return;
    }
    begin_field(out);
    out->row_empty = false;
    pass_on(out);
    csv_fwrite(out->file, text, length);
}

void
csv_out_text(struct csv_out *out, const char *text)
{
    size_t length = text == NULL ? 0 : strlen(text);
    char *marked;

    if (length == 0) {
        put_plain(out, "", 0);
    } else if (!csv_marked(text[0])) {
        put_text(out, text, length);
    } else {
        marked = text_format("'%s", text);
        put_text(out, marked, length + 1);
        free(marked);
    }
}

void
csv_out_empty_text(struct csv_out *out)
{
    put_plain(out, "'", 1);
}

void
csv_out_number(struct csv_out *out, double number)
{
    char text[NUMBER_TEXT_SIZE], *point;

    number_format(number, text);
    if (out->manner.decimal_comma && (point = strchr(text, '.')) != NULL)
        *point = ',';
    put_plain(out, text, strlen(text));
}

void
csv_out_integer(struct csv_out *out, int64_t number)
{
    char digits[24];

    put_plain(out, digits, (size_t)snprintf(digits, sizeof digits, "%" PRId64, number));
}

void
csv_out_day(struct csv_out *out, civil_day day)
{
    char text[DAY_TEXT_SIZE];

    clock_day_text(day, text);
    put_plain(out, text, strlen(text));
}

void
csv_out_time(struct csv_out *out, civil_time moment)
{
    char text[MOMENT_TEXT_SIZE];

    clock_moment_text(moment, text);
    put_plain(out, text, strlen(text));
}

static void
note_error(struct csv_out *out)
{
    if (ferror_unlocked(out->file) && out->error == 0)
        out->error = errno;
}

void
csv_out_end_row(struct csv_out *out)
{
    assert(out->columns == 0 || out->fields == out->columns);
    /* A row of one empty field would be a blank line, which readers skip. */
    if (out->fields == 1 && out->row_empty)
        put(out, "\"\"", 2);
    put(out, "\n", 1);
    pass_on(out);
    out->fields = 0;
    out->row_empty = true;
    note_error(out);
}

void
csv_out_rows(struct csv_out *out, const char *rows, size_t length)
{
    assert(out->fields == 0);
    fwrite_unlocked(rows, 1, length, out->file);
    note_error(out);
}

enum status
csv_out_finish(struct csv_out *out, const char *name, struct failure *failure)
{
    assert(out->fields == 0);
    if (fflush(out->file) != 0 && out->error == 0)
        out->error = errno;
    if (out->error == 0 && ferror(out->file))
        out->error = EIO; /* it failed before this table began */
    if (out->error == 0)
        return STATUS_OK;
    if (name == NULL)
        return failure_set(failure, STATUS_SYSTEM, "cannot write the output: %s", strerror(out->error));
    return failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", name, strerror(out->error));
}
