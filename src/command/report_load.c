/* report_load.c - one batch as a page shows it. */
#include "report_load.h"

#include <stdlib.h>

#include "cure_figure.h"
#include "memory.h"
#include "plot.h"
#include "text.h"

enum { CURE_WIDE, COMPARISON_WIDE = 2 }; /* each with a narrow one behind it */
enum { ONE_PANEL_PX = 380, ONE_PANEL_NARROW_PX = 300, TWO_PANELS_PX = 720 };

void
report_load_clear(struct report_load *load)
{
    report_case_clear(&load->known);
    for (size_t i = 0; i < LENGTH(load->drawings); i++)
        free(load->drawings[i]);
    *load = (struct report_load){0};
}

/* One figure at two widths, of these heights. */
static void
draw(struct report_load *load, const struct figure *figure, size_t number, int first, const int heights_px[2],
     struct report_plot *plot)
{
    const struct plot_options sizes[] = {{.width_px = 900, .height_px = heights_px[0]},
                                         {.width_px = 420, .height_px = heights_px[1]}};

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
    static const int heights_px[] = {ONE_PANEL_PX, ONE_PANEL_NARROW_PX}; /* the first sheet has more to say */
    struct figure figure;

    cure_figure(&batch, 1, wish, &figure);
    draw(load, &figure, number, CURE_WIDE, heights_px, &load->report.cure_plot);
    figure_clear(&figure);
}

/* Of both batches the results that are compared; paper and what was superseded stand in the plot of the cure. */
static void
draw_comparison(struct report_load *load, size_t number)
{
    const struct cure_figure_batch batches[] = {
        {.dossier = &load->known.batch.reference,
         .series = &load->known.reference,
         .cure = &load->known.reference_cure},
        {.dossier = load->report.dossier, .series = load->report.series, .cure = load->report.cure},
    };
    static const int heights_px[] = {TWO_PANELS_PX, TWO_PANELS_PX};
    struct figure figure;

    cure_figure_difference(batches, LENGTH(batches), &load->known.comparison, &figure);
    draw(load, &figure, number, COMPARISON_WIDE, heights_px, &load->report.comparison_plot);
    figure_clear(&figure);
}

static void
lend(struct report_load *load)
{
    const struct report_case *known = &load->known;

    load->report = (struct report_batch){
        .dossier = &known->batch.dossier,
        .conclusion = &known->batch.conclusion,
        .points = known->batch.points,
        .series = &known->batch.series,
        .cure = &known->batch.cure,
        .comparison = known->compared ? &known->comparison : NULL,
        .balance = known->batch.balanced ? &known->batch.balance : NULL,
        .balance_refused =
            known->batch.balance_failure.status != STATUS_OK ? known->batch.balance_failure.text : NULL,
    };
}

enum status
report_load(struct store *store, const char *code, size_t number, struct report_load *load,
            struct failure *failure)
{
    enum status status = report_case_load(store, code, &load->known, failure);

    if (status != STATUS_OK)
        return status;
    lend(load);
    if (load->report.series->count > 0)
        draw_cure(load, number);
    if (load->report.comparison != NULL && load->report.comparison->design != COMPARISON_NOTHING)
        draw_comparison(load, number);
    return STATUS_OK;
}
