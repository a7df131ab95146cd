/* csv_row.h - one row of a CSV file and its fields as numbers, dates and texts.
 *
 * Rules
 * (1) A message names file, line and column as the file's heading has it: "spring.csv:7: column
 *     'temperature_c': '21.5x' is not a number".
 * (2) An empty field and a column the file does not have are the same: not measured, not said. Where the
 *     column needs a value (CSV_VALUE) that is refused.
 * (3) One apostrophe in front is taken away where csv_out.h, rule 4, puts one. */
#ifndef CSV_ROW_H
#define CSV_ROW_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "clock.h"
#include "number.h"
#include "status.h"
#include "units.h"

enum csv_need {
    CSV_OPTIONAL, /* the file need not have the column */
    CSV_COLUMN,   /* it must have the column, the fields may be empty */
    CSV_VALUE     /* every row must have a value */
};

/* What a column holds, as far as it tells how the file is written (csv_look.h). */
enum csv_holds { CSV_TEXT, CSV_NUMBER, CSV_TIME };

/* A column that the reader wants. */
struct csv_column {
    const char *name;
    enum csv_need need;
    enum csv_holds holds;
    bool many; /* the file may have several of them side by side */
};

/* Which of 3/4/2026 is the day (spelled_time.h, rule 2). What cannot be mistaken is read in every order. */
enum csv_date_order { CSV_DATE_CERTAIN, CSV_DATE_DAY_FIRST, CSV_DATE_MONTH_FIRST };

/* Lent until the sink returns. `column` below is the index of a wanted column. */
struct csv_row {
    const char *file;                 /* its name in messages */
    size_t line;                      /* where the row begins, from 1 */
    uint64_t bytes_read;              /* of the file so far, for a progress bar */
    const struct csv_column *columns; /* the wanted ones */
    const char *const *fields;        /* by wanted column; NULL: the file has no such column */
    const char *const *headings;      /* by wanted column: the file's heading; NULL likewise */
    enum number_decimal decimal;
    enum csv_date_order dates;
    bool has_options; /* the maker can tell how the file is written: messages name the option */
};

/* Write the place in front of a failure about one field, control characters made visible, and give its
 * status: for what only the caller can know ("batch 'W-09' is unknown"). */
enum status csv_row_at(const struct csv_row *row, size_t column, struct failure *failure);

/* The text as it was written, lent until the sink returns; NULL when empty.
 * STATUS_FORMAT when it is not UTF-8 or is missing (rule 2). */
enum status csv_in_text(const struct csv_row *row, size_t column, const char **ret_text,
                        struct failure *failure);

/* A number from `low` to `high`, ends included; NAN when empty.
 * STATUS_FORMAT when it is no number or is missing, STATUS_RANGE when outside. */
enum status csv_in_number(const struct csv_row *row, size_t column, double low, double high,
                          double *ret_number, struct failure *failure);

/* Likewise a pH, percentage or temperature, behind which its unit may stand: "9.87 pH", "1 %", "104F". */
enum status csv_in_quantity(const struct csv_row *row, size_t column, enum units_of of, double low,
                            double high, double *ret_number, struct failure *failure);

/* Likewise a number that may be marked as an estimate: "~9.8", "ca. 9.8", "about 9.8", "9.8?". */
enum status csv_in_about(const struct csv_row *row, size_t column, enum units_of of, double low, double high,
                         double *ret_number, bool *ret_about, struct failure *failure);

/* A whole number from `low` to `high`, both within 2^53; `if_empty` when empty. Statuses as above. */
enum status csv_in_integer(const struct csv_row *row, size_t column, int64_t low, int64_t high,
                           int64_t if_empty, int64_t *ret_number, struct failure *failure);

/* A date; DAY_NONE when empty. STATUS_FORMAT. */
enum status csv_in_day(const struct csv_row *row, size_t column, civil_day *ret_day, struct failure *failure);

/* A date with or without a time; MOMENT_NONE when empty. STATUS_FORMAT.
 * time_column  one in which a time of day may stand by itself; CSV_NO_COLUMN: there is none */
#define CSV_NO_COLUMN SIZE_MAX
enum status csv_in_time(const struct csv_row *row, size_t column, size_t time_column, civil_time *ret_moment,
                        struct failure *failure);

#endif
