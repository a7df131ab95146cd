/* correct_values.c - what is typed to put a record right, as the notebook keeps it. */
#include "correct_values.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "batch_store.h"
#include "buffer.h"
#include "gear_store.h"
#include "memory.h"
#include "number.h"
#include "session.h"
#include "text.h"
#include "units.h"

enum { VALUES_MOST = 2 * CORRECT_FIELDS_MOST };

static char *
kept_number(double number)
{
    char text[NUMBER_TEXT_SIZE];

    return memory_copy(number_format(number, text));
}

static char *
kept_integer(int64_t number)
{
    return text_format("%lld", (long long)number);
}

/* -- gear -- */

static void
clear_all(struct gear *gear, size_t count)
{
    for (size_t i = 0; i < count; i++)
        gear_clear(&gear[i]);
    free(gear);
}

/* By name, or (NULL) by number. ret_gear is owned by the caller. */
static enum status
find_gear(struct store *store, const char *name, int64_t id, struct gear *ret_gear, struct failure *failure)
{
    struct gear *all = NULL;
    size_t count = 0;
    enum status status = gear_store_list(store, &all, &count, failure);
    bool found = false;

    for (size_t i = 0; i < count && !found; i++) {
        if (name == NULL ? all[i].id != id : !text_same(all[i].name, name))
            continue;
        *ret_gear = all[i];
        all[i] = (struct gear){0};
        found = true;
    }
    clear_all(all, count);
    if (status == STATUS_OK && !found && name != NULL)
        return failure_set(failure, STATUS_MISSING,
                           "there is no gear '%.60s' (gear list shows what there is)", name);
    return status == STATUS_OK && !found
               ? failure_set(failure, STATUS_MISSING, "there is no gear number %lld", (long long)id)
               : status;
}

/* What was measured with one kind of gear is not corrected to another kind. */
static enum status
kept_gear(struct context *context, const struct correct_target *target, const char *name, char **ret_value,
          struct failure *failure)
{
    struct gear gear = {0}, before = {0};
    enum gear_kind wanted = GEAR_BALANCE;
    enum status status = find_gear(context->store, name, 0, &gear, failure);

    if (status == STATUS_OK && target->gear_id != 0) {
        status = find_gear(context->store, NULL, target->gear_id, &before, failure);
        wanted = before.kind;
    }
    if (status == STATUS_OK && gear.kind != wanted)
        status = failure_set(failure, STATUS_CONFLICT, "'%s' is a %s, not a %s", gear.name,
                             gear_kind_word(gear.kind), gear_kind_word(wanted));
    if (status == STATUS_OK)
        *ret_value = kept_integer(gear.id);
    gear_clear(&before);
    gear_clear(&gear);
    return status;
}

/* -- words of a column -- */

static enum status
kept_steps(const char *typed, char **ret_value, struct failure *failure)
{
    struct gear paper;
    enum status status;

    gear_init(&paper, GEAR_PAPER);
    status = gear_parse_steps(&paper, typed, failure);
    if (status == STATUS_OK)
        *ret_value = gear_steps_text(&paper);
    gear_clear(&paper);
    return status;
}

static enum status
kept_role(const char *typed, char **ret_value, struct failure *failure)
{
    enum batch_role role;
    enum status status = batch_role_parse(typed, &role, failure);

    if (status == STATUS_OK)
        *ret_value = memory_copy(batch_role_word(role));
    return status;
}

static enum status
kept_buffer(const char *typed, char **ret_value, struct failure *failure)
{
    const struct buffer *buffer;
    enum status status = buffer_find(typed, &buffer, failure);

    if (status == STATUS_OK)
        *ret_value = memory_copy(buffer->name);
    return status;
}

static enum status
kept_purity(const char *typed, char **ret_value, struct failure *failure)
{
    double fraction = NAN;
    enum status status = units_parse_fraction(typed, &fraction, failure);

    if (status == STATUS_OK)
        *ret_value = kept_number(fraction);
    return status;
}

