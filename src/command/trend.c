/* trend.c - "trend": how pH moves across the cure, as a table, CSV, a plot, and with a curve. */
#include <stdlib.h>

#include "batches_named.h"
#include "caution.h"
#include "commands.h"
#include "csv_out.h"
#include "cure_figure.h"
#include "cure_text.h"
#include "file.h"
#include "listing.h"
#include "memory.h"
#include "plot.h"
#include "plot_file.h"
#include "say.h"
#include "text.h"
#include "trend_csv.h"
#include "trend_view.h"

static const struct option_spec trend_options[] = {
    {.name = "all-batches", .kind = OPTION_FLAG, .help = "every batch of the notebook"},
    {.name = "model",
     .kind = OPTION_FLAG,
     .help = "fit a curve: where pH settles, how fast, when the target is likely reached"},
    {.name = "target-ph",
     .kind = OPTION_PH,
     .value = "PH",
     .low = 0,
     .high = 14,
     .help = "the pH wanted at the end of the cure, for --model; 10.0 when not said"},
    CSV_OPTIONS,
    {.name = "csv",
     .kind = OPTION_FILE,
     .value = "FILE",
     .optional = true,
     .help = "one row a reading, superseded (corrected) ones too; with --model one row a batch. To the "
             "screen without FILE"},
    {.name = "plot", .kind = OPTION_FILE, .value = "FILE", .help = PLOT_FILE_HELP},
    {.name = "size", .kind = OPTION_TEXT, .value = "WxH", .help = PLOT_SIZE_HELP},
    {.name = "script", .kind = OPTION_FLAG, .help = PLOT_SCRIPT_HELP},
    {.name = "text", .kind = OPTION_FLAG, .help = "a plot drawn with characters"},
    {.name = "free-alkali",
     .kind = OPTION_FLAG,
     .help = "in a plot also free alkali, by titration and from pH, and the verdicts"},
    {.name = NULL},
};

/* What was asked for, and where it goes. */
struct trend {
    struct context *context;
    const struct options *options;
    bool csv, model, plot;
    bool table; /* for people, when nothing else was asked for */
    bool words; /* remarks and what was fitted; not beside CSV */
    bool keep;
    struct file_draft draft; /* of the CSV file */
    struct csv_out out;
    struct listing summary;   /* with --all-batches */
    struct batch_case **kept; /* owned: for the table of named batches and for plots */
    size_t kept_count, kept_capacity;
};

static enum status
check_options(const struct options *options, struct failure *failure)
{
    bool csv_on_screen = options_has(options, "csv") && options_text(options, "csv") == NULL;

    if (csv_on_screen && options_has(options, "text"))
        return failure_set(failure, STATUS_USAGE,
                           "--csv and --text would both write to the screen; name a file: --csv FILE.csv");
    if (options_has(options, "free-alkali") && !options_has(options, "plot") && !options_has(options, "text"))
        return failure_set(failure, STATUS_USAGE, "--free-alkali adds to a plot: --plot FILE or --text too");
    return plot_file_check(options, failure);
}

static enum status
write_readings(const struct batch_case *batch, FILE *rows, const void *manner, struct failure *failure)
{
    struct csv_out csv;

    (void)failure;
    csv_out_start(&csv, rows, *(const struct csv_manner *)manner);
    trend_csv_add(&csv, &batch->dossier, batch->points);
    return STATUS_OK;
}

static enum status
write_model(const struct batch_case *batch, FILE *rows, const void *manner, struct failure *failure)
{
    struct csv_out csv;

    (void)failure;
    csv_out_start(&csv, rows, *(const struct csv_manner *)manner);
    trend_csv_add_model(&csv, &batch->dossier, &batch->cure);
    return STATUS_OK;
}

