/* compare.c - "compare": does a changed recipe really read differently? */
#include <math.h>
#include <stdlib.h>

#include "batches_named.h"
#include "commands.h"
#include "comparison.h"
#include "csv_out.h"
#include "cure_figure.h"
#include "file.h"
#include "listing.h"
#include "memory.h"
#include "number.h"
#include "plot_file.h"
#include "say.h"
#include "text.h"

static const struct option_spec compare_options[] = {
    {.name = "age-window",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = 1,
     .high = 100,
     .help = "results whose ages differ by no more than this are a pair (one day is always allowed); 10 when "
             "not said"},
    {.name = "margin",
     .kind = OPTION_PH,
     .value = "PH",
     .low = 0.01,
     .high = 5,
     .help = "differences smaller than this do not matter to you; 0.2 when not said"},
    CSV_OPTIONS,
    {.name = "csv",
     .kind = OPTION_FILE,
     .value = "FILE",
     .optional = true,
     .help = "one row a comparison, to the screen without FILE"},
    {.name = "plot",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "the cures and their differences; FILE ends in .svg, .png or .pdf"},
    {.name = "size", .kind = OPTION_TEXT, .value = "WxH", .help = PLOT_SIZE_HELP},
    {.name = "script", .kind = OPTION_FLAG, .help = PLOT_SCRIPT_HELP},
    {.name = NULL},
};

/* Owns the batches and the comparisons of all but the first with the first. */
struct compare {
    struct context *context;
    struct batch_case **batches;
    size_t count, capacity;
    struct comparison *comparisons;
    struct failure control_refused; /* why the first cannot be told; its status is STATUS_OK: it can */
};

static const char *
code_of(const struct compare *compare, size_t i)
{
    return compare->batches[i]->dossier.batch.code;
}

static enum status
take(struct batch_case *batch, struct batch_rows rows, void *payload, struct failure *failure)
{
    struct compare *compare = payload;

    (void)rows;
    (void)failure;
    if (compare->control_refused.status != STATUS_OK) {
        batch_case_free(batch);
        return STATUS_OK;
    }
    compare->batches =
        memory_room(compare->batches, compare->count, &compare->capacity, sizeof *compare->batches);
    compare->batches[compare->count++] = batch;
    return STATUS_OK;
}

/* Without the batch that all are compared with there is nothing to go on with. */
static void
refuse(const char *code, const struct failure *why, void *payload)
{
    struct compare *compare = payload;

    if (compare->count > 0) {
        say_refused(compare->context, code, why);
    } else if (compare->control_refused.status == STATUS_OK) {
        compare->control_refused = *why;
        failure_at(&compare->control_refused, "batch %s: ", code);
    }
}

/* Give up a batch that cannot be compared. */
static void
drop(struct compare *compare, size_t i, const struct failure *why)
{
    say_refused(compare->context, code_of(compare, i), why);
    batch_case_free(compare->batches[i]);
    compare->count--;
    for (; i < compare->count; i++)
        compare->batches[i] = compare->batches[i + 1];
}

static enum status
make(struct compare *compare, const struct options *options, struct failure *failure)
{
    const struct series *control = &compare->batches[0]->series;
    double window = options_number_or(options, "age-window", 100.0 * COMPARISON_WINDOW_USUAL) / 100.0;
    double margin = options_number_or(options, "margin", COMPARISON_MARGIN_USUAL_PH);
    enum status status = STATUS_OK;

    compare->comparisons = memory_new(compare->count, sizeof *compare->comparisons);
    for (size_t i = 1; i < compare->count;) {
        const struct series *variant = &compare->batches[i]->series;
        struct failure why = {0};

        if (comparison_make(control->points, control->count, variant->points, variant->count, window, margin,
                            &compare->comparisons[i - 1], &why) == STATUS_OK)
            i++;
        else
            drop(compare, i, &why);
    }
    if (compare->count < 2)
        return failure_set(failure, STATUS_MISSING, "nothing is left to compare %s with",
                           code_of(compare, 0));
    if (compare->count > 2)
        status = comparison_correct(compare->comparisons, compare->count - 1, failure);
    return status;
}

static void
write_rows(struct csv_out *csv, const struct compare *compare)
{
    static const char *const names[] = {
        "a",           "b",           "design",       "n",          "mean_difference",
        "u",           "dof",         "low",          "high",       "t",
        "p_different", "margin",      "p_equivalent", "conclusion", "detectable_difference",
        "p_rank",      "shared_half", "sharing"};

    csv_out_heading(csv, names, LENGTH(names));
    for (size_t i = 1; i < compare->count; i++) {
        const struct comparison *c = &compare->comparisons[i - 1];

        csv_out_text(csv, code_of(compare, 0));
        csv_out_text(csv, code_of(compare, i));
        csv_out_text(csv, comparison_design_word(c->design));
        csv_out_integer(csv, (int64_t)c->n);
        csv_out_number(csv, c->mean_difference);
        csv_out_number(csv, c->u);
        csv_out_number(csv, isfinite(c->dof) ? c->dof : (double)NAN);
        csv_out_number(csv, c->low);
        csv_out_number(csv, c->high);
        csv_out_number(csv, c->t);
        csv_out_number(csv, c->p_different);
        csv_out_number(csv, c->margin);
        csv_out_number(csv, c->p_equivalent);
        csv_out_text(csv, comparison_conclusion_text(c->conclusion));
        csv_out_number(csv, c->detectable_difference);
        csv_out_number(csv, c->p_rank);
        csv_out_number(csv, c->shared_half_ph);
        csv_out_text(csv, c->pair_count == 0 ? NULL : comparison_sharing_word(c->sharing));
        csv_out_end_row(csv);
    }
}

