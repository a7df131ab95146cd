/* trend_csv.h - readings across the cure, and what was fitted to them, as CSV.
 *
 * Headings never change their meaning once released: scripts read them (docs/trend.md). */
#ifndef TREND_CSV_H
#define TREND_CSV_H

#include "csv_out.h"
#include "cure.h"
#include "dossier.h"
#include "verdict.h"

/* One row a reading, superseded ones and withdrawals included. `points` belong to dossier->readings
 * (verdict_points()). */
void trend_csv_heading(struct csv_out *csv);
void trend_csv_add(struct csv_out *csv, const struct dossier *dossier, const struct verdict_point *points);

/* One row a batch. */
void trend_csv_model_heading(struct csv_out *csv);
void trend_csv_add_model(struct csv_out *csv, const struct dossier *dossier, const struct cure *cure);

#endif
