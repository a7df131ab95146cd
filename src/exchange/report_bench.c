/* report_bench.c - how a batch was tested: method, sittings, water and meter checks. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "buffer.h"
#include "memory.h"
#include "report_part.h"

static void
add_sessions(struct page *page, const struct dossier *dossier)
{
    static const char *const headings[] = {"Sitting", "Started", "Procedure", "Limit, pH", "Left open"};

    page_table_open(page, "Sittings at the bench, with the procedure as it was that day", headings,
                    LENGTH(headings));
    for (size_t i = 0; i < dossier->session_count; i++) {
        const struct session *session = &dossier->sessions[i];

        page_row(page, NULL);
        page_cellf(page, "%lld", (long long)session->id);
        page_cell_open(page);
        report_moment(page, session->started_at);
        page_cell_close(page);
        page_cell_open(page);
        if (session->procedure_name == NULL) {
            page_text(page, "written down without a step file");
        } else {
            page_typed(page, session->procedure_name);
            page_text(page, ", version ");
            page_element(page, "code", session->procedure_hash);
        }
        page_cell_close(page);
        page_cellf(page, "%g", session->limit_ph);
        page_cell_open(page);
        if (session->left_open != NULL)
            page_typed(page, session->left_open);
        else
            page_text(page, session->finished_at == MOMENT_NONE && session->procedure_id != 0 ? "not finished"
                                                                                              : "nothing");
        page_cell_close(page);
        page_row_close(page);
    }
    page_table_close(page);
}

void
report_add_method(struct page *page, const struct report_batch *batch)
{
    page_open(page, "section");
    page_element(page, "h3", "How it was tested");
    page_element(
        page, "p",
        "Soap is dissolved to 1 % by mass in boiled distilled water and read at 40 +/- 2 degC (common "
        "practice, following ASTM D1172). Readings are corrected for the meter's calibration and brought "
        "to 40 degC and 1.00 %; uncertainties follow JCGM 100, the decision JCGM 106: within when the "
        "probability of being above the limit is at most 5 %, lye-heavy from 50 %, doubtful between.");
    if (batch->dossier->session_count == 0)
        page_element(page, "p", "There was no sitting yet.");
    else
        add_sessions(page, batch->dossier);
    page_close(page);
}

/* -- water and other answers -- */

/* Answers that say more than "done": what deviates, what was chosen or noted, and the check of the water.
 * Masses and readings stand elsewhere. */
static bool
speaks(const struct answer *answer)
{
    return answer->outcome != ANSWER_DONE || answer->deviation != NULL || answer->why != NULL ||
           answer->text != NULL || strncmp(answer->step, "water-check", strlen("water-check")) == 0;
}

static void
add_answer_value(struct page *page, const struct answer *answer)
{
    const char *element = answer->superseded_by != 0 ? "del" : "span";

    page_cell_open(page);
    page_open(page, element);
    if (!isnan(answer->value) && !isnan(answer->value_high))
        page_textf(page, "%g to %g", answer->value, answer->value_high);
    else if (!isnan(answer->value))
        page_textf(page, "%g", answer->value);
    if (!isnan(answer->value) && !isnan(answer->temperature_c))
        page_textf(page, " at %g degC", answer->temperature_c);
    page_typed(page, answer->text);
    if (isnan(answer->value) && answer->text == NULL)
        page_text(page, answer_outcome_word(answer->outcome));
    page_close(page);
    page_cell_close(page);
}

static void
add_answers(struct page *page, const struct dossier *dossier)
{
    static const char *const headings[] = {"Sitting", "Step", "Answer", "Deviation", "Why"};
    size_t shown = 0;

    for (size_t i = 0; i < dossier->answer_count; i++) {
        const struct answer *answer = &dossier->answers[i];

        if (!speaks(answer))
            continue;
        if (shown++ == 0)
            page_table_open(page, "Water, and what was noted, skipped or done otherwise", headings,
                            LENGTH(headings));
        page_row(page, answer->superseded_by != 0 ? "gone" : NULL);
        page_cellf(page, "%lld", (long long)answer->session_id);
        page_cell_open(page);
        report_step(page, answer->step);
        page_cell_close(page);
        add_answer_value(page, answer);
        page_cell_typed(page, answer->deviation);
        page_cell_typed(page, answer->why);
        page_row_close(page);
    }
    if (shown > 0)
        page_table_close(page);
    else
        page_element(page, "p",
                     "No check of the water is on record, and no step was noted as done otherwise.");
}