/* One batch arrives: its rows go out at once, and it is kept only when a table or plot needs all. */
static enum status
take(struct batch_case *batch, struct batch_rows rows, void *payload, struct failure *failure)
{
    struct trend *trend = payload;

    (void)failure;
    if (trend->csv)
        csv_out_rows(&trend->out, rows.text, rows.length);
    else if (trend->table && options_has(trend->options, "all-batches"))
        trend_view_summary_add(&trend->summary, batch);
    if (!trend->keep) {
        batch_case_free(batch);
        return STATUS_OK;
    }
    trend->kept =
        memory_room(trend->kept, trend->kept_count, &trend->kept_capacity, sizeof(struct batch_case *));
    trend->kept[trend->kept_count++] = batch;
    return STATUS_OK;
}

static void
refuse(const char *code, const struct failure *why, void *payload)
{
    struct trend *trend = payload;

    if (trend->table && options_has(trend->options, "all-batches"))
        trend_view_summary_refuse(&trend->summary, code);
    say_refused(trend->context, code, why);
}

static enum status
start_csv(struct trend *trend, struct failure *failure)
{
    const char *path = options_text(trend->options, "csv");

    if (path != NULL) {
        enum status status = file_draft_begin(path, &trend->draft, failure);

        if (status != STATUS_OK)
            return status;
    }
    csv_out_start(&trend->out, path != NULL ? trend->draft.stream : trend->context->out, trend->context->csv);
    if (trend->model)
        trend_csv_model_heading(&trend->out);
    else
        trend_csv_heading(&trend->out);
    return STATUS_OK;
}

static enum status
finish_csv(struct trend *trend, struct failure *failure)
{
    const char *path = options_text(trend->options, "csv");
    enum status status = csv_out_finish(&trend->out, path, failure);

    status = file_draft_end(&trend->draft, status, failure);
    if (status == STATUS_OK && path != NULL)
        fprintf(trend->context->err, "wrote %s\n", path);
    return status;
}

/* A file that was asked for and is not there is a failure; on the screen a line does. */
static enum status
nothing_to_draw(const struct trend *trend, struct failure *failure)
{
    const char *why = "there is no reading yet";

    for (size_t i = 0; i < trend->kept_count; i++)
        if (trend->kept[i]->dossier.reading_count > 0)
            why = "no reading can be brought to 40 degC and 1 %";
    if (options_has(trend->options, "plot"))
        return failure_set(failure, STATUS_MISSING, "nothing to draw: %s", why);
    fprintf(trend->context->out, "nothing to draw: %s\n", why);
    return STATUS_OK;
}

static enum status
draw(struct trend *trend, struct failure *failure)
{
    struct cure_figure_batch *batches = memory_new(trend->kept_count + 1, sizeof *batches);
    struct cure_figure_wish wish = {.model = trend->model,
                                    .free_alkali = options_has(trend->options, "free-alkali")};
    struct figure figure;
    enum status status = STATUS_OK;

    for (size_t i = 0; i < trend->kept_count; i++)
        batches[i] = (struct cure_figure_batch){.dossier = &trend->kept[i]->dossier,
                                                .series = &trend->kept[i]->series,
                                                .cure = &trend->kept[i]->cure,
                                                .points = trend->kept[i]->points};
    cure_figure(batches, trend->kept_count, wish, &figure);
    if (figure_is_empty(&figure))
        status = nothing_to_draw(trend, failure);
    else if (options_has(trend->options, "plot"))
        status = plot_file_write(trend->context, trend->options, &figure, failure);
    if (status == STATUS_OK && options_has(trend->options, "text") && !figure_is_empty(&figure))
        status = plot_text(&figure, (int)trend->context->width - 1, 0, trend->context->out, failure);
    figure_clear(&figure);
    free(batches);
    return status;
}

/* A batch that is doubtful or worse: the cautions belong under the table. */
static bool
wants_caution(const struct trend *trend)
{
    for (size_t i = 0; i < trend->kept_count; i++)
        if (trend->kept[i]->conclusion.verdict >= VERDICT_DOUBTFUL)
            return true;
    return false;
}

