/* options.c - the command line. */
#include "options.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "spelled_time.h"
#include "text.h"
#include "units.h"

struct written {
    const struct option_spec *spec;
    const char *text; /* lent from argv; NULL for a flag or a value left out */
    double number;
    civil_day day;
    civil_time time;
};

struct options {
    const struct option_spec *specs;
    civil_time now; /* as they were typed */
    const char **names;
    size_t name_count;
    struct written *written;
    size_t written_count;
};

static const struct option_spec *
find(const struct option_spec *specs, const char *name, size_t length)
{
    for (; specs->name != NULL; specs++)
        if (strncmp(specs->name, name, length) == 0 && specs->name[length] == '\0')
            return specs;
    return NULL;
}

static enum status
unknown(const struct option_spec *specs, const char *word, size_t length, struct failure *failure)
{
    char *name = text_format("%.*s", (int)length, word);
    const char *known[64], *nearest;
    size_t count = 0;

    for (; specs[count].name != NULL && count < LENGTH(known); count++)
        known[count] = specs[count].name;
    nearest = text_nearest(name, known, count);
    if (nearest != NULL)
        failure_set(failure, STATUS_USAGE, "there is no option '--%.60s' here; did you mean '--%s'?", name,
                    nearest);
    else
        failure_set(failure, STATUS_USAGE, "there is no option '--%.60s' here (--help lists them)", name);
    free(name);
    return STATUS_USAGE;
}

static enum status
check_range(const struct option_spec *spec, const char *text, double number, struct failure *failure)
{
    if (spec->low == 0.0 && spec->high == 0.0)
        return STATUS_OK;
    if (!(number >= spec->low && number <= spec->high))
        return failure_set(failure, STATUS_RANGE, "%g is outside %g to %g%s", number, spec->low, spec->high,
                           spec->kind == OPTION_TEMPERATURE && strpbrk(text, "CcFf") == NULL
                               ? " degC (write 104F for Fahrenheit)"
                               : "");
    return STATUS_OK;
}

static enum status
parse_day(const char *text, civil_time now, civil_day *ret_day, struct failure *failure)
{
    civil_time moment = MOMENT_NONE;
    bool whole_day = false;
    enum status status = spelled_time_typed(text, now, &moment, &whole_day, failure);

    if (status == STATUS_OK && !whole_day)
        return failure_set(failure, STATUS_FORMAT, "'%.40s' is a day and a time, expected a day alone", text);
    if (status == STATUS_OK)
        *ret_day = clock_day_of(moment);
    return status;
}

static enum status
parse_value(struct written *written, const char *text, civil_time now, struct failure *failure)
{
    bool whole_day;
    const struct option_spec *spec = written->spec;
    enum status status = STATUS_OK;

    written->text = text;
    switch (spec->kind) {
    case OPTION_NUMBER:
        status = number_parse(text, NUMBER_POINT_OR_COMMA, &written->number, failure);
        break;
    case OPTION_PH:
        status = units_parse_number(text, UNITS_PH, NUMBER_POINT_OR_COMMA, &written->number, failure);
        break;
    case OPTION_PERCENT:
        status = units_parse_number(text, UNITS_PERCENT, NUMBER_POINT_OR_COMMA, &written->number, failure);
        break;
    case OPTION_INTEGER:
        status = number_parse(text, NUMBER_POINT, &written->number, failure);
        if (status == STATUS_OK && (rint(written->number) != written->number || fabs(written->number) > 1e15))
            status = failure_set(failure, STATUS_FORMAT, "'%.40s' is not a whole number", text);
        break;
    case OPTION_MASS:
        status = units_parse_mass(text, &written->number, failure);
        break;
    case OPTION_TEMPERATURE:
        status = units_parse_temperature(text, &written->number, failure);
        break;
    case OPTION_VOLUME:
        status = units_parse_number(text, UNITS_VOLUME, NUMBER_POINT_OR_COMMA, &written->number, failure);
        break;
    case OPTION_CONCENTRATION:
        status =
            units_parse_number(text, UNITS_CONCENTRATION, NUMBER_POINT_OR_COMMA, &written->number, failure);
        break;
    case OPTION_DAY:
        return parse_day(text, now, &written->day, failure);
    case OPTION_TIME:
        return spelled_time_typed(text, now, &written->time, &whole_day, failure);
    case OPTION_FLAG:
    case OPTION_TEXT:
    case OPTION_FILE:
    default:
        return STATUS_OK;
    }
    return status == STATUS_OK ? check_range(spec, text, written->number, failure) : status;
}

/* Rule 4. */
static bool
looks_like_file(const char *word)
{
    size_t length = strlen(word);

    return strchr(word, '/') != NULL || (length > 4 && text_same(word + length - 4, ".csv"));
}

