/* report.c - "report": one page that shows what was made, how it was tested and what follows.
 *
 * Rules
 * (1) The file is written whole or not at all; an older report of that name is replaced.
 * (2) A recipe that cannot be balanced, or a plot that cannot be drawn, is said in the page and stops
 *     nothing. */
#include <stdlib.h>
#include <string.h>

#include "all_batches.h"
#include "commands.h"
#include "file.h"
#include "journal.h"
#include "maker.h"
#include "memory.h"
#include "report_index.h"
#include "report_load.h"
#include "say.h"
#include "seal.h"
#include "text.h"

static const struct option_spec report_options[] = {
    {.name = "output", .kind = OPTION_FILE, .value = "FILE", .help = "the page to write, as in w07.html"},
    {.name = "summary",
     .kind = OPTION_FLAG,
     .help = "one sheet a batch: state, verdict, curve, what speaks for and against, what to do"},
    {.name = "notebook-index",
     .kind = OPTION_FLAG,
     .help = "a chart of all batches, first those that need you, instead of single records"},
    {.name = "records",
     .kind = OPTION_FLAG,
     .help = "with --notebook-index: also each batch's record, beside it; the chart links to them"},
    {.name = NULL},
};

static enum status
check_ending(const char *path, struct failure *failure)
{
    const char *dot = strrchr(path, '.');

    if (strncmp(path, "/dev/", 5) == 0 ||
        (dot != NULL && (text_same(dot, ".html") || text_same(dot, ".htm"))))
        return STATUS_OK;
    return failure_set(
        failure, STATUS_USAGE,
        "--output '%s': a report is an HTML page, so the name ends in .html (a browser prints it, or "
        "saves it as PDF)",
        path);
}

static enum status
write_page(const struct context *context, const char *path, char *html, struct failure *failure)
{
    enum status status = file_write(path, html, strlen(html), failure);

    free(html);
    if (status == STATUS_OK)
        fprintf(context->out, "wrote %s\n", path);
    return status;
}

static enum status
write_records(const struct context *context, const struct options *options, struct report *report,
              struct failure *failure)
{
    size_t count = options_name_count(options), done = 0;
    struct report_load *loaded = memory_new(count, sizeof *loaded);
    struct report_batch *batches = memory_new(count, sizeof *batches);
    enum status status = STATUS_OK;

    for (; status == STATUS_OK && done < count; done++) {
        status = report_load(context->store, options_name(options, done), done, &loaded[done], failure);
        batches[done] = loaded[done].report;
    }
    report->batches = batches;
    report->count = count;
    if (status == STATUS_OK)
        status = write_page(context, options_text(options, "output"), report_page(report), failure);
    for (size_t i = 0; i < done; i++)
        report_load_clear(&loaded[i]);
    free(loaded);
    free(batches);
    return status;
}

/* -- the index -- */

struct indexing {
    struct context *context;
    struct report_index index;
    char *folder; /* that the page is written into */
    civil_day today;
};

static enum status
add_to_index(struct batch_case *batch, struct batch_rows rows, void *payload, struct failure *failure)
{
    struct indexing *indexing = payload;
    char *name = report_record_name(batch->dossier.batch.code), *path = file_join(indexing->folder, name);

    (void)rows;
    (void)failure;
    report_index_add(&indexing->index, &batch->dossier, &batch->conclusion, &batch->policy, indexing->today,
                     file_exists(path) ? name : NULL);
    free(path);
    free(name);
    batch_case_free(batch);
    return STATUS_OK;
}

static void
refuse_in_index(const char *code, const struct failure *why, void *payload)
{
    struct indexing *indexing = payload;

    report_index_refuse(&indexing->index, code, why->text);
    say_refused(indexing->context, code, why);
}

/* Each batch's record beside the index. One that cannot be told gets none; the index says why. */
static enum status
write_beside(const struct indexing *indexing, const struct report *report, const struct batch_codes *codes,
             struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < codes->count; i++) {
        struct report one = *report;
        struct report_load loaded = {0};
        struct failure untold = {0};

        if (report_load(indexing->context->store, codes->codes[i], 0, &loaded, &untold) == STATUS_OK) {
            char *name = report_record_name(codes->codes[i]), *path = file_join(indexing->folder, name);

            one.batches = &loaded.report;
            one.count = 1;
            status = write_page(indexing->context, path, report_page(&one), failure);
            free(path);
            free(name);
        }
        report_load_clear(&loaded);
    }
    return status;
}

static enum status
write_index(struct context *context, const struct options *options, const struct report *report,
            struct failure *failure)
{
    const char *path = options_text(options, "output");
    struct indexing indexing = {
        .context = context, .today = context_today(context), .folder = file_folder(path)};
    struct batch_codes codes = {0};
    enum status status = batch_codes_all(context->store, &codes, failure);
    struct batches_request request = {.codes = (const char *const *)codes.codes,
                                      .count = codes.count,
                                      .judged = true,
                                      .refused = refuse_in_index};

    if (status == STATUS_OK && options_has(options, "records"))
        status = write_beside(&indexing, report, &codes, failure);
    if (status == STATUS_OK)
        status = all_batches(context->store, &request, add_to_index, &indexing, failure);
    if (status == STATUS_OK)
        status = write_page(context, path, report_index_page(&indexing.index, report), failure);
    report_index_clear(&indexing.index);
    batch_codes_clear(&codes);
    free(indexing.folder);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    char head[JOURNAL_HASH_SIZE], seal[SEAL_TEXT_SIZE];
    struct report report = {.written_at = context_now(context), .version = CURETRACE_VERSION, .seal = seal};
    bool index = options_has(options, "notebook-index");
    struct maker maker = {0};
    enum status status;

    if (!options_has(options, "output"))
        return failure_set(failure, STATUS_USAGE, "--output FILE is needed, as in --output w07.html");
    if (check_ending(options_text(options, "output"), failure) != STATUS_OK)
        return failure->status;
    if (index && options_name_count(options) > 0)
        return failure_set(failure, STATUS_USAGE,
                           "--notebook-index lists all batches, so no batch is named with it");
    if (index && options_has(options, "summary"))
        return failure_set(failure, STATUS_USAGE,
                           "--summary is a form of single records, not of --notebook-index");
    if (!index && options_has(options, "records"))
        return failure_set(failure, STATUS_USAGE, "--records goes with --notebook-index");
    if (!index && options_name_count(options) == 0)
        return failure_set(failure, STATUS_USAGE, "expected a batch, or --notebook-index for a list of all");
    status = store_begin_reading(context->store, failure); /* the page and its seal are of one state */
    if (status != STATUS_OK)
        return status;
    status = journal_head(context->store, head, failure);
    if (status == STATUS_OK)
        status = maker_load(context->store, &maker, failure);
    if (status == STATUS_OK) {
        seal_text(head, seal);
        report.maker = maker.name;
        report.contact = maker.contact;
        report.summary = options_has(options, "summary");
        status = index ? write_index(context, options, &report, failure)
                       : write_records(context, options, &report, failure);
    }
    store_end_reading(context->store);
    maker_clear(&maker);
    return status;
}

const struct command report_command = {
    .name = "report",
    .names = "[CODE ...] --output FILE",
    .fewest = 0,
    .most = -1,
    .summary = "write one page that shows what was made, how it was tested and what follows",
    .example = "curetrace report W-07 --output w07.html",
    .options = report_options,
    .needs = COMMAND_READS_STORE,
    .run = run,
};