static void
print_summary(struct trend *trend)
{
    struct context *context = trend->context;

    if (trend->summary.cell_count == 0) {
        fputs("no batches yet\n", context->out);
        context_next(context, "batch", "add", "CODE", "--made", "DATE", NULL);
        return;
    }
    fprintf(context->out, "latest pH at 40 degC and 1 %%, and when pH %g is reached (95 %%)\n",
            options_number_or(trend->options, "target-ph", CURE_TARGET_PH_USUAL));
    listing_print(&trend->summary, context->out, context->width);
}

static void
print(struct trend *trend)
{
    struct context *context = trend->context;

    if (trend->table && options_has(trend->options, "all-batches"))
        print_summary(trend);
    else if (trend->table)
        trend_view_results(context, trend->kept, trend->kept_count);
    for (size_t i = 0; trend->words && i < trend->kept_count; i++) {
        const struct batch_case *batch = trend->kept[i];
        struct sentences said = {0};

        cure_say_remarks(&batch->dossier, &batch->series, &batch->cure, &said);
        if (trend->model)
            cure_say_model(&batch->dossier, &batch->series, &batch->cure, &said);
        say(context, &said);
        sentences_clear(&said);
    }
    if (trend->words && wants_caution(trend))
        caution_print(context, CAUTION_BAR);
}

static void
trend_clear(struct trend *trend)
{
    for (size_t i = 0; i < trend->kept_count; i++)
        batch_case_free(trend->kept[i]);
    free(trend->kept);
    listing_clear(&trend->summary);
}

static void
say_progress(size_t done, size_t count, void *data)
{
    FILE *err = data;

    if (done == count)
        fputs("\r\033[K", err); /* the line has done its duty */
    else
        fprintf(err, "\rbatch %zu of %zu", done + 1, count);
    fflush(err);
}

static enum status
follow(struct trend *trend, const struct batch_codes *codes, struct failure *failure)
{
    struct context *context = trend->context;
    struct batches_request request = {
        .codes = (const char *const *)codes->codes,
        .count = codes->count,
        .points = trend->plot || (trend->csv && !trend->model),
        .followed = trend->plot || trend->table || trend->model || trend->words,
        .write = !trend->csv    ? NULL
                 : trend->model ? write_model
                                : write_readings,
        .write_data = &trend->context->csv,
        .refused = codes->count > 1 ? refuse : NULL,
        .target_ph = options_number_or(trend->options, "target-ph", CURE_TARGET_PH_USUAL),
        .progress =
            options_has(trend->options, "all-batches") && context->progress != NULL ? say_progress : NULL,
        .progress_data = context->progress,
    };
    enum status status = STATUS_OK;

    if (trend->csv)
        status = start_csv(trend, failure);
    if (status == STATUS_OK)
        status = all_batches(context->store, &request, take, trend, failure);
    if (trend->csv) {
        if (status == STATUS_OK)
            status = finish_csv(trend, failure);
        else
            file_draft_end(&trend->draft, status, failure);
    }
    if (status == STATUS_OK && trend->plot)
        status = draw(trend, failure);
    if (status == STATUS_OK)
        print(trend);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct trend trend = {.context = context,
                          .options = options,
                          .csv = options_has(options, "csv"),
                          .model = options_has(options, "model"),
                          .plot = options_has(options, "plot") || options_has(options, "text")};
    struct batch_codes codes = {0};
    enum status status = check_options(options, failure);

    if (status == STATUS_OK)
        status = batches_named(context, options, &codes, failure);
    if (status != STATUS_OK)
        return status;
    trend.table = !trend.csv && !trend.plot;
    trend.words = !trend.csv && !options_has(options, "all-batches");
    trend.keep = trend.plot || trend.words;
    trend_view_summary_start(&trend.summary);
    status = follow(&trend, &codes, failure);
    trend_clear(&trend);
    batch_codes_clear(&codes);
    return status;
}

const struct command trend_command = {
    .name = "trend",
    .names = "CODE [CODE ...]",
    .fewest = 0,
    .most = -1,
    .summary = "show how pH moves across the cure, as a table, CSV, a plot, and with a fitted curve",
    .example = "curetrace trend W-07 W-08 --model --plot cure.svg",
    .options = trend_options,
    .needs = COMMAND_READS_STORE,
    .run = run,
};