/* One option; *index is at its word and is moved to the last word it used. */
static enum status
parse_option(struct options *options, int argc, char **argv, int *index, struct failure *failure)
{
    const char *name = argv[*index] + 2, *equals = strchr(name, '=');
    size_t length = equals == NULL ? strlen(name) : (size_t)(equals - name);
    struct written written = {
        .spec = find(options->specs, name, length), .number = NAN, .day = DAY_NONE, .time = MOMENT_NONE};
    const char *value = equals == NULL ? NULL : equals + 1;
    enum status status = STATUS_OK;

    if (written.spec == NULL)
        return unknown(options->specs, name, length, failure);
    if (!written.spec->many && options_has(options, written.spec->name))
        return failure_set(failure, STATUS_USAGE, "--%s is written twice", written.spec->name);
    if (written.spec->kind == OPTION_FLAG) {
        if (value != NULL)
            return failure_set(failure, STATUS_USAGE, "--%s takes no value", written.spec->name);
    } else {
        if (value == NULL && *index + 1 < argc &&
            (!written.spec->optional || looks_like_file(argv[*index + 1])))
            value = argv[++*index];
        if (value == NULL && !written.spec->optional)
            return failure_set(failure, STATUS_USAGE, "--%s needs a value (%s)", written.spec->name,
                               written.spec->value);
        if (value != NULL)
            status = parse_value(&written, value, options->now, failure);
    }
    if (status != STATUS_OK)
        return failure_at(failure, "--%s: ", written.spec->name);
    options->written[options->written_count++] = written;
    return STATUS_OK;
}

enum status
options_parse(const struct option_spec *specs, int argc, char **argv, civil_time now,
              struct options **ret_options, struct failure *failure)
{
    struct options *options = memory_new(1, sizeof *options);
    enum status status = STATUS_OK;
    bool names_only = false;

    options->specs = specs;
    options->now = now;
    options->names = memory_new((size_t)argc, sizeof *options->names);
    options->written = memory_new((size_t)argc, sizeof *options->written);
    for (int i = 0; status == STATUS_OK && i < argc; i++) {
        if (!names_only && strcmp(argv[i], "--") == 0)
            names_only = true;
        else if (!names_only && strncmp(argv[i], "--", 2) == 0)
            status = parse_option(options, argc, argv, &i, failure);
        else if (!names_only && argv[i][0] == '-' && argv[i][1] != '\0')
            status = failure_set(failure, STATUS_USAGE, "'%.60s' is no option; options begin with two dashes",
                                 argv[i]);
        else
            options->names[options->name_count++] = argv[i];
    }
    if (status != STATUS_OK) {
        options_close(options);
        return status;
    }
    *ret_options = options;
    return STATUS_OK;
}

void
options_close(struct options *options)
{
    if (options == NULL)
        return;
    free(options->names);
    free(options->written);
    free(options);
}

size_t
options_name_count(const struct options *options)
{
    return options->name_count;
}

const char *
options_name(const struct options *options, size_t index)
{
    return options->names[index];
}

bool
options_takes(const struct options *options, const char *name)
{
    return find(options->specs, name, strlen(name)) != NULL;
}

/* A name that the command does not have would be "not written" for ever: a mistake in this program. */
static void
check_asked(const struct options *options, const char *name)
{
    if (options_takes(options, name))
        return;
    fprintf(stderr, "curetrace: the program asks for --%s, which this command does not have\n", name);
    abort();
}

/* The index-th time that an option was written; NULL when it was written less often. */
static const struct written *
at(const struct options *options, const char *name, size_t index)
{
    check_asked(options, name);
    for (size_t i = 0; i < options->written_count; i++)
        if (strcmp(options->written[i].spec->name, name) == 0 && index-- == 0)
            return &options->written[i];
    return NULL;
}

static const struct written *
last(const struct options *options, const char *name)
{
    size_t count = options_count(options, name);

    return count == 0 ? NULL : at(options, name, count - 1);
}

size_t
options_count(const struct options *options, const char *name)
{
    size_t count = 0;

    for (size_t i = 0; i < options->written_count; i++)
        if (strcmp(options->written[i].spec->name, name) == 0)
            count++;
    return count;
}

bool
options_has(const struct options *options, const char *name)
{
    return at(options, name, 0) != NULL;
}

const char *
options_text_at(const struct options *options, const char *name, size_t index)
{
    const struct written *written = at(options, name, index);

    return written == NULL ? NULL : written->text;
}

const char *
options_text(const struct options *options, const char *name)
{
    const struct written *written = last(options, name);

    return written == NULL ? NULL : written->text;
}

double
options_number(const struct options *options, const char *name)
{
    return options_number_or(options, name, NAN);
}

double
options_number_at(const struct options *options, const char *name, size_t index)
{
    const struct written *written = at(options, name, index);

    return written == NULL ? (double)NAN : written->number;
}

double
options_number_or(const struct options *options, const char *name, double otherwise)
{
    const struct written *written = last(options, name);

    return written == NULL ? otherwise : written->number;
}

civil_day
options_day(const struct options *options, const char *name)
{
    const struct written *written = last(options, name);

    return written == NULL ? DAY_NONE : written->day;
}

civil_time
options_time(const struct options *options, const char *name)
{
    const struct written *written = last(options, name);

    return written == NULL ? MOMENT_NONE : written->time;
}

size_t
options_written(const struct options *options)
{
    return options->written_count;
}

const char *
options_written_name(const struct options *options, size_t index)
{
    return options->written[index].spec->name;
}

const char *
options_written_text(const struct options *options, size_t index)
{
    return options->written[index].text;
}
