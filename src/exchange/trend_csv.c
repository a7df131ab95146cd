/* trend_csv.c - readings across the cure, and what was fitted to them, as CSV. */
#include "trend_csv.h"

#include <math.h>
#include <stdlib.h>

#include "distribution.h"
#include "flag.h"
#include "memory.h"
#include "text.h"

void
trend_csv_heading(struct csv_out *csv)
{
    static const char *const names[] = {
        "batch",
        "role",
        "made_on",
        "session",
        "taken_at",
        "age_d",
        "method",
        "gear",
        "replicate",
        "ph",
        "ph_low",
        "ph_high",
        "temperature_c",
        "concentration_pct",
        "ph_at_reference",
        "u_ph",
        "superseded",
        "flags",
        "note",
        "bar",
        "portion",
        "by",
    };

    csv_out_heading(csv, names, LENGTH(names));
}

/* "no", "yes", or "withdrawal" for a row that only says that another one does not count. */
static const char *
superseded_word(const struct reading *reading)
{
    return reading->superseded_by != 0 ? "yes" : reading->withdrawn ? "withdrawal" : "no";
}

/* The note, and for a correction why. */
static void
add_note(struct csv_out *csv, const struct reading *reading)
{
    char *text;

    if (reading->why == NULL) {
        csv_out_text(csv, reading->note);
        return;
    }
    text = text_format("%s%scorrected: %s", reading->note == NULL ? "" : reading->note,
                       reading->note == NULL ? "" : "; ", reading->why);
    csv_out_text(csv, text);
    free(text);
}

void
trend_csv_add(struct csv_out *csv, const struct dossier *dossier, const struct verdict_point *points)
{
    const struct specimen *specimen = NULL;
    const struct session *session = NULL;
    const struct gear *gear = NULL;

    for (size_t i = 0; i < dossier->reading_count; i++) {
        const struct reading *reading = &dossier->readings[i];
        char *flags = flag_text(points[i].flags);

        /* Neighbours mostly share both: a long batch is not searched for every row. */
        if (specimen == NULL || specimen->id != reading->specimen_id) {
            specimen = dossier_specimen(dossier, reading->specimen_id);
            session = specimen == NULL ? NULL : dossier_session(dossier, specimen->session_id);
        }
        if (gear == NULL || gear->id != reading->gear_id)
            gear = dossier_gear(dossier, reading->gear_id);
        csv_out_text(csv, dossier->batch.code);
        csv_out_text(csv, batch_role_word(dossier->batch.role));
        csv_out_day(csv, dossier->batch.made_on);
        csv_out_integer(csv, specimen == NULL ? 0 : specimen->session_id);
        csv_out_time(csv, reading->taken_at);
        csv_out_integer(csv, dossier_age_d(dossier, reading->taken_at));
        csv_out_text(csv, reading->on_surface ? "surface" : reading_method_word(reading->method));
        csv_out_text(csv, gear == NULL ? NULL : gear->name);
        csv_out_integer(csv, reading->replicate);
        csv_out_number(csv, reading->ph);
        csv_out_number(csv, reading->ph_low);
        csv_out_number(csv, reading->ph_high);
        csv_out_number(csv, reading->temperature_c);
        csv_out_number(csv, specimen == NULL ? (double)NAN : specimen_concentration_pct(specimen));
        csv_out_number(csv, points[i].ph_at_reference);
        csv_out_number(csv, points[i].u_ph);
        csv_out_text(csv, superseded_word(reading));
        csv_out_text(csv, flags);
        add_note(csv, reading);
        csv_out_text(csv, specimen == NULL ? NULL : specimen->bar);
        csv_out_integer(csv, reading->specimen_id);
        csv_out_text(csv, session == NULL ? NULL : session->by);
        csv_out_end_row(csv);
        free(flags);
    }
}

void
trend_csv_model_heading(struct csv_out *csv)
{
    static const char *const names[] = {
        "batch",      "points",      "model",     "p_start",     "p_end",      "p_end_low",   "p_end_high",
        "rate_per_d", "rate_low",    "rate_high", "half_life_d", "between_sd", "slope_per_d", "slope_low",
        "slope_high", "kendall_tau", "p_trend",   "ready_from",  "ready_to",   "flags",
    };

    csv_out_heading(csv, names, LENGTH(names));
}

static double
finite_or_nan(double number)
{
    return isfinite(number) ? number : (double)NAN;
}

/* Nothing is said of pouring when the first test came too late for it (cure.h, rule 6), nor of an open limit. */
static void
add_curve(struct csv_out *csv, const struct cure *cure)
{
    struct cure_band start = {NAN, NAN, NAN};
    struct failure ignored;
    double rate_low = NAN, rate_high = NAN;
    bool known = cure->model == CURE_APPROACH, open = cure->end_open_low || cure->end_open_high;

    if (known)
        approach_rate_interval(&cure->approach, student_t_coverage_factor(CURE_COVERAGE, cure->dof),
                               &rate_low, &rate_high);
    (void)cure_at(cure, 0.0, &start, &ignored);
    csv_out_number(csv, start.ph);
    csv_out_number(csv, known && !open ? cure->end.ph : (double)NAN);
    csv_out_number(csv, known && !cure->end_open_low ? cure->end.low : (double)NAN);
    csv_out_number(csv, known && !cure->end_open_high ? cure->end.high : (double)NAN);
    csv_out_number(csv, known && !open ? cure->approach.best.rate : (double)NAN);
    csv_out_number(csv, known && !open ? rate_low : (double)NAN);
    csv_out_number(csv, rate_high);
    csv_out_number(csv, known && !open ? M_LN2 / cure->approach.best.rate : (double)NAN);
    csv_out_number(csv, cure->between_ph);
}

void
trend_csv_add_model(struct csv_out *csv, const struct dossier *dossier, const struct cure *cure)
{
    const struct rank_trend *trend = &cure->trend;
    bool known = cure->trend_known;
    char *flags = cure_flag_text(cure);

    csv_out_text(csv, dossier->batch.code);
    csv_out_integer(csv, (int64_t)cure->count);
    csv_out_text(csv, cure_model_word(cure->model));
    add_curve(csv, cure);
    csv_out_number(csv, known ? trend->slope : (double)NAN);
    csv_out_number(csv, known ? finite_or_nan(trend->slope_low) : (double)NAN);
    csv_out_number(csv, known ? finite_or_nan(trend->slope_high) : (double)NAN);
    csv_out_number(csv, known ? trend->tau_b : (double)NAN);
    csv_out_number(csv, known ? trend->p_value : (double)NAN);
    csv_out_day(csv, cure_ready_day(cure, dossier->batch.made_on, false));
    csv_out_day(csv, cure_ready_day(cure, dossier->batch.made_on, true));
    csv_out_text(csv, flags);
    csv_out_end_row(csv);
    free(flags);
}
