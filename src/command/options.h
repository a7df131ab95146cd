/* options.h - the command line: one table says what may be written, what --help shows and what the shell
 * completes.
 *
 * Rules
 * (1) --name VALUE and --name=VALUE are the same; options and names may be mixed; after -- come names
 *     only.
 * (2) A number may use a decimal comma, and the unit of what it measures behind it (units.h).
 * (3) Everything is read and checked before a command runs, so that the accessors cannot fail.
 * (4) An OPTION_FILE with `optional` set takes the next word only when it looks like a file: it ends in
 *     .csv or holds a slash. */
#ifndef OPTIONS_H
#define OPTIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "clock.h"
#include "status.h"

enum option_kind {
    OPTION_FLAG,
    OPTION_TEXT,
    OPTION_FILE,
    OPTION_NUMBER,
    OPTION_PH,
    OPTION_PERCENT,
    OPTION_INTEGER,
    OPTION_MASS,          /* kept in g */
    OPTION_TEMPERATURE,   /* kept in degC */
    OPTION_VOLUME,        /* kept in mL */
    OPTION_CONCENTRATION, /* kept in mol/L */
    OPTION_DAY,
    OPTION_TIME
};

/* What one option is. An array of them ends with a NULL name. */
struct option_spec {
    const char *name; /* without the dashes */
    enum option_kind kind;
    const char *value; /* what --help calls its value, as in FILE; NULL for a flag */
    const char *help;
    double low, high; /* of a number; 0 and 0: any */
    bool many;        /* may be written more than once */
    bool optional;    /* its value may be left out (rule 4) */
};

struct options;

/* Read the words after the command's name, typed at `now`: a day or time may be written as spelled_time_typed() takes it.
 * ret_options  given: options_close() it
 * STATUS_USAGE with the word that is wrong and, for an unknown option, the nearest one;
 * STATUS_FORMAT or STATUS_RANGE for a value. */
enum status options_parse(const struct option_spec *specs, int argc, char **argv, civil_time now,
                          struct options **ret_options, struct failure *failure);
void options_close(struct options *options);

/* Names: the words that are no options. Lent by the options. */
size_t options_name_count(const struct options *options);
const char *options_name(const struct options *options, size_t index);

/* Does the command have this option? To ask one that it does not have for its value ends the program. */
bool options_takes(const struct options *options, const char *name);

/* Was it written? How often? */
bool options_has(const struct options *options, const char *name);
size_t options_count(const struct options *options, const char *name);

/* The last value written; NULL, NAN, DAY_NONE, MOMENT_NONE or `otherwise` when it was not. */
const char *options_text(const struct options *options, const char *name);
const char *options_text_at(const struct options *options, const char *name, size_t index);
double options_number(const struct options *options, const char *name);
double options_number_at(const struct options *options, const char *name, size_t index);
double options_number_or(const struct options *options, const char *name, double otherwise);
civil_day options_day(const struct options *options, const char *name);
civil_time options_time(const struct options *options, const char *name);

/* How many options were written, and the i-th in the order of writing (for orders that matter). */
size_t options_written(const struct options *options);
const char *options_written_name(const struct options *options, size_t index);
const char *options_written_text(const struct options *options, size_t index);

#endif
