/* budget_figure.c - where the uncertainty of a result comes from, as bars. */
#include "budget_figure.h"

#include <math.h>
#include <stdlib.h>

#include "text.h"

struct bar {
    const char *name;
    double share;
};

static int
by_share(const void *a, const void *b)
{
    const struct bar *first = a, *second = b;

    return (first->share < second->share) - (first->share > second->share);
}

/* `alone` leaves out of the bars' names which result they belong to: the title says it. */
static void
add_panel(struct figure *figure, const struct verdict *verdict, bool alone)
{
    const struct budget *budget = &verdict->budget;
    struct figure_panel *panel = figure_add_panel(figure, NULL);
    struct figure_series *series = figure_add_series(panel, NULL, FIGURE_BARS, 0);
    struct bar bars[BUDGET_MOST_LINES];

    for (size_t i = 0; i < budget->count; i++)
        bars[i] = (struct bar){budget->lines[i].name, budget->shares[i]};
    qsort(bars, budget->count, sizeof bars[0], by_share);
    for (size_t i = 0; i < budget->count; i++) {
        char *name =
            alone ? text_format("%s", bars[i].name) : text_format("%d d: %s", verdict->age_d, bars[i].name);

        figure_add_bar(panel, series, name, round(1000.0 * bars[i].share) / 10.0);
        free(name);
    }
}

static char *
title_of(const struct verdict *first, size_t count)
{
    const char *code = first->dossier->batch.code;

    if (count > 1)
        return text_format("Where the uncertainty of %s comes from", code);
    return text_format("Where the uncertainty of %s comes from: pH %.2f \302\261 %.2f at %d days", code,
                       first->ph_at_reference, first->half_ph, first->age_d);
}

enum status
budget_figure(const struct verdict_list *list, struct figure *ret_figure, struct failure *failure)
{
    const struct verdict *first = NULL;
    size_t count = 0;
    char *title;

    for (size_t i = 0; i < list->count; i++) {
        if (list->verdicts[i].budget.count == 0)
            continue;
        first = first == NULL ? &list->verdicts[i] : first;
        count++;
    }
    if (first == NULL)
        return failure_set(
            failure, STATUS_MISSING,
            "there is no uncertainty budget to plot: no result by a meter at 40 degC and 1 %%");
    title = title_of(first, count);
    figure_init(ret_figure, title, "share of the variance, %", FIGURE_X_NUMBER);
    for (size_t i = 0; i < list->count; i++)
        if (list->verdicts[i].budget.count > 0)
            add_panel(ret_figure, &list->verdicts[i], count == 1);
    free(title);
    return STATUS_OK;
}
