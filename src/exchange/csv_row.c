/* csv_row.c - one row of a CSV file and its fields. */
#include "csv_row.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "csv_out.h"
#include "memory.h"
#include "spelled_time.h"
#include "text.h"

enum status
csv_row_at(const struct csv_row *row, size_t column, struct failure *failure)
{
    const char *heading = row->headings[column];
    char *visible = text_visible(failure->text);
    char *name = text_visible(heading == NULL ? row->columns[column].name : heading);

    failure_set(failure, failure->status, "%s:%zu: column '%.*s': %s", row->file, row->line,
                (int)text_fit(name, 80), name, visible);
    free(name);
    free(visible);
    return failure->status;
}

/* The field without its mark, NULL when empty. */
static enum status
field(const struct csv_row *row, size_t column, const char **ret_text, struct failure *failure)
{
    const char *text = row->fields[column];

    if (text == NULL || text[0] == '\0') {
        if (row->columns[column].need == CSV_VALUE) {
            failure_set(failure, STATUS_FORMAT, "is empty");
            return csv_row_at(row, column, failure);
        }
        *ret_text = NULL;
        return STATUS_OK;
    }
    *ret_text = text[0] == '\'' && csv_marked(text[1]) ? text + 1 : text;
    return STATUS_OK;
}

enum status
csv_in_text(const struct csv_row *row, size_t column, const char **ret_text, struct failure *failure)
{
    const char *text = NULL;

    if (field(row, column, &text, failure) != STATUS_OK)
        return failure->status;
    if (text != NULL && !text_is_utf8(text)) {
        failure_set(failure, STATUS_FORMAT, "'%.40s' is not UTF-8 text; save the file as UTF-8", text);
        return csv_row_at(row, column, failure);
    }
    *ret_text = text;
    return STATUS_OK;
}

/* The commonest reason is the other decimal sign: say so. */
static enum status
parse_number(const struct csv_row *row, const char *text, enum units_of of, double *ret_number,
             struct failure *failure)
{
    enum status status = units_parse_number(text, of, row->decimal, ret_number, failure);
    struct failure unused = {0};
    double number;

    if (status == STATUS_OK ||
        units_parse_number(text, of, NUMBER_POINT_OR_COMMA, &number, &unused) != STATUS_OK)
        return status;
    return failure_set(failure, STATUS_FORMAT, "'%.40s' is not a number with a decimal %s%s", text,
                       row->decimal == NUMBER_COMMA ? "comma" : "point",
                       !row->has_options              ? ""
                       : row->decimal == NUMBER_COMMA ? " (--decimal point reads it)"
                                                      : " (--decimal comma reads it)");
}

/* `text` is the field, or what is the number in it. */
static enum status
quantity(const struct csv_row *row, size_t column, const char *text, enum units_of of, double low,
         double high, double *ret_number, struct failure *failure)
{
    double number = NAN;

    if (parse_number(row, text, of, &number, failure) != STATUS_OK)
        return csv_row_at(row, column, failure);
    if (!(number >= low && number <= high)) {
        failure_set(failure, STATUS_RANGE, "is %.40s, allowed is %g to %g", text, low, high);
        return csv_row_at(row, column, failure);
    }
    *ret_number = number;
    return STATUS_OK;
}

enum status
csv_in_quantity(const struct csv_row *row, size_t column, enum units_of of, double low, double high,
                double *ret_number, struct failure *failure)
{
    const char *text = NULL;

    if (field(row, column, &text, failure) != STATUS_OK)
        return failure->status;
    if (text != NULL)
        return quantity(row, column, text, of, low, high, ret_number, failure);
    *ret_number = NAN;
    return STATUS_OK;
}

/* What stands behind a word or sign for "about"; NULL when there is none. */
static const char *
past_about(const char *text)
{
    static const char *const marks[] = {"~",  "\xe2\x89\x88", "ca.",     "ca ",
                                        "c.", "about ",       "approx.", "etwa "};

    for (size_t i = 0; i < LENGTH(marks); i++)
        if (text_same_start(text, marks[i], strlen(marks[i])))
            return text + strlen(marks[i]) + strspn(text + strlen(marks[i]), " ");
    return NULL;
}

enum status
csv_in_about(const struct csv_row *row, size_t column, enum units_of of, double low, double high,
             double *ret_number, bool *ret_about, struct failure *failure)
{
    const char *text = NULL, *behind;
    char *copy;
    size_t length;
    enum status status;

    if (field(row, column, &text, failure) != STATUS_OK)
        return failure->status;
    behind = text == NULL ? NULL : past_about(text);
    length = text == NULL ? 0 : strlen(text);
    *ret_about = behind != NULL || (length > 1 && text[length - 1] == '?');
    if (!*ret_about)
        return csv_in_quantity(row, column, of, low, high, ret_number, failure);
    copy = memory_copy(behind != NULL ? behind : text);
    copy[strcspn(copy, "?")] = '\0';
    status = quantity(row, column, text_trim(copy), of, low, high, ret_number, failure);
    free(copy);
    return status;
}

