/* csv_look.h - how a CSV file is written, found out from the file itself before a row of it is taken.
 *
 * Rules
 * (1) The headings stand in the row, among the first forty, in which most of the wanted columns are found, one that
 *     every row must have among them and two at least; else in the first row with more than one value. The separator is
 *     the one with which that row is found.
 * (2) Which part of 3.4.2025 is the day, and whether 9,88 is a number, all rows together show. A date that only one
 *     order reads shows the order; numbers show the decimal sign, unless each of them may have a mark between
 *     thousands instead (1,250).
 * (3) What they leave open, or say both ways, is a problem of the file: one line that names the option. The rows are
 *     then read as most of them are written, so that the others can be listed. */
#ifndef CSV_LOOK_H
#define CSV_LOOK_H

#include "csv_in.h"

struct csv_look {
    char **headings; /* owned, in the order of the file */
    size_t heading_count;
    size_t heading_line; /* 0: none was found */
    char separator;      /* 0 likewise */
};

/* Rule 1. `layout` says what is wanted and, if it is known, the separator. The stream must be one that can be rewound,
 * and is. */
void csv_look_heading(FILE *input, const struct csv_layout *layout, struct csv_look *ret_look);
void csv_look_clear(struct csv_look *look);

/* Rules 2 and 3, for a layout that is complete but for the two: sets those that are asked for. `name` is the file's in
 * messages. The stream is rewound before and after. */
void csv_look_rows(FILE *input, const char *name, struct csv_layout *layout, bool find_dates,
                   bool find_decimal, struct problems *problems);

#endif
