/* report.h - what was made, how it was tested and what follows, as one page that needs nothing beside it.
 *
 * Rules
 * (1) The page is handed records and conclusions; it never opens the notebook and judges nothing itself.
 * (2) Each batch begins with one sheet that says what matters (report_summary.c); the full record stands behind it. On
 *     paper each later sheet carries the batch's code, its number and the seal.
 * (3) What was superseded is shown struck through, with the reason; a release in spite of the rules stays
 *     visible for ever.
 * (4) No script, nothing fetched, no links but those of the index (report_index.h) to its records. Colour never says what a word does not. */
#ifndef REPORT_H
#define REPORT_H

#include "comparison.h"
#include "conclusion.h"
#include "cure.h"
#include "dossier.h"
#include "lye_balance.h"
#include "page.h"
#include "series.h"
#include "verdict.h"

/* A plot as <svg> elements for two widths, or why there is none; all NULL when there is nothing to draw. */
struct report_plot {
    const char *wide_svg, *narrow_svg;
    const char *refused;
};

/* One batch. All lent; NULL where there is none. */
struct report_batch {
    const struct dossier *dossier;
    const struct conclusion *conclusion; /* of pH and titration */
    const struct verdict_point *points;  /* verdict_points() */
    const struct series *series;
    const struct cure *cure;
    struct report_plot cure_plot;
    const struct comparison *comparison; /* with the reference batch, which comes first */
    struct report_plot comparison_plot;
    const struct lye_balance *balance; /* solved */
    const char *balance_refused;       /* why there is none, when there is a recipe */
};

struct report {
    const struct report_batch *batches;
    size_t count;
    civil_time written_at;
    const char *version;         /* of the program */
    const char *seal;            /* of the notebook's latest entry (seal.h) */
    const char *maker, *contact; /* NULL: not set */
    bool summary;                /* the first sheet of each batch alone */
};

/* The whole page. Given: free() it. */
char *report_page(const struct report *report);

#endif
