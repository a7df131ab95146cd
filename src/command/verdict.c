/* verdict.c - "verdict": what the readings of a batch say, and how sure that is.
 *
 * Rules
 * (1) A titration has a row of its own beside those of pH; the batch's verdict is what both say together
 *     (conclusion.h), and it stands above, with its state and all that speaks against it.
 * (2) One batch is told in words, several or --all as a table, --csv as the table with fixed headings. The
 *     table shows the sitting or titration that decides too; --csv has the batch's own verdict in a column.
 * (3) --strict makes the exit status speak: 4 when any batch is lye-heavy, else 3 when any is doubtful, not judged or
 *     within so far, else 0. What is not within never ends with 0.
 * (4) All batches are found out about before the first is shown: a wrong name, or one without readings, shows nothing.
 *     Of several one that cannot be judged has its line with the reason, and the others are shown. */
#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "batch_case.h"
#include "batch_store.h"
#include "budget_figure.h"
#include "commands.h"
#include "conclusion.h"
#include "csv_out.h"
#include "listing.h"
#include "memory.h"
#include "plot_file.h"
#include "say.h"
#include "standing.h"
#include "text.h"
#include "verdict_text.h"

static const struct option_spec verdict_options[] = {
    {.name = "all",
     .kind = OPTION_FLAG,
     .help = "every session, or sitting at the bench, not the latest alone"},
    {.name = "budget", .kind = OPTION_FLAG, .help = "where the uncertainty comes from, a line a component"},
    {.name = "plot",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "with --budget and one batch: the budget as bars; FILE ends in .svg, .png or .pdf"},
    {.name = "size", .kind = OPTION_TEXT, .value = "WxH", .help = PLOT_SIZE_HELP},
    {.name = "script", .kind = OPTION_FLAG, .help = PLOT_SCRIPT_HELP},
    {.name = "strict",
     .kind = OPTION_FLAG,
     .help = "end with 3 when doubtful or not judged and with 4 when lye-heavy, so that a script can act"},
    CSV_OPTIONS,
    {.name = "csv", .kind = OPTION_FLAG, .help = "the table for a spreadsheet, headings in docs/verdict.md"},
    {.name = NULL},
};

enum { EXIT_DOUBTFUL = 3, EXIT_LYE_HEAVY = 4 };

static const char *const headings[] = {
    "batch",
    "session",
    "age_d",
    "method",
    "n",
    "ph",
    "ph_at_reference",
    "u_ph",
    "dof",
    "k",
    "ph_low",
    "ph_high",
    "temperature_c",
    "concentration_pct",
    "limit_ph",
    "p_over_limit",
    "verdict",
    "free_naoh_low_pct",
    "free_naoh_high_pct",
    "flags",
    "batch_verdict",
    "bar",
    "portion",
    "by",
};

static void
csv_row(struct csv_out *csv, const struct verdict *verdict, const struct conclusion *conclusion)
{
    char *flags = flag_text(verdict->flags);

    csv_out_text(csv, verdict->dossier->batch.code);
    csv_out_integer(csv, verdict->session->id);
    csv_out_integer(csv, verdict->age_d);
    csv_out_text(csv, reading_method_word(verdict->method));
    csv_out_integer(csv, (int64_t)verdict->n);
    csv_out_number(csv, verdict->ph);
    csv_out_number(csv, verdict->ph_at_reference);
    csv_out_number(csv, verdict->u_ph);
    csv_out_number(csv, isfinite(verdict->dof) ? verdict->dof : (double)NAN);
    csv_out_number(csv, verdict->k);
    csv_out_number(csv, verdict->ph_low);
    csv_out_number(csv, verdict->ph_high);
    csv_out_number(csv, verdict->temperature_c);
    csv_out_number(csv, verdict->concentration_pct);
    csv_out_number(csv, verdict->limit_ph);
    csv_out_number(csv, verdict->p_over_limit);
    csv_out_text(csv, verdict_word(verdict->verdict));
    csv_out_number(csv, verdict->free_naoh_low_pct);
    csv_out_number(csv, verdict->free_naoh_high_pct);
    csv_out_text(csv, flags);
    csv_out_text(csv, verdict_word(conclusion->verdict));
    csv_out_text(csv, verdict->specimen->bar);
    csv_out_integer(csv, verdict->specimen->id);
    csv_out_text(csv, verdict->session->by);
    csv_out_end_row(csv);
    free(flags);
}

