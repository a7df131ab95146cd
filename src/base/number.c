/* number.c - text to number and back. */
#include "number.h"

#include <assert.h>
#include <errno.h>
#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { LONGEST = 64 };

/* Sizes of numbers that are written without an exponent, and faster than by printf(). */
#define FORMAT_LEAST 1e-4
#define FORMAT_BELOW 1e8

static enum status
not_a_number(const char *text, struct failure *failure)
{
    return failure_set(failure, STATUS_FORMAT, "'%.40s' is not a number", text);
}

/* strtod() also takes blanks, hexadecimal, "inf" and "nan"; these characters keep them out. */
static bool
plain(const char *text)
{
    return strspn(text, "+-.eE0123456789") == strlen(text) && strpbrk(text, "0123456789") != NULL;
}

enum status
number_parse(const char *text, enum number_decimal decimal, double *ret_number, struct failure *failure)
{
    char copy[LONGEST];
    size_t length = strlen(text);
    double number;
    char *comma, *end;

    if (length == 0)
        return failure_set(failure, STATUS_FORMAT, "a number is missing");
    if (length >= sizeof copy)
        return not_a_number(text, failure);
    memcpy(copy, text, length + 1);
    comma = strchr(copy, ',');
    if (decimal != NUMBER_POINT && comma != NULL) {
        if (strchr(copy, '.') != NULL)
            return not_a_number(text, failure);
        *comma = '.';
    } else if (decimal == NUMBER_COMMA && strchr(copy, '.') != NULL) {
        return not_a_number(text, failure);
    }
    if (!plain(copy))
        return not_a_number(text, failure);
    number = strtod(copy, &end);
    if (*end != '\0')
        return not_a_number(text, failure);
    if (!isfinite(number))
        return failure_set(failure, STATUS_FORMAT, "'%.40s' is too large a number", text);
    *ret_number = number;
    return STATUS_OK;
}

enum status
number_parse_in(const char *text, enum number_decimal decimal, const char *what, double low, double high,
                double *ret_number, struct failure *failure)
{
    double number = NAN;
    enum status status = number_parse(text, decimal, &number, failure);

    if (status != STATUS_OK)
        return failure_at(failure, "%s: ", what);
    if (!(number >= low && number <= high))
        return failure_set(failure, STATUS_RANGE, "%s is %g, allowed is %g to %g", what, number, low, high);
    *ret_number = number;
    return STATUS_OK;
}

/* `whole` with its last `decimals` digits behind a point. */
static void
put_decimal(uint64_t whole, size_t decimals, bool negative, char text[NUMBER_TEXT_SIZE])
{
    char digits[NUMBER_TEXT_SIZE], *end = digits + sizeof digits, *start = end;

    for (size_t written = 0; whole > 0 || written <= decimals; written++) {
        if (written == decimals && decimals > 0)
            *--start = '.';
        *--start = (char)('0' + whole % 10);
        whole /= 10;
    }
    if (negative)
        *--start = '-';
    memcpy(text, start, (size_t)(end - start));
    text[end - start] = '\0';
}

/* Most measured numbers are a whole number of 15 digits at most, divided by a small power of ten. Both are
 * exact doubles, so their quotient is the double nearest to that decimal, and the fewest decimals that
 * give `number` are its shortest text: what the loop in number_format() finds, several times faster. */
static bool
format_short(double number, char text[NUMBER_TEXT_SIZE])
{
    static const double power[] = {1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6};
    double size = fabs(number);

    if (!(size >= FORMAT_LEAST && size < FORMAT_BELOW))
        return false;
    for (size_t decimals = 0; decimals < sizeof power / sizeof power[0]; decimals++) {
        long long whole = (long long)(size * power[decimals] + 0.5); /* checked in the next line */

        if ((double)whole / power[decimals] != size)
            continue;
        put_decimal((uint64_t)whole, decimals, number < 0.0, text);
        return true;
    }
    return false;
}

#ifdef __SIZEOF_INT128__
__extension__ typedef unsigned __int128 wide;

/* What "%.*g" and strtod() find for 15, 16 and 17 digits, in whole numbers: `number` is a mantissa below 2^53
 * over 2^shift, and 10^decimals times it fits 128 bits. Worked-out columns of a CSV file take most of their
 * time here. */
static bool
format_exact(double number, char text[NUMBER_TEXT_SIZE])
{
    int exponent;
    uint64_t mantissa = (uint64_t)ldexp(frexp(fabs(number), &exponent), 53);
    int shift = 53 - exponent;
    double least = FORMAT_LEAST; /* the power of ten not above the number */
    size_t decimals = 18;        /* of 15 digits */
    wide power = 1;

    /* Below a power of two the neighbour is half as far: printf() knows. */
    if (!(fabs(number) >= FORMAT_LEAST && fabs(number) < FORMAT_BELOW) || mantissa == UINT64_C(1) << 52)
        return false;
    for (; fabs(number) >= least * 10.0; least *= 10.0)
        decimals--;
    for (size_t i = 0; i < decimals; i++)
        power *= 10;
    for (size_t digits = 15; digits <= 17; digits++, decimals++, power *= 10) {
        wide exact = mantissa * power, whole = exact >> shift, part = exact - (whole << shift);
        wide half = (wide)1 << (shift - 1), away;

        if (part > half || (part == half && (whole & 1) != 0))
            whole++;
        away = whole << shift > exact ? (whole << shift) - exact : exact - (whole << shift);
        if (2 * away > power || (2 * away == power && (mantissa & 1) != 0))
            continue; /* reads back as a neighbour */
        for (; whole % 10 == 0 && decimals > 0; decimals--)
            whole /= 10;
        put_decimal((uint64_t)whole, decimals, number < 0.0, text);
        return true;
    }
    return false;
}
#else
static bool
format_exact(double number, char text[NUMBER_TEXT_SIZE])
{
    (void)number;
    (void)text;
    return false;
}
#endif

const char *
number_format(double number, char text[NUMBER_TEXT_SIZE])
{
    if (isnan(number)) {
        text[0] = '\0';
        return text;
    }
    if (format_short(number, text) || format_exact(number, text))
        return text;
    for (int digits = 15; digits <= 17; digits++) {
        snprintf(text, NUMBER_TEXT_SIZE, "%.*g", digits, number);
        if (strtod(text, NULL) == number)
            break;
    }
    return text;
}

const char *
number_signed(double number, int decimals, char text[NUMBER_TEXT_SIZE])
{
    assert(decimals >= 0 && decimals <= 9);
    snprintf(text, NUMBER_TEXT_SIZE, "%+.*f", decimals, number);
    if (!isnan(number) && strpbrk(text, "123456789i") == NULL) /* i: infinite */
        memmove(text, text + 1, strlen(text));
    return text;
}
