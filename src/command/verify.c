/* verify.c - "verify": is the notebook what was written into it? */
#include <stdlib.h>

#include "commands.h"
#include "listing.h"
#include "seal.h"
#include "text.h"
#include "verify.h"

static const struct option_spec options_known[] = {
    {.name = "seal",
     .kind = OPTION_TEXT,
     .value = "SEAL",
     .help = "one that was kept outside this computer, in any case, with or without the hyphens: it must "
             "still be in the "
             "journal"},
    {.name = "head",
     .kind = OPTION_TEXT,
     .value = "HASH",
     .help = "the same by the hash that an older version printed"},
    {.name = NULL},
};

static void
show(const struct context *context, const struct verify_report *report)
{
    FILE *out = context->out;
    char seal[SEAL_TEXT_SIZE], *checked;

    for (size_t i = 0; i < report->finding_count && i < VERIFY_FINDINGS_KEPT; i++)
        fprintf(out, "wrong  %s\n", report->findings[i]);
    if (report->finding_count > VERIFY_FINDINGS_KEPT)
        fprintf(out, "wrong  and %zu more\n", report->finding_count - VERIFY_FINDINGS_KEPT);
    checked = text_format(
        "checked: %lld rows of %lld tables against %lld entries of the journal, the file and its schema",
        (long long)report->rows, (long long)report->tables, (long long)report->entries);
    listing_paragraph(out, context->width, 0, checked);
    fprintf(out, "seal   %s\nhash   %s\n", seal_text(report->head, seal), report->head);
    free(checked);
}

/* What the chain proves, and what it does not. */
static void
print_good(const struct context *context, const char *earlier, const struct verify_report *report)
{
    char *notebook = context_notebook_typed(context);

    if (earlier != NULL) {
        fprintf(context->out, "the seal given is in the journal; entries after it: %lld\n",
                (long long)report->after_head);
        listing_paragraph(
            context->out, context->width, 0,
            "Nothing in it contradicts its journal, and nothing up to that seal was changed since.");
    } else {
        listing_paragraph(context->out, context->width, 0,
                          "Nothing in it contradicts its journal. Only a seal kept elsewhere shows that it "
                          "was not rebuilt, "
                          "or cut at its end.");
    }
    fprintf(context->out,
            "next: keep the seal outside this computer; later: curetrace verify --seal SEAL%s\n", notebook);
    free(notebook);
}

/* The seal or hash to look for; NULL: none. */
static enum status
read_earlier(const struct options *options, char seal[SEAL_TEXT_SIZE], const char **ret_earlier,
             struct failure *failure)
{
    const char *typed = options_text(options, "seal");

    *ret_earlier = options_text(options, "head");
    if (typed == NULL)
        return STATUS_OK;
    if (*ret_earlier != NULL)
        return failure_set(failure, STATUS_USAGE, "--seal and --head say the same: give one of them");
    if (seal_parse(typed, seal, failure) != STATUS_OK)
        return failure_at(failure, "--seal: ");
    *ret_earlier = seal;
    return STATUS_OK;
}

static enum status
judge(const struct context *context, const char *earlier, const struct verify_report *report,
      struct failure *failure)
{
    if (report->finding_count > 0)
        return failure_set(failure, STATUS_SYSTEM, "the notebook is not as it was written (%zu found): %s",
                           report->finding_count, report->findings[0]);
    if (earlier != NULL && report->after_head < 0)
        return failure_set(failure, STATUS_SYSTEM,
                           "the seal '%.64s' is not in the journal: the notebook was rolled back or rebuilt, "
                           "or it is another one",
                           earlier);
    print_good(context, earlier, report);
    return STATUS_OK;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    char seal[SEAL_TEXT_SIZE];
    const char *earlier = NULL;
    struct verify_report report = {0};
    enum status status = read_earlier(options, seal, &earlier, failure);

    if (status != STATUS_OK)
        return status;
    status = verify_notebook(context->store, earlier, &report, failure);
    if (status != STATUS_OK)
        return failure_at(failure, "%s", status == STATUS_FORMAT ? "--head: " : "");
    show(context, &report);
    status = judge(context, earlier, &report, failure);
    verify_report_clear(&report);
    return status;
}

const struct command verify_command = {
    .name = "verify",
    .names = "",
    .summary = "check that nothing in the notebook was changed, lost or added unseen",
    .example = "curetrace verify",
    .options = options_known,
    .needs = COMMAND_READS_STORE,
    .run = run,
};
