/* verify.c - "verify": is the notebook what was written into it? */
#include <stdlib.h>

#include "commands.h"
#include "verify.h"

static const struct option_spec options_known[] = {
    {.name = "head",
     .kind = OPTION_TEXT,
     .value = "HASH",
     .help = "the head of an earlier run, kept outside this computer: it must still be in the journal"},
    {.name = NULL},
};

static void
show(const struct verify_report *report, const char *head, FILE *out)
{
    for (size_t i = 0; i < report->finding_count && i < VERIFY_FINDINGS_KEPT; i++)
        fprintf(out, "wrong    %s\n", report->findings[i]);
    if (report->finding_count > VERIFY_FINDINGS_KEPT)
        fprintf(out, "wrong    and %zu more\n", report->finding_count - VERIFY_FINDINGS_KEPT);
    fprintf(
        out,
        "checked  %lld rows of %lld tables against %lld entries of the journal, the file and its schema\n",
        (long long)report->rows, (long long)report->tables, (long long)report->entries);
    fprintf(out, "head     %s\n", report->head);
    if (head != NULL && report->after_head >= 0)
        fprintf(out, "earlier  the head given is in the journal; entries after it: %lld\n",
                (long long)report->after_head);
}

static void
print_good(const struct context *context)
{
    char *notebook = context_notebook_typed(context);

    fprintf(context->out,
            "all is as it was written\nnext: keep the head outside this computer; later: curetrace verify "
            "--head HEAD%s\n",
            notebook);
    free(notebook);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    const char *head = options_text(options, "head");
    struct verify_report report = {0};
    enum status status = verify_notebook(context->store, head, &report, failure);

    if (status != STATUS_OK)
        return failure_at(failure, "%s", status == STATUS_FORMAT ? "--head: " : "");
    show(&report, head, context->out);
    if (report.finding_count > 0)
        status = failure_set(failure, STATUS_SYSTEM, "the notebook is not as it was written (%zu found): %s",
                             report.finding_count, report.findings[0]);
    else if (head != NULL && report.after_head < 0)
        status =
            failure_set(failure, STATUS_SYSTEM,
                        "the head '%.64s' is not in the journal: the notebook was rolled back or rebuilt, "
                        "or it is another one",
                        head);
    else
        print_good(context);
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
