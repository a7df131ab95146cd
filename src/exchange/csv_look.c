/* csv_look.c - how a CSV file is written. */
#include "csv_look.h"

#include <csv.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "spelled_time.h"

enum { LOOKED_AT = 65536, ROWS_LOOKED_AT = 40 };

/* --- the headings -------------------------------------------------------------------------------------- */

struct row_look {
    const struct csv_layout *layout;
    bool *found;   /* by wanted column */
    char **fields; /* owned */
    size_t count, capacity;
    size_t values; /* fields that are not empty */
    size_t line;   /* where the row begins */
    bool row_ended;
    size_t best_score, best_values;
    struct csv_look *best;
    char separator;
    size_t rows;
};

static void
on_field(void *text, size_t length, void *payload)
{
    struct row_look *look = payload;
    char *copy = memory_new(length + 1, 1), *trimmed;

    if (length > 0)
        memcpy(copy, text, length);
    trimmed = text_trim(copy);
    memmove(copy, trimmed, strlen(trimmed) + 1);
    look->fields = memory_room(look->fields, look->count, &look->capacity, sizeof *look->fields);
    look->fields[look->count++] = copy;
    look->values += *copy != '\0' ? 1 : 0;
}

static void
clear_fields(struct row_look *look)
{
    for (size_t i = 0; i < look->count; i++)
        free(look->fields[i]);
    look->count = look->values = 0;
}

/* How many wanted columns the row names; 0 when it cannot be the headings (rule 1). */
static size_t
score_row(struct row_look *look)
{
    const struct csv_layout *layout = look->layout;
    size_t score = 0;
    bool needed = false;

    memset(look->found, 0, layout->columns_length * sizeof *look->found);
    for (size_t i = 0; i < look->count; i++) {
        size_t column = csv_in_find(layout, look->fields[i]);

        if (column == CSV_NO_COLUMN || look->found[column])
            continue;
        look->found[column] = true;
        needed = needed || layout->columns[column].need != CSV_OPTIONAL;
        score++;
    }
    return needed && score >= 2 ? score : 0;
}

static void
on_row(int end, void *payload)
{
    struct row_look *look = payload;
    size_t score = look->values > 1 ? score_row(look) : 0;

    (void)end;
    look->row_ended = true;
    look->rows++;
    if (look->values > 1 &&
        (score > look->best_score || (look->best_score == 0 && look->separator != look->best->separator &&
                                      look->values > look->best_values))) {
        csv_look_clear(look->best);
        *look->best = (struct csv_look){.headings = look->fields,
                                        .heading_count = look->count,
                                        .heading_line = look->line,
                                        .separator = look->separator};
        look->best_score = score;
        look->best_values = look->values;
        look->fields = NULL;
        look->count = look->capacity = look->values = 0;
    }
    clear_fields(look);
}

static bool
start_parser(struct csv_parser *parser, char separator)
{
    if (csv_init(parser, CSV_STRICT | CSV_STRICT_FINI) != 0)
        return false;
    csv_set_delim(parser, (unsigned char)separator);
    return true;
}

/* The first rows with one separator. A line that is no CSV, as a title with quotation marks, is passed over. */
static void
look_with(struct row_look *look, char separator, const char *bytes, size_t length)
{
    struct csv_parser parser;
    bool begun = false;

    if (!start_parser(&parser, separator))
        return;
    look->separator = separator;
    look->rows = 0;
    for (size_t line = 1; length > 0 && look->rows < ROWS_LOOKED_AT; line++) {
        size_t piece = csv_in_line_length(bytes, length);

        if (!begun)
            look->line = line;
        look->row_ended = false;
        if (csv_parse(&parser, bytes, piece, on_field, on_row, look) != piece) {
            csv_free(&parser);
            clear_fields(look);
            if (!start_parser(&parser, separator))
                return;
            look->row_ended = true;
        }
        begun = !look->row_ended && strspn(bytes, " \t\r\n") < piece;
        bytes += piece;
        length -= piece;
    }
    if (look->rows < ROWS_LOOKED_AT)
        csv_fini(&parser, on_field, on_row, look);
    csv_free(&parser);
    clear_fields(look);
}

void
csv_look_heading(FILE *input, const struct csv_layout *layout, struct csv_look *ret_look)
{
    static const char separators[] = ";\t,";
    char *bytes = memory_new(LOOKED_AT + 1, 1);
    size_t length = fread(bytes, 1, LOOKED_AT, input), mark = csv_in_mark(bytes);
    struct row_look look = {
        .layout = layout, .found = memory_new(layout->columns_length, sizeof(bool)), .best = ret_look};

    *ret_look = (struct csv_look){0};
    for (size_t i = 0; i < LENGTH(separators) - 1; i++)
        if ((layout->separator == 0 || layout->separator == separators[i]) &&
            memchr(bytes, '\0', length) == NULL)
            look_with(&look, separators[i], bytes + mark, length - mark);
    free(look.found);
    free(look.fields);
    free(bytes);
    rewind(input);
}

void
csv_look_clear(struct csv_look *look)
{
    for (size_t i = 0; i < look->heading_count; i++)
        free(look->headings[i]);
    free(look->headings);
    *look = (struct csv_look){0};
}

/* --- dates and decimal signs ------------------------------------------------------------------------------ */

enum { SHOWN_SIZE = 48 };

/* Fields of one kind: how many, and the first of them. */
struct seen {
    size_t count, line;
    char text[SHOWN_SIZE];
};

