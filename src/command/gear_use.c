/* gear_use.c - "gear default|retire": which gear of a kind is meant when none is named, and which is used no more.
 *
 * Both are values of the gear's record that are put right (correctable.h): what was measured with it stays as it is. */
#include "gear_use.h"

#include <assert.h>
#include <stdlib.h>

#include "commands.h"
#include "correction_store.h"
#include "gear_store.h"
#include "text.h"

static const struct option_spec default_options[] = {
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "kept with it"},
    {.name = NULL},
};
static const struct option_spec retire_options[] = {
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "why; needed, and kept"},
    {.name = "withdraw", .kind = OPTION_FLAG, .help = "it is in use again"},
    {.name = NULL},
};

/* Keep a yes or no of a piece of gear. */
static enum status
keep(struct context *context, const struct gear *gear, const char *column, bool yes, const char *why,
     struct failure *failure)
{
    static char one[] = "1", zero[] = "0";
    const struct correctable *record = correctable_of_table("gear");
    const struct put_right_reason reason = {.why = why, .at = context_now(context)};
    struct put_right_value value = {.value = yes ? one : zero};
    int64_t number;

    assert(record != NULL);
    value.field = correctable_field(record, column);
    return correction_store_add(context->store, record, gear->id, &value, 1, false, &reason, &number,
                                failure);
}

/* Those of the same kind that were the usual one are it no more. */
static enum status
keep_default(struct context *context, const struct gear *gear, const char *why, struct failure *failure)
{
    struct gear *all = NULL;
    size_t count = 0;
    enum status status = gear_store_list(context->store, &all, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK && all[i].kind == gear->kind && all[i].usual && all[i].id != gear->id)
            status = keep(context, &all[i], "usual", false, why, failure);
        gear_clear(&all[i]);
    }
    free(all);
    return status == STATUS_OK ? keep(context, gear, "usual", true, why, failure) : status;
}

enum status
gear_use_default(struct context *context, const struct gear *gear, const char *why, struct failure *failure)
{
    enum status status = store_begin(context->store, failure);

    return status == STATUS_OK ? store_end(context->store, keep_default(context, gear, why, failure), failure)
                               : status;
}

/* Gear of any kind by its name. */
static enum status
find(struct store *store, const char *name, struct gear *ret_gear, struct failure *failure)
{
    struct gear *all = NULL;
    size_t count = 0;
    enum status status = gear_store_list(store, &all, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (ret_gear->id == 0 && text_same(all[i].name, name))
            *ret_gear = all[i];
        else
            gear_clear(&all[i]);
    }
    free(all);
    if (status == STATUS_OK && ret_gear->id == 0)
        status = failure_set(failure, STATUS_MISSING,
                             "there is no gear '%.60s' (gear list shows what there is)", name);
    return status;
}

static enum status
run_default(struct context *context, const struct options *options, struct failure *failure)
{
    struct gear gear = {0};
    const char *why = options_text(options, "why");
    enum status status = find(context->store, options_name(options, 0), &gear, failure);

    if (status == STATUS_OK && gear.retired)
        status =
            failure_set(failure, STATUS_CONFLICT,
                        "'%.60s' is retired (gear retire %.60s --withdraw --why ...)", gear.name, gear.name);
    if (status == STATUS_OK)
        status = gear_use_default(context, &gear, why == NULL || *why == '\0' ? "the maker says so" : why,
                                  failure);
    if (status == STATUS_OK)
        fprintf(context->out, "%s is the usual %s now\n", gear.name, gear_kind_word(gear.kind));
    gear_clear(&gear);
    return status;
}

static enum status
run_retire(struct context *context, const struct options *options, struct failure *failure)
{
    struct gear gear = {0};
    const char *why = options_text(options, "why");
    bool back = options_has(options, "withdraw");
    enum status status;

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "why? the record keeps the reason (--why \"...\")");
    status = find(context->store, options_name(options, 0), &gear, failure);
    if (status == STATUS_OK && gear.retired == !back)
        status = failure_set(failure, STATUS_CONFLICT, "'%.60s' is %s already", gear.name,
                             back ? "in use" : "retired");
    if (status == STATUS_OK)
        status = store_begin(context->store, failure);
    if (status == STATUS_OK)
        status = store_end(context->store, keep(context, &gear, "retired", !back, why, failure), failure);
    if (status == STATUS_OK)
        fprintf(context->out, "%s %s is %s: %s\n", gear_kind_word(gear.kind), gear.name,
                back ? "in use again" : "retired; what was measured with it stays as it is", why);
    gear_clear(&gear);
    return status;
}

const struct command gear_default_command = {
    .name = "gear default",
    .names = "NAME",
    .fewest = 1,
    .most = 1,
    .summary = "make one of several meters, papers or balances the usual one, meant when none is named",
    .example = "curetrace gear default bench",
    .options = default_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run_default,
};
const struct command gear_retire_command = {
    .name = "gear retire",
    .names = "NAME --why TEXT",
    .fewest = 1,
    .most = 1,
    .summary =
        "note that a piece of gear is used no more: nothing is due for it, and it need not be told apart",
    .example = "curetrace gear retire old-meter --why \"the electrode is dry\"",
    .options = retire_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run_retire,
};