static void
table_head(struct listing *listing)
{
    listing_column(listing, "batch", LISTING_LEFT);
    listing_column(listing, "session", LISTING_RIGHT);
    listing_column(listing, "age d", LISTING_RIGHT);
    listing_column(listing, "with", LISTING_LEFT);
    listing_column(listing, "pH at 40 degC, 1 %", LISTING_LEFT);
    listing_column(listing, "verdict", LISTING_LEFT);
    listing_column(listing, "flags", LISTING_FLEXIBLE);
}

static void
table_row(struct listing *listing, const struct verdict *verdict)
{
    char *flags = flag_text(verdict->flags);

    if (verdict->specimen->bar == NULL)
        listing_cell(listing, verdict->dossier->batch.code);
    else
        listing_cellf(listing, "%s/%s", verdict->dossier->batch.code, verdict->specimen->bar);
    listing_cellf(listing, "%lld", (long long)verdict->session->id);
    listing_cellf(listing, "%d", verdict->age_d);
    listing_cell(listing, reading_method_word(verdict->method));
    if (!isnan(verdict->ph_at_reference) && !isnan(verdict->u_ph))
        listing_cellf(listing, "%.2f +/- %.2f", verdict->ph_at_reference, verdict->half_ph);
    else if (!isnan(verdict->ph))
        listing_cellf(listing, "%.2f as shown", verdict->ph);
    else
        listing_cellf(listing, "%.1f to %.1f", verdict->ph_low, verdict->ph_high);
    listing_cell(listing, verdict_word(verdict->verdict));
    listing_cell(listing, flags);
    free(flags);
}

/* How the verdicts of one batch are shown. */
struct show {
    struct context *context;
    const struct options *options;
    bool words, all, budget;
    struct csv_out *csv; /* NULL: a table */
    struct listing table;
    bool so_far;             /* one of them is within so far only */
    enum verdict_word worst; /* of the conclusions */
    const char *worst_code;  /* the first batch that has it; lent */
};

static enum status
no_readings(const struct dossier *dossier, struct failure *failure)
{
    const struct session *open = dossier_unfinished(dossier);
    char *typed = text_as_typed(dossier->batch.code);

    if (open != NULL)
        failure_set(
            failure, STATUS_MISSING,
            "batch '%.60s' has no readings yet; its session %lld is not finished (curetrace resume %lld)",
            dossier->batch.code, (long long)open->id, (long long)open->id);
    else
        failure_set(failure, STATUS_MISSING, "batch '%.60s' has no readings yet (curetrace test %s)",
                    dossier->batch.code, typed);
    free(typed);
    return STATUS_MISSING;
}

/* A batch without readings is told of when its recipe, its looks or its parent say something. */
static enum status
check_known(const struct batch_case *known, struct failure *failure)
{
    const struct conclusion *conclusion = &known->conclusion;

    if (conclusion->basis == CONCLUSION_NOTHING && conclusion->against.count == 0 &&
        conclusion->missing.count == 0)
        return no_readings(&known->dossier, failure);
    return STATUS_OK;
}

static enum status
check_names(struct store *store, const struct options *options, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < options_name_count(options); i++) {
        int64_t id;

        status = batch_store_id(store, options_name(options, i), &id, failure);
    }
    return status;
}

/* Rule 4. `known` has room for all that are named; ret_count of it is owned by the caller, also on a failure. */
static enum status
find_out(struct context *context, const struct options *options, struct batch_case *known, size_t *ret_count,
         struct failure *failure)
{
    size_t named = options_name_count(options);
    enum status status = check_names(context->store, options, failure);

    for (size_t i = 0; status == STATUS_OK && i < named; i++) {
        const char *code = options_name(options, i);
        struct batch_case *next = &known[(*ret_count)++];

        status = batch_case_open(context->store, code, next, failure);
        if (status == STATUS_OK) {
            status = check_known(next, failure);
        } else if (named > 1 && status != STATUS_SYSTEM) {
            say_refused(context, code, failure);
            batch_case_clear(next);
            (*ret_count)--;
            status = STATUS_OK;
        }
    }
    if (status == STATUS_OK && *ret_count == 0)
        status = failure_set(failure, STATUS_MISSING, "none of these batches can be told");
    return status;
}

/* A clock that was wrong once hides what is read after it: the session read last counts. */
static void
warn_of_clock(const struct context *context, const struct dossier *dossier, struct sentences *list)
{
    civil_time latest = MOMENT_NONE;
    char at[MOMENT_TEXT_SIZE];

    for (size_t i = 0; i < dossier->reading_count; i++)
        if (reading_stands(&dossier->readings[i]) && dossier->readings[i].taken_at > latest)
            latest = dossier->readings[i].taken_at;
    if (latest > context_now(context))
        sentences_addf(
            list, SENTENCE_PLAIN,
            "A reading is dated %s, which is yet to come: is this computer's clock right, and was it "
            "then? The session read last counts.",
            clock_moment_text(latest, at));
}