enum status
csv_in_number(const struct csv_row *row, size_t column, double low, double high, double *ret_number,
              struct failure *failure)
{
    return csv_in_quantity(row, column, UNITS_NONE, low, high, ret_number, failure);
}

enum status
csv_in_integer(const struct csv_row *row, size_t column, int64_t low, int64_t high, int64_t if_empty,
               int64_t *ret_number, struct failure *failure)
{
    double number = NAN;

    assert(low >= -(INT64_C(1) << 53) && high <= INT64_C(1) << 53); /* exact as double */
    if (csv_in_number(row, column, (double)low, (double)high, &number, failure) != STATUS_OK)
        return failure->status;
    if (!isnan(number) && number != floor(number)) {
        failure_set(failure, STATUS_FORMAT, "'%.40s' is not a whole number", row->fields[column]);
        return csv_row_at(row, column, failure);
    }
    *ret_number = isnan(number) ? if_empty : (int64_t)number;
    return STATUS_OK;
}

static const char *const order_words[] = {
    [CSV_DATE_CERTAIN] = "as in 2026-03-04 or 4 Mar 2026",
    [CSV_DATE_DAY_FIRST] = "with the day first as in 4.3.2026, or 2026-03-04",
    [CSV_DATE_MONTH_FIRST] = "with the month first as in 3/4/2026, or 2026-03-04",
};

/* The moment in the order that the file uses; MOMENT_NONE when there is none. */
static civil_time
moment_in_order(const struct spelled_time *spelled, enum csv_date_order order)
{
    if (order == CSV_DATE_CERTAIN)
        return spelled_time_certain(spelled) ? spelled->moment[0] : MOMENT_NONE;
    return spelled->moment[order == CSV_DATE_DAY_FIRST ? SPELLED_DAY_FIRST : SPELLED_MONTH_FIRST];
}

/* `ret_whole_day` tells whether the text had no time. */
static enum status
parse_moment(const struct csv_row *row, size_t column, civil_time *ret_moment, bool *ret_whole_day,
             struct failure *failure)
{
    struct spelled_time spelled = {.moment = {MOMENT_NONE, MOMENT_NONE}, .whole_day = true};
    const char *text = NULL;
    civil_time moment = MOMENT_NONE;

    if (field(row, column, &text, failure) != STATUS_OK)
        return failure->status;
    if (text != NULL) {
        if (spelled_time_read(text, true, &spelled))
            moment = moment_in_order(&spelled, row->dates);
        if (moment == MOMENT_NONE) {
            failure_set(failure, STATUS_FORMAT, "'%.40s' is not a date, expected one %s", text,
                        order_words[row->dates]);
            return csv_row_at(row, column, failure);
        }
    }
    *ret_whole_day = spelled.whole_day;
    *ret_moment = moment;
    return STATUS_OK;
}

enum status
csv_in_day(const struct csv_row *row, size_t column, civil_day *ret_day, struct failure *failure)
{
    civil_time moment = MOMENT_NONE;
    bool whole_day = true;

    if (parse_moment(row, column, &moment, &whole_day, failure) != STATUS_OK)
        return failure->status;
    if (!whole_day) {
        failure_set(failure, STATUS_FORMAT, "'%.40s' has a time, expected a date alone", row->fields[column]);
        return csv_row_at(row, column, failure);
    }
    *ret_day = moment == MOMENT_NONE ? DAY_NONE : clock_day_of(moment);
    return STATUS_OK;
}

/* A clock's time, or as a spreadsheet keeps it: the part of the day that has gone. */
static int
parse_time_of_day(const char *text)
{
    int seconds = spelled_time_of_day(text);
    struct failure ignored = {0};
    double part = NAN;

    if (seconds < 0 && number_parse(text, NUMBER_POINT_OR_COMMA, &part, &ignored) == STATUS_OK &&
        part >= 0.0 && part < 1.0)
        seconds = (int)(part * CLOCK_DAY_S + 0.5) % CLOCK_DAY_S;
    return seconds;
}

enum status
csv_in_time(const struct csv_row *row, size_t column, size_t time_column, civil_time *ret_moment,
            struct failure *failure)
{
    bool whole_day = true;
    civil_time moment = MOMENT_NONE;
    const char *time = NULL;
    int seconds;

    if (parse_moment(row, column, &moment, &whole_day, failure) != STATUS_OK ||
        (time_column != CSV_NO_COLUMN && field(row, time_column, &time, failure) != STATUS_OK))
        return failure->status;
    if (moment != MOMENT_NONE && time != NULL) {
        seconds = parse_time_of_day(time);
        if (seconds < 0 || !whole_day) {
            failure_set(failure, STATUS_FORMAT,
                        seconds < 0 ? "'%.40s' is not a time, expected one as in 10:05"
                                    : "'%.40s': the date has a time already",
                        time);
            return csv_row_at(row, time_column, failure);
        }
        moment += seconds;
    }
    *ret_moment = moment;
    return STATUS_OK;
}
