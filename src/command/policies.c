/* policies.c - "policy": what the maker asks for before a batch is released. */
#include <stdlib.h>

#include "commands.h"
#include "csv_out.h"
#include "follow_store.h"
#include "listing.h"
#include "makers_policy.h"
#include "memory.h"
#include "policy.h"
#include "text.h"

static const struct option_spec policy_options[] = {
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "why it is changed, kept in the record"},
    CSV_OPTIONS,
    {.name = "csv", .kind = OPTION_FLAG, .help = "under the headings name,value,meaning"},
    {.name = NULL},
};

static enum status
print_csv(const struct context *context, const struct policy *policy, struct failure *failure)
{
    static const char *const headings[] = {"name", "value", "meaning"};
    struct csv_out csv;

    csv_out_start(&csv, context->out, context->csv);
    csv_out_heading(&csv, headings, LENGTH(headings));
    for (size_t i = 0; i < POLICY_COUNT; i++) {
        char *value = policy_value_text(policy, i);

        csv_out_text(&csv, policy_name(i));
        csv_out_text(&csv, value);
        csv_out_text(&csv, policy_help(i));
        csv_out_end_row(&csv);
        free(value);
    }
    return csv_out_finish(&csv, NULL, failure);
}

static void
print(const struct context *context, const struct policy *policy)
{
    for (size_t i = 0; i < POLICY_COUNT; i++) {
        char *value = policy_value_text(policy, i);

        fprintf(context->out, "%-20s %4s  ", policy_name(i), value);
        listing_paragraph(context->out, context->width > 60 ? context->width - 27 : 33, 27, policy_help(i));
        free(value);
    }
    fputs("always asked: every bar is within, also by the bound of day 28, and nothing that\nwas found "
          "stands against one\n",
          context->out);
}

static enum status
set(struct context *context, const struct options *options, struct policy *policy, struct failure *failure)
{
    const char *name = options_name(options, 0), *value = options_name(options, 1);
    char *setting = NULL;
    enum status status = policy_set(policy, name, value, failure);

    for (size_t i = 0; i < POLICY_COUNT; i++)
        if (text_same(policy_name(i), name))
            setting = text_format("policy %s", policy_name(i));
    if (status == STATUS_OK)
        status = setting_store_set(context->store, setting, value, context_now(context),
                                   options_text(options, "why"), failure);
    free(setting);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct policy policy;
    enum status status = makers_policy(context->store, &policy, failure);

    if (status == STATUS_OK && options_name_count(options) == 1)
        status = failure_set(failure, STATUS_USAGE, "expected a name and a value, as in policy ages 3");
    if (status == STATUS_OK && options_name_count(options) == 2)
        status = set(context, options, &policy, failure);
    if (status != STATUS_OK)
        return status;
    if (options_has(options, "csv"))
        return print_csv(context, &policy, failure);
    print(context, &policy);
    return STATUS_OK;
}

static bool
only_reads(const struct options *options)
{
    return options_name_count(options) == 0;
}

const struct command policy_command = {
    .name = "policy",
    .names = "[NAME VALUE]",
    .fewest = 0,
    .most = 2,
    .summary = "show or set what is asked for before a batch is released",
    .example = "curetrace policy cure-days 28 --why \"four weeks for every bar\"",
    .options = policy_options,
    .needs = COMMAND_WRITES_STORE,
    .only_reads = only_reads,
    .run = run,
};
