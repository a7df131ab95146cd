/* trend_view.h - results across the cure, as a person reads them. */
#ifndef TREND_VIEW_H
#define TREND_VIEW_H

#include "batch_case.h"
#include "command.h"
#include "listing.h"

/* All results of some batches by age, as one table. */
void trend_view_results(const struct context *context, struct batch_case *const *batches, size_t count);

/* One line a batch, for a whole notebook. */
void trend_view_summary_start(struct listing *listing);
void trend_view_summary_add(struct listing *listing, const struct batch_case *batch);
void trend_view_summary_refuse(struct listing *listing, const char *code); /* one that cannot be told */

#endif
