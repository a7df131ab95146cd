/* report_load.c - what a report needs of one batch, loaded from the notebook and worked out. */
#include "report_load.h"

#include <math.h>
#include <stdlib.h>

#include "cure_figure.h"
#include "memory.h"
#include "plot.h"
#include "text.h"
#include "trend_view.h"

enum { CURE_WIDE, CURE_NARROW, COMPARISON_WIDE, COMPARISON_NARROW };
enum { ONE_PANEL_PX = 480, TWO_PANELS_PX = 720 };

void
report_load_clear(struct report_load *load)
{
    lye_balance_clear(&load->balance);
    comparison_clear(&load->comparison);
    cure_clear(&load->reference_cure);
    series_clear(&load->reference);
    conclusion_clear(&load->conclusion);
    verdict_list_clear(&load->all);
    followed_free(load->followed);
    free(load->cure_words);
    for (size_t i = 0; i < LENGTH(load->drawings); i++)
        free(load->drawings[i]);
    *load = (struct report_load){0};
}

enum status
report_load_conclusion(const struct context *context, const char *code, struct report_load *load,
                       struct failure *failure)
{
    struct verdict_aid aid;
    enum status status;

    load->followed = memory_new(1, sizeof *load->followed);
    status = evidence_load(context->store, code, &load->followed->evidence, failure);
    if (status != STATUS_OK)
        return status;
    load->report.dossier = &load->followed->evidence.dossier;
    load->report.conclusion = &load->conclusion;
    load->report.all = &load->all;
    aid = evidence_aid(&load->followed->evidence);
    return conclusion_of(load->report.dossier, &aid, &load->conclusion, failure);
}

static enum status
follow(struct report_load *load, struct failure *failure)
{
    struct followed *followed = load->followed;
    struct verdict_aid aid = evidence_aid(&followed->evidence);
    enum status status = verdict_points(load->report.dossier, &followed->points, failure);

    if (status == STATUS_OK && load->conclusion.ph.count > 0)
        status = verdict_of_all(load->report.dossier, &aid, &load->all, failure);
    if (status == STATUS_OK)
        status = series_of(load->report.dossier, &aid, &followed->series, failure);
    if (status == STATUS_OK)
        status = cure_follow(followed->series.points, followed->series.count, CURE_TARGET_PH_USUAL,
                             &followed->cure, failure);
    load->report.points = followed->points;
    load->report.series = &followed->series;
    load->report.cure = &followed->cure;
    return status;
}

/* What trend says of the curve, each paragraph one line. */
static void
tell_cure(const struct context *context, struct report_load *load)
{
    struct context quiet = *context;
    size_t size = 0;

    if (load->followed->series.count == 0)
        return;
    quiet.out = open_memstream(&load->cure_words, &size);
    quiet.width = 100000;
    trend_view_remarks(&quiet, load->followed);
    trend_view_model(&quiet, load->followed);
    fclose(quiet.out);
    load->report.cure_words = load->cure_words;
}

static enum status
compare(struct report_load *load, struct failure *failure)
{
    const struct dossier *reference = &load->followed->evidence.reference;
    const struct series *own = &load->followed->series;
    enum status status;

    if (reference->batch.id == 0)
        return STATUS_OK;
    status = series_of(reference, NULL, &load->reference, failure);
    if (status == STATUS_OK)
        status = cure_follow(load->reference.points, load->reference.count, CURE_TARGET_PH_USUAL,
                             &load->reference_cure, failure);
    if (status == STATUS_OK)
        status =
            comparison_make(load->reference.points, load->reference.count, own->points, own->count,
                            COMPARISON_WINDOW_USUAL, COMPARISON_MARGIN_USUAL_PH, &load->comparison, failure);
    if (status == STATUS_OK)
        load->report.comparison = &load->comparison;
    return status;
}

/* Rule of report.c: which scale weighed the recipe is not on record, so the balance assumes one. */
static void
balance(struct report_load *load)
{
    const struct batch *batch = &load->report.dossier->batch;
    struct failure *failure = &load->balance_failure;

    if (batch->line_count == 0)
        return;
    if (lye_balance_read(batch, NAN, &load->balance, failure) == STATUS_OK &&
        lye_balance_solve(&load->balance, LYE_BALANCE_DRAWS, LYE_BALANCE_SEED, failure) == STATUS_OK)
        load->report.balance = &load->balance;
    else
        load->report.balance_refused = failure->text;
}

/* One figure at two widths, of `height_px`. */
static void
draw(struct report_load *load, const struct figure *figure, size_t number, int first, int height_px,
     struct report_plot *plot)
{
    const struct plot_options sizes[] = {{.width_px = 900, .height_px = height_px},
                                         {.width_px = 420, .height_px = height_px}};

    for (int i = 0; i < 2; i++) {
        char *prefix = text_format("b%zup%d", number, first + i);

        if (plot_svg(figure, &sizes[i], prefix, &load->drawings[first + i], &load->plot_failure) != STATUS_OK)
            plot->refused = load->plot_failure.text;
        free(prefix);
    }
    if (plot->refused != NULL)
        return;
    plot->wide_svg = load->drawings[first];
    plot->narrow_svg = load->drawings[first + 1];
}

static void
draw_cure(struct report_load *load, size_t number)
{
    const struct cure_figure_batch batch = {.dossier = load->report.dossier,
                                            .series = load->report.series,
                                            .cure = load->report.cure,
                                            .points = load->report.points};
    const struct cure_figure_wish wish = {.model = true};
    struct figure figure;

    cure_figure(&batch, 1, wish, &figure);
    draw(load, &figure, number, CURE_WIDE, ONE_PANEL_PX, &load->report.cure_plot);
    figure_clear(&figure);
}

/* Of both batches the results that are compared; paper and what was superseded stand in the plot of the cure. */
static void
draw_comparison(struct report_load *load, size_t number)
{
    const struct cure_figure_batch batches[] = {
        {.dossier = &load->followed->evidence.reference,
         .series = &load->reference,
         .cure = &load->reference_cure},
        {.dossier = load->report.dossier, .series = load->report.series, .cure = load->report.cure},
    };
    struct figure figure;

    cure_figure_difference(batches, LENGTH(batches), &load->comparison, &figure);
    draw(load, &figure, number, COMPARISON_WIDE, TWO_PANELS_PX, &load->report.comparison_plot);
    figure_clear(&figure);
}

enum status
report_load(const struct context *context, const char *code, size_t number, struct report_load *load,
            struct failure *failure)
{
    enum status status = report_load_conclusion(context, code, load, failure);

    if (status == STATUS_OK)
        status = follow(load, failure);
    if (status == STATUS_OK)
        status = compare(load, failure);
    if (status != STATUS_OK)
        return status;
    tell_cure(context, load);
    balance(load);
    if (load->report.series->count > 0)
        draw_cure(load, number);
    if (load->report.comparison != NULL && load->comparison.design != COMPARISON_NOTHING)
        draw_comparison(load, number);
    return STATUS_OK;
}