static enum status
kept_words(const char *column, const char *typed, char **ret_value, struct failure *failure)
{
    static const struct {
        const char *column;
        enum status (*keep)(const char *, char **, struct failure *);
    } ways[] = {{"steps", kept_steps},
                {"role", kept_role},
                {"buffer", kept_buffer},
                {"purity_fraction", kept_purity}};

    for (size_t i = 0; i < LENGTH(ways); i++)
        if (strcmp(ways[i].column, column) == 0)
            return ways[i].keep(typed, ret_value, failure);
    *ret_value = bar_label(typed); /* without blanks at its ends, and nothing is not stated */
    return STATUS_OK;
}

/* -- values -- */

static enum status
kept_moment(struct context *context, const struct options *options, char **ret_value, struct failure *failure)
{
    char text[MOMENT_TEXT_SIZE];
    civil_time moment = MOMENT_NONE;
    enum status status = context_moment(context, options, "at", &moment, failure);

    if (status == STATUS_OK)
        *ret_value = memory_copy(clock_moment_text(moment, text));
    return status;
}

static enum status
kept_batch(struct context *context, const char *code, char **ret_value, struct failure *failure)
{
    int64_t id = 0;
    enum status status = batch_store_id(context->store, code, &id, failure);

    if (status == STATUS_OK)
        *ret_value = kept_integer(id);
    return status;
}

static enum status
kept(struct context *context, const struct options *options, const struct correct_target *target,
     const struct correct_field *field, char **ret_value, struct failure *failure)
{
    const char *option = field->option;
    char text[MOMENT_TEXT_SIZE];

    switch (field->kind) {
    case CORRECT_NUMBER:
        if (strcmp(option, "purity") == 0)
            return kept_words(field->column, options_text(options, option), ret_value, failure);
        *ret_value = kept_number(options_number(options, option));
        return STATUS_OK;
    case CORRECT_NUMBER_OF_ROW:
        *ret_value = kept_integer((int64_t)options_number(options, option));
        return STATUS_OK;
    case CORRECT_DAY:
        *ret_value = memory_copy(clock_day_text(options_day(options, option), text));
        return STATUS_OK;
    case CORRECT_MOMENT:
        return kept_moment(context, options, ret_value, failure);
    case CORRECT_BATCH:
        return kept_batch(context, options_text(options, option), ret_value, failure);
    case CORRECT_GEAR:
        return kept_gear(context, target, options_text(options, option), ret_value, failure);
    case CORRECT_FLAG:
        *ret_value = memory_copy("1");
        return STATUS_OK;
    case CORRECT_TEXT:
    case CORRECT_WORKED_OUT:
    default:
        return kept_words(field->column, options_text(options, option), ret_value, failure);
    }
}

/* --between has two columns. */
static enum status
keep_range(struct context *context, const struct options *options, const struct correct_target *target,
           struct put_right_value *values, size_t *count, struct failure *failure)
{
    struct gear paper = {0};
    double low = NAN, high = NAN, with_it_c = NAN;
    enum status status = find_gear(context->store, NULL, target->gear_id, &paper, failure);

    if (status == STATUS_OK)
        status =
            answer_text_range(options_text(options, "between"), &paper, &low, &high, &with_it_c, failure);
    if (status == STATUS_OK && !isnan(with_it_c))
        status = failure_set(failure, STATUS_USAGE, "write the temperature as --temperature-c");
    if (status == STATUS_OK) {
        values[(*count)++] =
            (struct put_right_value){correctable_field(target->record, "ph_low"), kept_number(low)};
        values[(*count)++] =
            (struct put_right_value){correctable_field(target->record, "ph_high"), kept_number(high)};
    }
    gear_clear(&paper);
    return status;
}

/* A meter shows a pH, a paper a range. */
static enum status
check_method(struct context *context, const struct options *options, const struct correct_target *target,
             struct failure *failure)
{
    struct gear gear = {0};
    bool meter;
    enum status status;