static enum status
write_csv(struct context *context, const struct compare *compare, const char *path, struct failure *failure)
{
    struct file_draft draft = {0};
    struct csv_out csv;
    enum status status = path == NULL ? STATUS_OK : file_draft_begin(path, &draft, failure);

    if (status != STATUS_OK)
        return status;
    csv_out_start(&csv, path == NULL ? context->out : draft.stream, context->csv);
    write_rows(&csv, compare);
    status = csv_out_finish(&csv, path, failure);
    status = file_draft_end(&draft, status, failure);
    if (status == STATUS_OK && path != NULL)
        fprintf(context->err, "wrote %s\n", path);
    return status;
}

static enum status
draw(struct context *context, const struct compare *compare, const struct options *options,
     struct failure *failure)
{
    struct cure_figure_batch *batches = memory_new(compare->count, sizeof *batches);
    struct figure figure;
    enum status status;

    for (size_t i = 0; i < compare->count; i++)
        batches[i] = (struct cure_figure_batch){.dossier = &compare->batches[i]->dossier,
                                                .series = &compare->batches[i]->series,
                                                .cure = &compare->batches[i]->cure,
                                                .points = compare->batches[i]->points};
    cure_figure_difference(batches, compare->count, compare->comparisons, &figure);
    status = plot_file_write(context, options, &figure, failure);
    figure_clear(&figure);
    free(batches);
    return status;
}

static void
print_pairs(const struct context *context, const struct compare *compare, size_t i)
{
    const struct comparison *c = &compare->comparisons[i - 1];
    struct listing listing = {0};
    char difference[NUMBER_TEXT_SIZE];

    listing_column(&listing, "days", LISTING_RIGHT);
    listing_column(&listing, code_of(compare, 0), LISTING_RIGHT);
    listing_column(&listing, "days", LISTING_RIGHT);
    listing_column(&listing, code_of(compare, i), LISTING_RIGHT);
    listing_column(&listing, "difference", LISTING_RIGHT);
    for (size_t k = 0; k < c->pair_count; k++) {
        listing_cellf(&listing, "%g", c->pairs[k].first_age_d);
        listing_cellf(&listing, "%.2f", c->pairs[k].first_ph);
        listing_cellf(&listing, "%g", c->pairs[k].second_age_d);
        listing_cellf(&listing, "%.2f", c->pairs[k].second_ph);
        listing_cell(&listing, number_signed(c->pairs[k].second_ph - c->pairs[k].first_ph, 2, difference));
    }
    listing_print(&listing, context->out, context->width);
    listing_clear(&listing);
}

/* How the two were compared, in words. */
static void
add_design(struct text *text, const struct comparison *c)
{
    if (c->design == COMPARISON_NOTHING)
        text_add(text,
                 "one of them has no result that can be compared (a meter reading at a known temperature and "
                 "concentration).");
    else if (c->pair_count >= 2 || c->design == COMPARISON_PAIRED)
        text_addf(text, "%zu pairs of about one age.", c->pair_count);
    else if (c->design == COMPARISON_SINGLE)
        text_addf(text, "%zu and %zu results: too few to know how bars scatter.", c->first_count,
                  c->second_count);
    else
        text_addf(text, "%zu and %zu results that are no pairs, at %.3g and %.3g days on average.",
                  c->first_count, c->second_count, c->first_age_d, c->second_age_d);
    if (c->pair_count > 0 && c->design != COMPARISON_WELCH)
        text_addf(text, " Design: %s.", comparison_sharing_text(c->sharing));
    if (c->ages_differ && c->design != COMPARISON_NOTHING)
        text_add(text,
                 " pH falls with age, so this says nothing about the recipe: test both at the same ages.");
}

static void
add_numbers(struct text *text, const struct comparison *c)
{
    char mean[NUMBER_TEXT_SIZE], low[NUMBER_TEXT_SIZE], high[NUMBER_TEXT_SIZE];

    text_addf(text,
              " Mean difference %s pH (95 %%: %s to %s). Differs from 0? p %.2g. Within %.3g pH? p %.2g.",
              number_signed(c->mean_difference, 3, mean), number_signed(c->low, 3, low),
              number_signed(c->high, 3, high), c->p_different, c->margin, c->p_equivalent);
    if (!isnan(c->p_rank))
        text_addf(text, " By ranks alone: p %.2g.", c->p_rank);
    if (c->shared_half_ph > 0.005)
        text_addf(text, " +/- %.2f of it is shared by the tests: more of the same make it no smaller.",
                  c->shared_half_ph);
    if (isfinite(c->detectable_difference))
        text_addf(text, " This many show a difference of %.2f pH four times in five.",
                  c->detectable_difference);
}