struct rows_look {
    const struct csv_layout *layout;
    struct seen day_first, month_first, either_date; /* dates that one order reads, or both */
    struct seen point, comma;                        /* numbers by their decimal sign */
    struct seen thousand_comma; /* commas with three digits behind: perhaps no decimal sign */
};

static void
see(struct seen *seen, const struct csv_row *row, const char *text)
{
    if (seen->count++ > 0)
        return;
    seen->line = row->line;
    snprintf(seen->text, sizeof seen->text, "%.*s", (int)text_fit(text, SHOWN_SIZE - 8), text);
}

static void
see_date(struct rows_look *look, const struct csv_row *row, const char *text)
{
    struct spelled_time spelled;

    if (!spelled_time_read(text, true, &spelled) || spelled_time_certain(&spelled))
        return;
    see(spelled.moment[SPELLED_MONTH_FIRST] == MOMENT_NONE ? &look->day_first
        : spelled.moment[SPELLED_DAY_FIRST] == MOMENT_NONE ? &look->month_first
                                                           : &look->either_date,
        row, text);
}

static void
see_number(struct rows_look *look, const struct csv_row *row, const char *text)
{
    const char *sign = strpbrk(text, ",.");

    if (sign == NULL || !text_is_digit(sign[1]))
        return;
    if (*sign == '.')
        see(&look->point, row, text);
    else if (strspn(sign + 1, "0123456789") == 3 && sign > text && *text != '0')
        see(&look->thousand_comma, row, text);
    else
        see(&look->comma, row, text);
}

static enum status
look_at_row(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct rows_look *look = payload;
    const struct csv_layout *layout = look->layout;

    (void)failure;
    for (size_t i = 0; i < layout->columns_length; i++) {
        const char *text = row->fields[i];

        if (text == NULL || *text == '\0')
            continue;
        if (layout->columns[i].holds == CSV_TIME)
            see_date(look, row, text);
        else if (layout->columns[i].holds == CSV_NUMBER)
            see_number(look, row, text);
    }
    return STATUS_OK;
}

/* Rule 3, one line. */
static void __attribute__((format(printf, 3, 4)))
ask(struct problems *problems, const char *name, const char *format, ...)
{
    struct text text = {0};
    struct failure failure = {0};
    va_list arguments;
    char *visible;

    va_start(arguments, format);
    text_addv(&text, format, arguments);
    va_end(arguments);
    visible = text_visible(text_of(&text));
    failure_set(&failure, STATUS_FORMAT, "%s: %s", name, visible);
    problems_add(problems, &failure);
    free(visible);
    text_clear(&text);
}

static enum csv_date_order
judge_dates(const struct rows_look *look, const char *name, struct problems *problems)
{
    const struct seen *day = &look->day_first, *month = &look->month_first, *either = &look->either_date;

    if (day->count > 0 && month->count > 0)
        ask(problems, name,
            "which part of a date is the day? Line %zu has '%s', with the day first, line %zu '%s', with the "
            "month "
            "first; --date-order dmy or --date-order mdy says which is right",
            day->line, day->text, month->line, month->text);
    else if (either->count > 0 && day->count + month->count == 0)
        ask(problems, name,
            "which part of a date is the day? '%s' in line %zu, and all others, can be read both ways; "
            "--date-order "
            "dmy says the day comes first, --date-order mdy the month",
            either->text, either->line);
    if (day->count + month->count + either->count == 0)
        return CSV_DATE_CERTAIN;
    return month->count > day->count ? CSV_DATE_MONTH_FIRST : CSV_DATE_DAY_FIRST;
}

static enum number_decimal
judge_decimal(const struct rows_look *look, const char *name, struct problems *problems)
{
    const struct seen *point = &look->point, *comma = &look->comma, *thousand = &look->thousand_comma;

    if (point->count > 0 && comma->count > 0)
        ask(problems, name,
            "which is the decimal sign? Line %zu has '%s', line %zu '%s'; --decimal point or --decimal comma "
            "says "
            "which is right",
            point->line, point->text, comma->line, comma->text);
    else if (point->count + comma->count == 0 && thousand->count > 0)
        ask(problems, name,
            "is '%s' in line %zu a number with decimals, or thousands? --decimal comma says decimals; "
            "thousands are "
            "written without a mark",
            thousand->text, thousand->line);
    return comma->count + thousand->count > point->count ? NUMBER_COMMA : NUMBER_POINT;
}

void
csv_look_rows(FILE *input, const char *name, struct csv_layout *layout, bool find_dates, bool find_decimal,
              struct problems *problems)
{
    struct csv_layout copy = *layout;
    struct rows_look look = {.layout = &copy};
    struct text ignored = {0}, skipped = {0};
    struct problems unheard = {0}; /* said when the rows are taken */
    struct failure failure = {0};
    char *visible = text_visible(name);

    copy.ignored = &ignored;
    copy.skipped = &skipped;
    copy.unended = NULL;
    rewind(input);
    csv_in_read(input, name, &copy, look_at_row, &look, &unheard, &failure);
    rewind(input);
    if (find_dates)
        layout->dates = judge_dates(&look, visible, problems);
    if (find_decimal)
        layout->decimal = judge_decimal(&look, visible, problems);
    free(visible);
    problems_clear(&unheard);
    text_clear(&ignored);
    text_clear(&skipped);
}