    if (strcmp(target->record->word, "reading") != 0 ||
        (!options_has(options, "ph") && !options_has(options, "between")))
        return STATUS_OK;
    status = find_gear(context->store, NULL, target->gear_id, &gear, failure);
    meter = gear.kind == GEAR_METER;
    if (status == STATUS_OK && options_has(options, meter ? "between" : "ph"))
        status =
            failure_set(failure, STATUS_CONFLICT, "reading %lld is of %s: give %s", (long long)target->number,
                        meter ? "a meter" : "paper", meter ? "--ph" : "--between");
    gear_clear(&gear);
    return status;
}

static enum status
keep_field(struct context *context, const struct options *options, const struct correct_target *target,
           const struct correct_field *field, struct put_right_value *values, size_t *count,
           struct failure *failure)
{
    char *value = NULL;
    enum status status;

    if (strcmp(field->option, "between") == 0)
        return keep_range(context, options, target, values, count, failure);
    status = kept(context, options, target, field, &value, failure);
    if (status != STATUS_OK)
        return failure_at(failure, "--%s: ", field->option);
    values[(*count)++] = (struct put_right_value){field, value};
    if (strcmp(target->record->word, "reading") == 0 && strcmp(field->column, "calibration") == 0)
        values[(*count)++] = (struct put_right_value){correctable_field(target->record, "calibration_named"),
                                                      memory_copy("1")};
    return STATUS_OK;
}

/* --without FIELD */
static enum status
keep_nothing(const struct options *options, const struct correct_target *target,
             struct put_right_value *values, size_t *count, struct failure *failure)
{
    for (size_t i = 0; i < options_count(options, "without"); i++) {
        const char *name = options_text_at(options, "without", i);
        const struct correct_field *found = NULL;

        for (const struct correct_field *field = target->record->fields;
             field < target->record->fields + CORRECT_FIELDS_MOST && field->column != NULL; field++)
            if (field->option != NULL && text_same(field->option, name))
                found = field;
        if (found == NULL)
            return failure_set(failure, STATUS_USAGE, "--without: a %s has no '%.40s'", target->record->word,
                               name);
        if (*count < VALUES_MOST)
            values[(*count)++] = (struct put_right_value){found, NULL};
        if (strcmp(found->column, "calibration") == 0 && *count < VALUES_MOST)
            values[(*count)++] =
                (struct put_right_value){correctable_field(target->record, "calibration_named"), NULL};
    }
    return STATUS_OK;
}

enum status
correct_values_read(struct context *context, const struct options *options,
                    const struct correct_target *target, struct put_right_value **ret_values,
                    size_t *ret_count, struct failure *failure)
{
    struct put_right_value *values = memory_new((size_t)2 * VALUES_MOST, sizeof *values);
    size_t count = 0;
    enum status status = check_method(context, options, target, failure);

    for (size_t i = 0; status == STATUS_OK && i < CORRECT_FIELDS_MOST; i++) {
        const struct correct_field *field = &target->record->fields[i];

        if (field->column == NULL)
            break;
        if (field->option != NULL && options_has(options, field->option))
            status = keep_field(context, options, target, field, values, &count, failure);
    }
    if (status == STATUS_OK)
        status = keep_nothing(options, target, values, &count, failure);
    *ret_values = values;
    *ret_count = count;
    return status;
}

void
correct_values_free(struct put_right_value *values, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(values[i].value);
    free(values);
}

enum status
correct_values_number(struct context *context, const struct correctable *record, const char *name,
                      int64_t *ret_number, struct failure *failure)
{
    struct gear gear = {0};
    double number = NAN;
    enum status status;

    if (strcmp(record->word, "batch") == 0)
        return batch_store_id(context->store, name, ret_number, failure);
    if (strcmp(record->word, "gear") == 0) {
        status = find_gear(context->store, name, 0, &gear, failure);
        *ret_number = gear.id;
        gear_clear(&gear);
        return status;
    }
    status =
        number_parse_in(name, NUMBER_POINT, "the number of what is corrected", 1, 1e15, &number, failure);
    if (status == STATUS_OK)
        *ret_number = (int64_t)number;
    return status;
}
