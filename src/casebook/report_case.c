/* report_case.c - what a page about one batch needs to know. */
#include "report_case.h"

static enum status
compare(struct report_case *report, struct failure *failure)
{
    const struct series *own = &report->batch.series;
    enum status status;

    if (report->batch.reference.batch.id == 0)
        return STATUS_OK;
    series_of(&report->batch.reference_bars, &report->reference);
    status = cure_follow(report->reference.points, report->reference.count, CURE_TARGET_PH_USUAL,
                         &report->batch.history, &report->reference_cure, failure);
    if (status == STATUS_OK)
        status = comparison_make(report->reference.points, report->reference.count, own->points, own->count,
                                 COMPARISON_WINDOW_USUAL, COMPARISON_MARGIN_USUAL_PH, &report->comparison,
                                 failure);
    report->compared = status == STATUS_OK;
    return status;
}

enum status
report_case_load(struct store *store, const char *code, struct report_case *ret_case, struct failure *failure)
{
    struct case_loader loader = {.store = store, .follows = true};
    enum status status = case_loader_load(&loader, code, &ret_case->batch, failure);

    case_loader_clear(&loader);
    if (status == STATUS_OK)
        status = batch_case_judge(&ret_case->batch, failure);
    if (status == STATUS_OK)
        status = batch_case_value(&ret_case->batch, failure);
    if (status == STATUS_OK)
        status = batch_case_follow(&ret_case->batch, CURE_TARGET_PH_USUAL, failure);
    if (status == STATUS_OK)
        status = compare(ret_case, failure);
    return status;
}

void
report_case_clear(struct report_case *report)
{
    comparison_clear(&report->comparison);
    cure_clear(&report->reference_cure);
    series_clear(&report->reference);
    batch_case_clear(&report->batch);
    *report = (struct report_case){0};
}