/* What would settle it. */
static void
add_settling(struct text *text, const struct comparison *c)
{
    if (c->design == COMPARISON_NOTHING || c->ages_differ)
        return;
    if (c->sharing == COMPARISON_TWO_METERS && c->pair_count > 0)
        text_add(text, " To settle it: read both batches with one meter, or swap the meters half-way.");
    else if (c->design == COMPARISON_SINGLE)
        text_add(
            text,
            " To settle it: test both at one more age at least, best with the same meter in one sitting.");
    else if (c->shared_half_ph > 0.5 * c->margin)
        text_add(text, " To settle it: test both in the same sittings, after one calibration.");
    else
        text_add(text, " To settle it: more pairs in the same sittings.");
}

static void
print_one(const struct context *context, const struct compare *compare, size_t i)
{
    static const enum tone tones[] = {TONE_DOUBT, TONE_PLAIN, TONE_PLAIN};
    const struct comparison *c = &compare->comparisons[i - 1];
    char *first = text_visible(code_of(compare, 0)), *second = text_visible(code_of(compare, i));
    struct text text = {0};

    fprintf(context->out, "%s less %s: %s%s%s\n", second, first, context_tone(context, tones[c->conclusion]),
            comparison_answer_text(c->conclusion), context_tone(context, TONE_PLAIN));
    if (c->pair_count > 0)
        print_pairs(context, compare, i);
    add_design(&text, c);
    if (c->design != COMPARISON_NOTHING)
        add_numbers(&text, c);
    if (c->conclusion == COMPARISON_SAME && c->p_different <= COMPARISON_SIGNIFICANCE)
        text_addf(&text, " There is a difference, and it is surely smaller than %.3g pH.", c->margin);
    if (c->conclusion == COMPARISON_CANNOT_TELL)
        add_settling(&text, c);
    fputs("  ", context->out);
    listing_paragraph(context->out, context->width > 22 ? context->width - 2 : 20, 2, text_of(&text));
    if (c->conclusion == COMPARISON_CANNOT_TELL)
        context_next(context, "plan", code_of(compare, 0), code_of(compare, i), NULL);
    text_clear(&text);
    free(first);
    free(second);
}

static void
print(const struct context *context, const struct compare *compare)
{
    for (size_t i = 1; i < compare->count; i++) {
        if (i > 1)
            fputc('\n', context->out);
        print_one(context, compare, i);
    }
    if (compare->count > 2) {
        fputc('\n', context->out);
        listing_paragraph(context->out, context->width, 0,
                          "Several are compared with one, so both p values are raised (Holm's correction).");
    }
}

static void
compare_clear(struct compare *compare)
{
    for (size_t i = 0; compare->comparisons != NULL && i + 1 < compare->count; i++)
        comparison_clear(&compare->comparisons[i]);
    for (size_t i = 0; i < compare->count; i++)
        batch_case_free(compare->batches[i]);
    free(compare->comparisons);
    free(compare->batches);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct compare compare = {.context = context};
    struct batch_codes codes = {0};
    struct batches_request request = {.points = options_has(options, "plot"),
                                      .followed = true,
                                      .refused = refuse,
                                      .target_ph = CURE_TARGET_PH_USUAL};
    enum status status = plot_file_check(options, failure);

    if (status == STATUS_OK)
        status = batches_named(context, options, &codes, failure);
    if (status != STATUS_OK)
        return status;
    request.codes = (const char *const *)codes.codes;
    request.count = codes.count;
    status = all_batches(context->store, &request, take, &compare, failure);
    if (status == STATUS_OK && compare.control_refused.status != STATUS_OK) {
        *failure = compare.control_refused;
        status = failure->status;
    }
    if (status == STATUS_OK)
        status = make(&compare, options, failure);
    if (status == STATUS_OK && options_has(options, "plot"))
        status = draw(context, &compare, options, failure);
    if (status == STATUS_OK && options_has(options, "csv"))
        status = write_csv(context, &compare, options_text(options, "csv"), failure);
    else if (status == STATUS_OK)
        print(context, &compare);
    compare_clear(&compare);
    batch_codes_clear(&codes);
    return status;
}

const struct command compare_command = {
    .name = "compare",
    .names = "CONTROL CODE [CODE ...]",
    .fewest = 2,
    .most = -1,
    .summary = "does a changed recipe read differently, practically the same, or can it not be told yet?",
    .example = "curetrace compare W-06 W-07 --plot difference.svg",
    .options = compare_options,
    .needs = COMMAND_READS_STORE,
    .run = run,
};
