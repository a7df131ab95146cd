/* csv_manner.h - how a CSV file is written: what stands between its fields and before its decimals. */
#ifndef CSV_MANNER_H
#define CSV_MANNER_H

#include <stdbool.h>

#include "number.h"
#include "status.h"

/* How a table is written; zeroed: a comma between the fields, a decimal point. */
struct csv_manner {
    char separator;     /* ',', ';' or tab; 0: a comma */
    bool decimal_comma; /* not with a comma between the fields */
};

/* "comma", "semicolon", "tab" or the sign itself. STATUS_USAGE. */
enum status csv_manner_separator(const char *text, char *ret_separator, struct failure *failure);

/* "point", "comma" or the sign itself. STATUS_USAGE. */
enum status csv_manner_decimal(const char *text, enum number_decimal *ret_decimal, struct failure *failure);

/* Both as they were told; NULL: not told. With a decimal comma the fields are separated by semicolons, unless told.
 * STATUS_USAGE, for two commas too. */
enum status csv_manner_of(const char *separator, const char *decimal, struct csv_manner *ret_manner,
                          struct failure *failure);

#endif
