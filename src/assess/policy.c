/* policy.c - what the maker asks for before a batch is released, and when something counts as due. */
#include "policy.h"

#include <math.h>

#include "memory.h"
#include "number.h"
#include "text.h"

/* A yes or no has `most` 1 and `yes`; the others are whole numbers from 0. */
static const struct {
    const char *name, *help;
    bool yes;
    int most;
} table[POLICY_COUNT] = {
    {"checked-meter", "the verdict rests on a meter that was checked in buffers (or on a titration)", true,
     1},
    {"ages", "at how many different ages it was within", false, 10},
    {"deviations-explained", "steps that were not done as written have a reason on record", true, 1},
    {"titration", "a titration says within; a reworked batch always needs those of two bars", true, 1},
    {"cure-days", "how old the batch is at a judged test that a release by pH rests on; 28 at least", false,
     730},
    {"calibration-days", "due: a meter is to be calibrated when that was longer ago", false, 365},
    {"window-days", "due: a test so many days before its planned day counts as that test", false, 60},
};

void
policy_init(struct policy *policy)
{
    *policy = (struct policy){.checked_meter = true,
                              .ages = 2,
                              .deviations_explained = true,
                              .titration = false,
                              .cure_days = POLICY_CURE_DAYS_LEAST,
                              .calibration_days = 1,
                              .window_days = 2};
}

static void
put(struct policy *policy, size_t index, int value)
{
    switch (index) {
    case 0:
        policy->checked_meter = value != 0;
        break;
    case 1:
        policy->ages = value;
        break;
    case 2:
        policy->deviations_explained = value != 0;
        break;
    case 3:
        policy->titration = value != 0;
        break;
    case 4:
        policy->cure_days = value < POLICY_CURE_DAYS_LEAST ? POLICY_CURE_DAYS_LEAST : value;
        break;
    case 5:
        policy->calibration_days = value;
        break;
    default:
        policy->window_days = value;
        break;
    }
}

static int
get(const struct policy *policy, size_t index)
{
    const int values[POLICY_COUNT] = {policy->checked_meter, policy->ages,      policy->deviations_explained,
                                      policy->titration,     policy->cure_days, policy->calibration_days,
                                      policy->window_days};

    return values[index];
}

static enum status
parse(size_t index, const char *text, int *ret_value, struct failure *failure)
{
    double number;

    if (table[index].yes) {
        if (!text_same(text, "yes") && !text_same(text, "no"))
            return failure_set(failure, STATUS_FORMAT, "%s is '%.40s', allowed are yes and no",
                               table[index].name, text);
        *ret_value = text_same(text, "yes") ? 1 : 0;
        return STATUS_OK;
    }
    if (number_parse_in(text, NUMBER_POINT, table[index].name, 0.0, table[index].most, &number, failure) !=
        STATUS_OK)
        return failure->status;
    if (rint(number) != number)
        return failure_set(failure, STATUS_FORMAT, "%s is '%.40s', expected a whole number",
                           table[index].name, text);
    *ret_value = (int)number;
    return STATUS_OK;
}

enum status
policy_set(struct policy *policy, const char *name, const char *value, struct failure *failure)
{
    const char *names[POLICY_COUNT], *nearest;
    int parsed = 0;

    for (size_t i = 0; i < POLICY_COUNT; i++) {
        names[i] = table[i].name;
        if (!text_same(name, table[i].name))
            continue;
        if (parse(i, value, &parsed, failure) != STATUS_OK)
            return failure->status;
        put(policy, i, parsed);
        return STATUS_OK;
    }
    nearest = text_nearest(name, names, POLICY_COUNT);
    if (nearest != NULL)
        return failure_set(failure, STATUS_MISSING, "the policy has no '%.40s'; did you mean '%s'?", name,
                           nearest);
    return failure_set(failure, STATUS_MISSING, "the policy has no '%.40s' (curetrace policy lists it)",
                       name);
}

const char *
policy_name(size_t index)
{
    return table[index].name;
}

const char *
policy_help(size_t index)
{
    return table[index].help;
}

char *
policy_value_text(const struct policy *policy, size_t index)
{
    int value = get(policy, index);

    return table[index].yes ? memory_copy(value != 0 ? "yes" : "no") : text_format("%d", value);
}
