/* number.h - text to number and back, the same in every locale.
 *
 * Rules
 * (1) The whole field or nothing: "21.5x", "", " 3" and "0x10" are not numbers.
 * (2) Finite numbers only: "inf", "nan" and "1e999" are refused.
 * (3) LC_NUMERIC stays "C" for the whole program, so strtod() knows the point alone. */
#ifndef NUMBER_H
#define NUMBER_H

#include <stddef.h>

#include "status.h"

/* Which decimal sign a text may use. */
enum number_decimal {
    NUMBER_POINT,         /* CSV files by default: 9.85 */
    NUMBER_COMMA,         /* CSV files that say so: 9,85 */
    NUMBER_POINT_OR_COMMA /* typed by a person: either, but not both in one number */
};

enum { NUMBER_TEXT_SIZE = 40 };

/* A decimal number with optional sign, decimals and exponent.
 *
 * STATUS_FORMAT when the text is not a number under rules 1 and 2 ("'21.5x' is not a number"). */
enum status number_parse(const char *text, enum number_decimal decimal, double *ret_number,
                         struct failure *failure);

/* The same for a number that must lie from `low` to `high`, ends included; `what` names it in the
 * message ("ph is 15, allowed is 0 to 14").
 *
 * STATUS_FORMAT as number_parse(), STATUS_RANGE outside. */
enum status number_parse_in(const char *text, enum number_decimal decimal, const char *what, double low,
                            double high, double *ret_number, struct failure *failure);

/* The shortest decimal text that reads back as the same number (9.87); an empty text for NAN, which
 * means "not measured". Gives `text`. */
const char *number_format(double number, char text[NUMBER_TEXT_SIZE]);

/* With its sign and `decimals` (0 to 9) decimals, as in "-0.05" and "+0.12"; what rounds to zero has no sign:
 * "0.00". NAN gives "nan". Gives `text`. */
const char *number_signed(double number, int decimals, char text[NUMBER_TEXT_SIZE]);

#endif
