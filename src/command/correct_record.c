/* correct_record.c - put values of any record right, or withdraw it. */
#include "correct_record.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_state.h"
#include "batch_store.h"
#include "correct_calibration.h"
#include "correct_check.h"
#include "correct_values.h"
#include "follow_store.h"
#include "memory.h"
#include "session_store.h"
#include "text.h"

/* -- what was typed -- */

static const struct correct_field *
field_of_option(const struct correctable *record, const char *option)
{
    for (size_t i = 0; i < CORRECT_FIELDS_MOST && record->fields[i].column != NULL; i++)
        if (record->fields[i].option != NULL && strcmp(record->fields[i].option, option) == 0)
            return &record->fields[i];
    return NULL;
}

/* A reading's batch and bar are those of its portion. */
static bool
goes_to_portion(const struct correctable *record, const struct options *options)
{
    return strcmp(record->word, "reading") == 0 &&
           (options_has(options, "batch") || options_has(options, "bar"));
}

/* The options that say what is right of a record. Given: free() it. */
static char *
options_of(const struct correctable *record)
{
    struct text text = {0};

    for (size_t i = 0; i < CORRECT_FIELDS_MOST && record->fields[i].column != NULL; i++)
        if (record->fields[i].option != NULL)
            text_addf(&text, "%s--%s", text.length == 0 ? "" : ", ", record->fields[i].option);
    return text_take(&text);
}

static enum status
check_option(const struct correctable *record, const char *option, size_t *values, struct failure *failure)
{
    static const char *const always[] = {"why", "by", "notebook", "withdraw", "weighing"};
    bool portions =
        strcmp(record->word, "reading") == 0 && (strcmp(option, "batch") == 0 || strcmp(option, "bar") == 0);
    char *known;

    for (size_t i = 0; i < LENGTH(always); i++)
        if (strcmp(always[i], option) == 0)
            return STATUS_OK;
    (*values)++;
    if (portions || strcmp(option, "without") == 0 || field_of_option(record, option) != NULL)
        return STATUS_OK;
    known = options_of(record);
    failure_set(failure, STATUS_USAGE, "--%s is not said of a %s: %s", option, record->word, known);
    free(known);
    return STATUS_USAGE;
}

enum status
correct_record_check(const struct options *options, const struct correctable *record, struct failure *failure)
{
    static const char *const withdrawn[] = {"reading",     "weighing", "titration", "observation",
                                            "calibration", "plan",     "line"};
    bool can_withdraw = false;
    size_t values = 0;

    for (size_t i = 0; i < LENGTH(withdrawn); i++)
        can_withdraw = can_withdraw || strcmp(withdrawn[i], record->word) == 0;
    for (size_t i = 0; i < options_written(options); i++)
        if (check_option(record, options_written_name(options, i), &values, failure) != STATUS_OK)
            return failure->status;
    if (options_has(options, "withdraw") && !can_withdraw)
        return failure_set(failure, STATUS_USAGE, "a %s is not withdrawn, only put right", record->word);
    if ((values > 0) == options_has(options, "withdraw")) {
        char *known = options_of(record);

        failure_set(failure, STATUS_USAGE, "say what is right (%s)%s", known,
                    can_withdraw ? ", or that it is withdrawn (--withdraw)" : "");
        free(known);
        return STATUS_USAGE;
    }
    return STATUS_OK;
}

/* -- the change -- */

struct change {
    struct correct_target target;
    char *named; /* owned: "batch W-07", "reading 12" */
    struct put_right_reason reason;
    struct put_right_value *values; /* owned */
    size_t value_count;
    bool withdrawn;
    struct standings before;
    int64_t now; /* number of the row that stands */
};

static enum status
apply_plan_or_row(struct context *context, struct change *change, struct failure *failure)
{
    const struct correctable *record = change->target.record;

    if (change->withdrawn && strcmp(record->word, "plan") == 0)
        return plan_entry_store_drop(context->store, change->target.number, change->reason.at,
                                     change->reason.why, failure);
    if (record->way == CORRECT_BY_RECIPE)
        return correct_check_line(context, &change->target, change->values, change->value_count,
                                  change->withdrawn, &change->reason, failure);
    return correction_store_add(context->store, record, change->target.number, change->values,
                                change->value_count, change->withdrawn, &change->reason, &change->now,
                                failure);
}

static enum status
apply(struct context *context, struct change *change, struct failure *failure)
{
    enum status status =
        correct_check_before(context, &change->target, change->values, change->value_count, failure);

    change->now = change->target.number;
    if (status == STATUS_OK)
        status = apply_plan_or_row(context, change, failure);
    if (status == STATUS_OK)
        status = correct_calibration_follow(context, &change->target, &change->reason, failure);
    if (status == STATUS_OK && !change->withdrawn)
        status = correct_check_after(context, &change->target, change->now, failure);
    return status;
}

static void
say(const struct context *context, const struct change *change)
{
    if (change->now != change->target.number)
        fprintf(context->out, "%s is %s by %lld; the old one stays on record\n", change->named,
                change->withdrawn ? "withdrawn" : "superseded", (long long)change->now);
    else
        fprintf(context->out, "%s is %s; what was there stays on record\n", change->named,
                change->withdrawn ? "withdrawn" : "put right");
}

static enum status
settle(struct context *context, const struct change *change, struct failure *failure)
{
    char *cause = text_format("%s was %s: %s", change->named, change->withdrawn ? "withdrawn" : "put right",
                              change->reason.why);
    enum status status = batch_state_after_change(context, &change->before, cause, failure);

    free(cause);
    return status;
}

/* The target and what stands before anything is changed. */
static enum status
look(struct context *context, const struct options *options, struct change *change, struct failure *failure)
{
    enum status status = correct_check_find(context, &change->target, failure);

    if (status == STATUS_OK && goes_to_portion(change->target.record, options)) {
        status = correct_check_portion_of(context, &change->target, failure);
        free(change->named);
        change->named = text_format("portion %lld", (long long)change->target.number);
    }
    if (status == STATUS_OK)
        status = correct_values_read(context, options, &change->target, &change->values, &change->value_count,
                                     failure);
    if (status == STATUS_OK)
        status = correct_check_batches(context, &change->target, change->values, change->value_count,
                                       &change->before, failure);
    return status;
}

static enum status
put_right(struct context *context, const struct options *options, struct change *change,
          struct failure *failure)
{
    enum status status = look(context, options, change, failure);

    if (status == STATUS_OK)
        status = apply(context, change, failure);
    if (status == STATUS_OK) {
        say(context, change);
        status = settle(context, change, failure);
    }
    correct_values_free(change->values, change->value_count);
    standings_clear(&change->before);
    return status;
}

enum status
correct_record(struct context *context, const struct options *options, const struct correctable *record,
               const char *name, struct failure *failure)
{
    struct change change = {
        .target.record = record,
        .reason = {options_text(options, "why"), options_text(options, "by"), context_now(context)},
        .named = text_format("%s %s", record->word, name),
        .withdrawn = options_has(options, "withdraw")};
    struct held_words held;
    enum status status = context_begin(context, &held, failure);

    if (status != STATUS_OK) {
        free(change.named);
        return status;
    }
    status = correct_values_number(context, record, name, &change.target.number, failure);
    if (status == STATUS_OK)
        status = put_right(context, options, &change, failure);
    free(change.named);
    return context_commit(context, &held, status, failure);
}
