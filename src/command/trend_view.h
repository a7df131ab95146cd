/* trend_view.h - results across the cure, as a person reads them. */
#ifndef TREND_VIEW_H
#define TREND_VIEW_H

#include "batch_case.h"
#include "command.h"
#include "listing.h"

/* All results of some batches by age, as one table. */
void trend_view_results(const struct context *context, struct batch_case *const *batches, size_t count);

/* What is amiss with one batch: results to recheck with likely causes, and those that could not be used. */
void trend_view_remarks(const struct context *context, const struct batch_case *batch);

/* What was fitted to one batch: curve, trend, ready dates. */
void trend_view_model(const struct context *context, const struct batch_case *batch);

/* One line a batch, for a whole notebook. */
void trend_view_summary_start(struct listing *listing);
void trend_view_summary_add(struct listing *listing, const struct batch_case *batch);

/* "2026-03-20 to 2026-03-25", "below at every age", "levels off above it",
 * "not yet predictable, not before 2026-04-01". Given: free()
 * it. */
char *trend_view_ready_text(const struct batch_case *batch);

#endif
