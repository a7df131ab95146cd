/* csv_near.h - wanted columns under other names: as the maker says, and which one an unknown heading may stand for.
 *
 * Rules
 * (1) Closest is a column whose name the heading has as a word; then one by what makers call it ("percent", "date");
 *     then one that is spelled nearly alike; then one that shares a word with it ("soap_pct" and
 *     concentration_pct), or the first three letters of one. */
#ifndef CSV_NEAR_H
#define CSV_NEAR_H

#include <stddef.h>

#include "csv_row.h"
#include "status.h"

/* "The wanted column is called something else in this file." Owns the heading. */
struct csv_rename {
    size_t column;
    char *heading;
};

/* The names nearest to `heading`, the nearest first.
 *
 * names      of the columns that may be meant
 * ret_near   room for `most`; lent from `names`
 * Gives how many there are, at most `most`; 0: none. */
size_t csv_near(const char *heading, const char *const *names, size_t count, const char **ret_near,
                size_t most);

/* "ph=Meter pH": the column ph is called 'Meter pH'. Clear the result with csv_rename_clear().
 * STATUS_USAGE when it is not of that form or names a column that is not wanted. */
enum status csv_rename_parse(const char *text, const struct csv_column *columns, size_t columns_length,
                             struct csv_rename *ret_rename, struct failure *failure);
void csv_rename_clear(struct csv_rename *rename);

#endif