/* -- meters -- */

static void
add_point(struct page *page, const struct calibration_point *point)
{
    page_open_class(page, "span", "line");
    page_typed(page, buffer_everyday_name(point->buffer));
    if (!isnan(point->temperature_c))
        page_textf(page, " at %.1f degC", point->temperature_c);
    if (!isnan(point->displayed_ph))
        page_textf(page, ": %.2f, table %.2f", point->displayed_ph, point->table_ph);
    else if (!isnan(point->potential_mv))
        page_textf(page, ": %.1f mV, table pH %.2f", point->potential_mv, point->table_ph);
    if (point->kitchen_made)
        page_text(page, ", kitchen-made");
    page_close(page);
}

/* What passed needs no more than the names. */
static void
add_buffers(struct page *page, const struct calibration *calibration)
{
    page_cell_open(page);
    for (size_t i = 0; i < calibration->point_count; i++) {
        const struct calibration_point *point = &calibration->points[i];

        if (calibration->verdict != CALIBRATION_ACCEPTED) {
            add_point(page, point);
            continue;
        }
        page_text(page, i == 0 ? "" : ", ");
        page_typed(page, buffer_everyday_name(point->buffer));
        if (!isnan(point->displayed_ph))
            page_textf(page, " %.2f", point->displayed_ph);
    }
    page_cell_close(page);
}

static void
add_calibration(struct page *page, const struct calibration *calibration)
{
    static const char *const words[] = {
        [CALIBRATION_ACCEPTED] = "good", [CALIBRATION_MARGINAL] = "limited", [CALIBRATION_REFUSED] = "unfit"};

    page_row(page, NULL);
    page_cell_open(page);
    report_moment(page, calibration->taken_at);
    page_cell_close(page);
    page_cell_open(page);
    page_typed(page, calibration->meter_name);
    page_textf(page, ", %s",
               calibration->declared ? "own routine" : calibration_purpose_word(calibration->purpose));
    page_cell_close(page);
    add_buffers(page, calibration);
    if (isnan(calibration->slope_percent)) {
        page_cell(page, "");
        page_cell(page, "");
    } else {
        page_cellf(page, "%.1f", calibration->slope_percent);
        page_cellf(page, "%.1f", round(10.0 * calibration->offset_mv) / 10.0 + 0.0); /* no "-0.0" */
    }
    page_cell_open(page);
    page_text(page, words[calibration->verdict]);
    if (calibration->reason != NULL && calibration->verdict != CALIBRATION_ACCEPTED) {
        page_text(page, ": ");
        page_text(page, calibration->reason);
    }
    page_cell_close(page);
    page_row_close(page);
}

void
report_add_checks(struct page *page, const struct report_batch *batch)
{
    static const char *const headings[] = {"Checked",  "Meter",      "Shown in buffers",
                                           "Slope, %", "Offset, mV", "Judged"};
    const struct dossier *dossier = batch->dossier;

    page_open(page, "section");
    page_element(page, "h3", "Water and meter checks");
    add_answers(page, dossier);
    if (dossier->calibration_count == 0) {
        page_element(page, "p", "No calibration of a meter stands behind these readings.");
    } else {
        page_table_open(page, "The meter in buffers: slope in per cent of theory, offset at pH 7", headings,
                        LENGTH(headings));
        for (size_t i = 0; i < dossier->calibration_count; i++)
            add_calibration(page, &dossier->calibrations[i]);
        page_table_close(page);
    }
    page_close(page);
}