static void
say_and_clear(const struct context *context, struct sentences *list)
{
    say(context, list);
    sentences_clear(list);
}

static void
show_budget(const struct context *context, const struct verdict *bar)
{
    struct text text = {0};

    text_add(&text, "\n");
    verdict_text_budget(bar, &text);
    text_add(&text, "\n");
    listing_lines(context->out, context->width, text_of(&text));
    text_clear(&text);
}

static void
show_bar(const struct show *show, const struct verdict *bar)
{
    struct sentences said = {0};

    verdict_say_bar(bar, &said);
    say_and_clear(show->context, &said);
    if (show->budget)
        show_budget(show->context, bar);
}

static bool
is_among(const struct verdict_list *bars, const struct verdict *bar)
{
    for (size_t i = 0; i < bars->count; i++)
        if (bars->verdicts[i].specimen == bar->specimen)
            return true;
    return false;
}

/* The batch, then the sitting that decides where it is an earlier one, then the bars of the latest sitting. */
static void
show_words(const struct show *show, const struct batch_case *known)
{
    const struct context *context = show->context;
    const struct verdict_list *bars = &known->conclusion.ph;
    const struct verdict *deciding = known->conclusion.deciding;
    struct sentences said = {0};

    warn_of_clock(context, &known->dossier, &said);
    standing_say(&known->dossier, &known->conclusion, &said);
    say_and_clear(context, &said);
    if (deciding != NULL && !is_among(bars, deciding))
        show_bar(show, deciding);
    for (size_t i = 0; i < bars->count; i++)
        show_bar(show, &bars->verdicts[i]);
    verdict_say_closing(bars, known->conclusion.verdict, &said);
    standing_say_next(&known->conclusion, &said);
    say_and_clear(context, &said);
}

static void
csv_titration(struct csv_out *csv, const struct dossier *dossier, const struct free_alkali_result *result,
              const struct conclusion *conclusion)
{
    char *flags = free_alkali_flag_text(result->flags);

    csv_out_text(csv, dossier->batch.code);
    if (result->first->session_id == 0)
        csv_out_text(csv, NULL);
    else
        csv_out_integer(csv, result->first->session_id);
    csv_out_integer(csv, result->age_d);
    csv_out_text(csv, "titration");
    csv_out_integer(csv, (int64_t)result->count);
    for (int i = 0; i < 11; i++) /* ph to p_over_limit */
        csv_out_text(csv, NULL);
    csv_out_text(csv, verdict_word(bar_titration_word(&result->figures)));
    csv_out_number(csv, result->figures.low_pct);
    csv_out_number(csv, result->figures.high_pct);
    csv_out_text(csv, flags);
    csv_out_text(csv, verdict_word(conclusion->verdict));
    csv_out_text(csv, result->first->bar);
    csv_out_text(csv, NULL); /* portion */
    csv_out_text(csv, result->first->by);
    csv_out_end_row(csv);
    free(flags);
}

static void
table_titration(struct listing *listing, const struct dossier *dossier,
                const struct free_alkali_result *result)
{
    char *flags;

    assert(result != NULL); /* a verdict by titration has one */
    flags = free_alkali_flag_text(result->flags);
    listing_cell(listing, dossier->batch.code);
    if (result->first->session_id == 0)
        listing_cell(listing, "-");
    else
        listing_cellf(listing, "%lld", (long long)result->first->session_id);
    listing_cellf(listing, "%d", result->age_d);
    listing_cell(listing, "titration");
    listing_cellf(listing, "%.3f +/- %.3f %%", result->figures.free_naoh_pct, result->figures.half_width_pct);
    listing_cell(listing, verdict_word(bar_titration_word(&result->figures)));
    listing_cell(listing, flags);
    free(flags);
}

static void
show_sitting(struct show *show, const struct verdict *cup, const struct conclusion *conclusion)
{
    if (show->csv != NULL)
        csv_row(show->csv, cup, conclusion);
    else
        table_row(&show->table, cup);
}

