/* csv_in.h - CSV files read row by row, columns found by their heading.
 *
 * Rules
 * (1) RFC 4180, strictly: a stray quotation mark ends the reading. LF, CRLF and lone CR end a line; a
 *     byte-order mark and blank lines are skipped, and so are rows of nothing but separators, which
 *     spreadsheets leave behind.
 * (2) The first row is the heading. Case and blanks around a heading do not matter. A column without a
 *     heading is skipped as long as nothing stands in it.
 * (3) A row (with the lines inside its quoted texts) has at most 1 MiB; memory does not grow with the
 *     file. NUL bytes are refused.
 * (4) A row that cannot be taken is a problem, and the reading goes on to find the others. Nothing is said
 *     about rows when the heading is wrong, or beyond a place where the text is not CSV.
 * (5) Every message begins with file and line.
 * (6) Where `skipped` is given, lines above the headings and rows that are no data are passed over and listed: a row
 *     with one value alone, as "2024" or a remark; and a row that lacks what every row must have and begins with a
 *     word for a sum or a mean. */
#ifndef CSV_IN_H
#define CSV_IN_H

#include <stddef.h>
#include <stdio.h>

#include "csv_near.h"
#include "csv_row.h"
#include "problems.h"
#include "status.h"
#include "text.h"

enum { CSV_ROW_LARGEST = 1 << 20, CSV_COLUMNS_MOST = 1000 };

/* What a file should hold and how it is written. All lent. */
struct csv_layout {
    const struct csv_column *columns;
    size_t columns_length;
    const struct csv_rename *renames;
    size_t renames_length;
    char separator;              /* ',', ';' or tab; 0: the one the heading has most of */
    size_t heading_line;         /* where the headings stand; 0: in the first line that is not blank */
    enum number_decimal decimal; /* NUMBER_POINT or NUMBER_COMMA */
    enum csv_date_order dates;
    size_t
        *unended; /* set to the line of a last row that no line break ends: it may be cut; NULL: not asked */
    struct text *ignored; /* headings that are not wanted are listed here; NULL: they are refused */
    struct text *skipped; /* rule 6; NULL: such rows are problems */
};

/* Takes one row, lent until it returns. What it refuses becomes a problem of the file, except for
 * STATUS_SYSTEM, which ends the reading; it may add further problems of the same row itself. */
typedef enum status csv_sink(const struct csv_row *row, void *payload, struct failure *failure);

/* Read a whole file from where the stream stands. `name` is the file's name in messages. `problems` takes
 * all problems found; NULL: the first one ends the reading.
 *
 * STATUS_OK when every row was taken (there may be none below the heading). Else the first problem's
 * status, STATUS_FORMAT for an empty file or a wrong heading, and the text of problems_status();
 * STATUS_SYSTEM when the file cannot be read or the sink says so. Rows before a problem went to the
 * sink already: the caller undoes them. */
enum status csv_in_read(FILE *input, const char *name, const struct csv_layout *layout, csv_sink *sink,
                        void *payload, struct problems *problems, struct failure *failure);

/* The wanted column that a heading stands for: by its other name if it has one, else by its own; CSV_NO_COLUMN: none. */
size_t csv_in_find(const struct csv_layout *layout, const char *heading);

/* Bytes up to and including the end of the first line, or all. */
size_t csv_in_line_length(const char *bytes, size_t length);

/* Bytes of a byte-order mark at the beginning of a file. */
size_t csv_in_mark(const char *bytes);

#endif
