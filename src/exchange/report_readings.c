/* report_readings.c - every reading, with what was corrected struck through and why. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "report_part.h"

/* "8.94 g of soap", struck through when a later weighing took its place. */
static void
add_weighing(struct page *page, const struct dossier *dossier, const struct weighing *weighing)
{
    const struct gear *balance = dossier_gear(dossier, weighing->balance_id);
    bool gone = false;

    for (size_t i = 0; i < dossier->weighing_count; i++)
        gone = gone || dossier->weighings[i].supersedes == weighing->id;
    page_open(page, gone ? "del" : "span");
    page_textf(page, "%g g %s", weighing->mass_g, weighing_of_word(weighing->of));
    page_close(page);
    if (balance != NULL) {
        page_text(page, " on ");
        page_typed(page, balance->name);
    }
    if (weighing->supersedes != 0) {
        page_text(page, ", corrected: ");
        page_typed(page, weighing->why);
    }
}

/* The line above the readings of one test portion. */
static void
add_portion(struct page *page, const struct dossier *dossier, const struct specimen *specimen)
{
    const struct session *session = dossier_session(dossier, specimen->session_id);
    double percent = specimen_concentration_pct(specimen);
    size_t weighings = 0;

    page_group(page);
    page_textf(page, "Sitting %lld, ", (long long)specimen->session_id);
    if (session != NULL) {
        report_moment(page, session->started_at);
        page_textf(page, ", %d d old", dossier_age_d(dossier, session->started_at));
    }
    if (specimen->bar != NULL) {
        page_text(page, ", bar ");
        page_typed(page, specimen->bar);
    }
    page_open_class(page, "span", "weighed");
    for (size_t i = 0; i < dossier->weighing_count; i++) {
        if (dossier->weighings[i].specimen_id != specimen->id)
            continue;
        page_text(page, weighings++ == 0 ? "" : "; ");
        add_weighing(page, dossier, &dossier->weighings[i]);
    }
    if (isnan(percent))
        page_text(page, weighings == 0 ? "concentration not on record" : ": concentration not known");
    else
        page_textf(page, weighings == 0 ? "%.3f %% as told, not weighed" : ": %.3f %% by mass", percent);
    page_close(page);
    page_group_close(page);
}

static void
add_shown(struct page *page, const struct reading *reading)
{
    page_cell_open(page);
    if (reading->superseded_by != 0)
        page_open(page, "del");
    if (reading->withdrawn)
        page_text(page, "withdrawn");
    else if (reading->method == READING_METER)
        page_textf(page, "%.2f", reading->ph);
    else
        page_textf(page, "%g to %g", reading->ph_low, reading->ph_high);
    if (reading->superseded_by != 0)
        page_close(page);
    page_cell_close(page);
}

/* The reading at 40 degC and 1 %, with twice its standard uncertainty. */
static void
add_brought(struct page *page, const struct reading *reading, const struct verdict_point *point)
{
    page_cell_open(page);
    if (reading->method == READING_METER && !reading->withdrawn && point != NULL) {
        if (reading->superseded_by != 0)
            page_open(page, "del");
        if (isnan(point->ph_at_reference))
            page_text(page, "cannot be brought there");
        else
            page_textf(page, "%.2f +/- %.2f", point->ph_at_reference, 2.0 * point->u_ph);
        if (reading->superseded_by != 0)
            page_close(page);
    }
    page_cell_close(page);
}

static void
add_remarks(struct page *page, const struct reading *reading, const struct verdict_point *point)
{
    page_cell_open(page);
    if (reading->superseded_by != 0)
        page_textf(page, "does not count, see reading %lld. ", (long long)reading->superseded_by);
    if (reading->supersedes != 0) {
        page_textf(page, "%s reading %lld: ", reading->withdrawn ? "withdraws" : "corrects",
                   (long long)reading->supersedes);
        page_typed(page, reading->why);
        page_text(page, " ");
    }
    page_typed(page, reading->note);
    if (point != NULL && point->flags != 0) {
        char *remarks = flag_phrases(point->flags);

        page_element(page, "small", remarks);
        free(remarks);
    }
    page_cell_close(page);
}

static void
add_reading(struct page *page, const struct report_batch *batch, size_t index)
{
    const struct reading *reading = &batch->dossier->readings[index];
    const struct gear *gear = dossier_gear(batch->dossier, reading->gear_id);
    const struct verdict_point *point = batch->points == NULL ? NULL : &batch->points[index];

    page_row(page, reading->superseded_by != 0 ? "gone" : NULL);
    page_cellf(page, "%lld", (long long)reading->id);
    page_cell_open(page);
    report_moment(page, reading->taken_at);
    page_cell_close(page);
    page_cell_open(page);
    page_textf(page, "%s ", reading_kind_text(reading));
    page_typed(page, gear == NULL ? "not on record" : gear->name);
    page_cell_close(page);
    add_shown(page, reading);
    if (isnan(reading->temperature_c))
        page_cell(page, "not measured");
    else
        page_cellf(page, "%.1f", reading->temperature_c);
    add_brought(page, reading, point);
    add_remarks(page, reading, point);
    page_row_close(page);
}

void
report_add_readings(struct page *page, const struct report_batch *batch)
{
    static const char *const headings[] = {
        "Reading", "Taken", "With", "pH shown", "degC", "pH at 40 degC, 1 %", "Remarks"};
    const struct dossier *dossier = batch->dossier;

    page_open(page, "section");
    page_element(page, "h3", "Every reading");
    if (dossier->reading_count == 0) {
        page_element(page, "p", "There are no readings.");
        page_close(page);
        return;
    }
    page_element(
        page, "p",
        "As shown by meter or paper, then corrected for the calibration and brought to 40 degC and 1.00 %, "
        "with twice the standard uncertainty of that one reading. Nothing is ever overwritten: what was "
        "corrected or withdrawn is struck through and does not count.");
    page_table_open(page, "Readings by test portion", headings, LENGTH(headings));
    for (size_t s = 0; s < dossier->specimen_count; s++) {
        bool begun = false;

        for (size_t i = 0; i < dossier->reading_count; i++) {
            if (dossier->readings[i].specimen_id != dossier->specimens[s].id)
                continue;
            if (!begun)
                add_portion(page, dossier, &dossier->specimens[s]);
            begun = true;
            add_reading(page, batch, i);
        }
    }
    page_table_close(page);
    page_close(page);
}
