/* maker.c - "maker": who makes the soap, as the pages name them. */
#include "maker.h"

#include <stdio.h>
#include <stdlib.h>

#include "commands.h"
#include "text.h"

static const struct option_spec maker_options[] = {
    {.name = "contact",
     .kind = OPTION_TEXT,
     .value = "TEXT",
     .help = "how to reach the maker: a telephone number, an address, a page"},
    {.name = NULL},
};

static void
print_line(FILE *out, const char *heading, const char *typed)
{
    char *visible = typed == NULL ? NULL : text_visible(typed);

    fprintf(out, "%-8s %s\n", heading, visible == NULL ? "not set" : visible);
    free(visible);
}

static bool
only_reads(const struct options *options)
{
    return options_name_count(options) == 0 && !options_has(options, "contact");
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    const char *name = options_name_count(options) == 0 ? NULL : options_name(options, 0);
    struct maker maker = {0};
    enum status status = STATUS_OK;

    if (!only_reads(options))
        status =
            maker_set(context->store, name, options_text(options, "contact"), context_now(context), failure);
    if (status == STATUS_OK)
        status = maker_load(context->store, &maker, failure);
    if (status != STATUS_OK)
        return status;
    print_line(context->out, "maker", maker.name);
    print_line(context->out, "contact", maker.contact);
    maker_clear(&maker);
    return STATUS_OK;
}

const struct command maker_command = {
    .name = "maker",
    .names = "[NAME]",
    .fewest = 0,
    .most = 1,
    .summary = "show or set who makes the soap, as the pages name them",
    .example = "curetrace maker \"Soaps of the old mill\" --contact 01234-5678",
    .options = maker_options,
    .needs = COMMAND_WRITES_STORE,
    .only_reads = only_reads,
    .run = run,
};