static void
show_rows(struct show *show, const struct batch_case *known)
{
    const struct conclusion *conclusion = &known->conclusion;
    const struct verdict_list *bars = show->all ? &conclusion->all : &conclusion->ph;
    const struct free_alkali *titrated = &conclusion->free_alkali;
    const struct free_alkali_result *decides =
        conclusion->basis == CONCLUSION_TITRATION ? conclusion->worst->titration : NULL;

    if (show->csv == NULL && conclusion->deciding != NULL && !is_among(bars, conclusion->deciding))
        show_sitting(show, conclusion->deciding, conclusion);
    for (size_t i = 0; i < bars->count; i++)
        show_sitting(show, &bars->verdicts[i], conclusion);
    for (size_t i = 0; i < titrated->count; i++) {
        const struct free_alkali_result *result = &titrated->results[i];

        if (!show->all && result != titrated->current && (show->csv != NULL || result != decides))
            continue;
        if (show->csv != NULL)
            csv_titration(show->csv, &known->dossier, result, conclusion);
        else
            table_titration(&show->table, &known->dossier, result);
    }
}

static enum status
draw_budget(const struct show *show, const struct verdict_list *list, struct failure *failure)
{
    struct figure figure;
    enum status status = budget_figure(list, &figure, failure);

    if (status != STATUS_OK)
        return status;
    status = plot_file_write(show->context, show->options, &figure, failure);
    figure_clear(&figure);
    return status;
}

static enum status
show_batch(struct show *show, const struct batch_case *known, struct failure *failure)
{
    const struct conclusion *conclusion = &known->conclusion;

    show->so_far = show->so_far || conclusion->so_far;
    if (show->worst_code == NULL || conclusion->verdict > show->worst) {
        show->worst = conclusion->verdict;
        show->worst_code = known->dossier.batch.code;
    }
    if (show->words)
        show_words(show, known);
    else
        show_rows(show, known);
    return options_has(show->options, "plot") ? draw_budget(show, &conclusion->ph, failure) : STATUS_OK;
}

/* Under the table, whose rows are sittings: a batch with a bad bar may have a good one in its last row. */
static void
show_conclusions(const struct context *context, const struct batch_case *known, size_t count)
{
    struct sentences said = {0};

    fputs("\nEach batch by all that is known of it:\n", context->out);
    for (size_t i = 0; i < count; i++)
        standing_say_verdict(&known[i].dossier, &known[i].conclusion, &said);
    say_and_clear(context, &said);
}

static enum status
show_all(struct show *show, const struct batch_case *known, size_t count, struct failure *failure)
{
    struct context *context = show->context;
    struct csv_out csv;
    enum status status = STATUS_OK;

    table_head(&show->table);
    if (options_has(show->options, "csv")) {
        show->csv = &csv;
        csv_out_start(&csv, context->out, context->csv);
        csv_out_heading(&csv, headings, LENGTH(headings));
    }
    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        status = show_batch(show, &known[i], failure);
    if (status == STATUS_OK && show->csv != NULL)
        status = csv_out_finish(&csv, NULL, failure);
    else if (status == STATUS_OK && !show->words) {
        listing_print(&show->table, context->out, context->width);
        fprintf(context->out, "session: %s\n", session_meaning);
        show_conclusions(context, known, count);
        context_next(context, "verdict", show->worst_code, NULL); /* one alone is told in words */
    }
    listing_clear(&show->table);
    if (status == STATUS_OK && options_has(show->options, "strict") &&
        (show->worst != VERDICT_WITHIN || show->so_far || context->exit_code != 0))
        context->exit_code = show->worst == VERDICT_LYE_HEAVY ? EXIT_LYE_HEAVY : EXIT_DOUBTFUL;
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct show show = {.context = context,
                        .options = options,
                        .all = options_has(options, "all"),
                        .budget = options_has(options, "budget"),
                        .worst = VERDICT_WITHIN};
    size_t count = options_name_count(options), known_count = 0;
    struct batch_case *known;
    enum status status = plot_file_check(options, failure);

    if (status == STATUS_OK && options_has(options, "plot") && (!show.budget || count > 1))
        status = failure_set(failure, STATUS_USAGE,
                             "--plot shows the budget of one batch: --budget too, and one CODE");
    if (status != STATUS_OK)
        return status;
    show.words = !options_has(options, "csv") && (show.budget || (count == 1 && !show.all));
    known = memory_new(count, sizeof *known);
    status = find_out(context, options, known, &known_count, failure);
    if (status == STATUS_OK)
        status = show_all(&show, known, known_count, failure);
    for (size_t i = 0; i < known_count; i++)
        batch_case_clear(&known[i]);
    free(known);
    return status;
}

const struct command verdict_command = {
    .name = "verdict",
    .names = "CODE [CODE ...]",
    .fewest = 1,
    .most = -1,
    .summary = "tell whether a batch is within, doubtful, lye-heavy or not judged, and what that rests on",
    .example = "curetrace verdict W-07",
    .options = verdict_options,
    .needs = COMMAND_READS_STORE,
    .run = run,
};
