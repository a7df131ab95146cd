/* verdict_text.c - a verdict in words for the person at the bench. */
#include "verdict_text.h"

#include <math.h>
#include <stdlib.h>

#include "buffer.h"
#include "memory.h"
#include "soap.h"
#include "verdict_reason.h"

static void
add_visible(struct text *text, const char *typed)
{
    char *visible = text_visible(typed);

    text_add(text, visible);
    free(visible);
}

/* Add the text as one sentence, and empty it. */
static void
say(struct sentences *list, enum sentence_kind kind, struct text *text)
{
    sentences_add(list, kind, text_of(text));
    text_clear(text);
}

static void
say_headline(const struct verdict *verdict, struct sentences *list)
{
    struct text text = {0};

    add_visible(&text, verdict->dossier->batch.code);
    if (verdict->specimen->bar != NULL) {
        text_add(&text, ", bar ");
        add_visible(&text, verdict->specimen->bar);
    }
    text_addf(&text, ", %d day%s old: %s", verdict->age_d, verdict->age_d == 1 ? "" : "s",
              verdict_word(verdict->verdict));
    say(list, SENTENCE_HEADING, &text);
}

void
verdict_text_add_probability(double p, struct text *text)
{
    if (p < 0.001)
        text_add(text, "less than 0.1 %");
    else if (p > 0.999)
        text_add(text, "more than 99.9 %");
    else
        text_addf(text, "%.*f %%", p < 0.1 ? 1 : 0, 100.0 * p);
}

char *
verdict_text_above_limit(double limit_ph)
{
    return text_format(
        "Above the limit of %g: handle bar and solution as lye, with gloves and goggles, and keep "
        "the batch held. Do not use the bar: it burns skin.",
        limit_ph);
}

char *
verdict_text_apart(double low_ph, double high_ph)
{
    if (!(high_ph - low_ph > VERDICT_APART_PH - 1e-9)) /* of two decimals each */
        return NULL;
    return text_format(
        "The readings of this cup lie %.2f apart, from %.2f to %.2f: was one of them a slip of the "
        "pen? Put it right, or rinse, wait for the last digit to stand still, and read again.",
        high_ph - low_ph, low_ph, high_ph);
}

static void
say_meter_result(const struct verdict *verdict, struct sentences *list)
{
    struct text text = {0};

    if (isnan(verdict->ph_at_reference)) {
        sentences_addf(
            list, SENTENCE_PLAIN,
            "the meter showed pH %.2f, which cannot be brought to 40 degC and 1 %%; the limit there is %g",
            verdict->ph, verdict->limit_ph);
        return;
    }
    text_addf(&text, "pH %.2f +/- %.2f at 40 degC and 1.00 %% (95 %%, k = %.2f), from ",
              verdict->ph_at_reference, verdict->half_ph, verdict->k);
    if (verdict->n > 1)
        text_addf(&text, "%zu ", verdict->n);
    text_addf(&text, "%s%s; within up to %g, lye-heavy above %g",
              verdict->n == 1 ? "one meter reading" : "meter readings",
              verdict->cups > 1 ? "" : " of one cup", verdict->clear_ph, verdict->limit_ph);
    if (!isnan(verdict->p_over_limit)) {
        text_add(&text, "; probability of being above them ");
        verdict_text_add_probability(verdict->p_over_clear, &text);
        text_add(&text, " and ");
        verdict_text_add_probability(verdict->p_over_limit, &text);
    }
    say(list, SENTENCE_PLAIN, &text);
}

static void
add_conditions(const struct verdict *verdict, struct text *text)
{
    if (!isnan(verdict->ph))
        text_addf(text, "read as pH %.2f", verdict->ph);
    else
        text_add(text, "read");
    if (isnan(verdict->temperature_c))
        text_add(text, " at a temperature not measured");
    else
        text_addf(text, " at %.1f degC", verdict->temperature_c);
    if (isnan(verdict->concentration_pct))
        text_add(text, " and a concentration not known");
    else
        text_addf(text, " and %.2f %%", verdict->concentration_pct);
}

/* "18 min", "3 h", "12 days". */
static void
add_duration(int64_t seconds, struct text *text)
{
    if (seconds < 7200)
        text_addf(text, "%lld min", (long long)(seconds / 60));
    else if (seconds / CLOCK_DAY_S < 2)
        text_addf(text, "%lld h", (long long)(seconds / 3600));
    else
        text_addf(text, "%lld days", (long long)(seconds / CLOCK_DAY_S));
}

/* "borax and lime water at 24.5 degC". */
static void
add_buffers(const struct calibration *calibration, struct text *text)
{
    double sum_c = 0.0;

    for (size_t i = 0; i < calibration->point_count; i++) {
        if (i > 0)
            text_add(text, i + 1 == calibration->point_count ? " and " : ", ");
        add_visible(text, buffer_everyday_name(calibration->points[i].buffer));
        sum_c += calibration->points[i].temperature_c;
    }
    if (calibration->point_count > 0 && !isnan(sum_c))
        text_addf(text, " at %.1f degC", sum_c / (double)calibration->point_count);
}

/* "meter bench, checked in borax at 24.5 degC, 18 min before". */
static void
add_basis(const struct verdict *verdict, struct text *text)
{
    const struct calibration *calibration = verdict->calibration;

    if (verdict->gear != NULL) {
        text_addf(text, ", %s ", gear_kind_word(verdict->gear->kind));
        add_visible(text, verdict->gear->name);
    }
    if (verdict->method == READING_METER && calibration == NULL) {
        text_add(text, ", not checked in any buffer");
    } else if (verdict->method == READING_METER) {
        text_add(text, calibration->declared ? ", by its own routine in " : ", checked in ");
        add_buffers(calibration, text);
        text_add(text, ", ");
        add_duration(verdict->reading->taken_at - calibration->taken_at, text);
        text_add(text, " before");
    }
}

static void
say_free_alkali(const struct verdict *verdict, struct sentences *list)
{
    struct text text = {0};

    if (isnan(verdict->free_naoh_high_pct))
        return;
    if (verdict->free_naoh_high_pct > 5.0 && verdict->free_naoh_low_pct < 0.05) {
        sentences_add(list, SENTENCE_PLAIN, "free alkali: too uncertain to tell from this pH");
        return;
    }
    if (verdict->free_naoh_high_pct > 5.0)
        text_addf(&text, "free alkali by this pH, that day: %.2f %% of the bar as NaOH or more, ",
                  verdict->free_naoh_low_pct);
    else
        text_addf(&text, "free alkali by this pH, that day: %.2f to %.2f %% of the bar as NaOH, ",
                  verdict->free_naoh_low_pct, verdict->free_naoh_high_pct);
    if (verdict->reference != NULL) {
        text_add(&text, "against ");
        add_visible(&text, verdict->reference->batch.code);
        text_addf(&text, " at pH %.2f", verdict->reference_ph);
    } else {
        text_add(&text, "without a reference bar, so the upper end counts all hydroxide as lye");
    }
    say(list, SENTENCE_PLAIN, &text);
}

/* What pH cannot prove, for the bar at hand. */
static void
say_rise(const struct verdict *verdict, struct sentences *list)
{
    static const double more_pct = 0.1;
    double rise_ph = NAN;
    struct failure ignored = {0};

    if (!isnan(verdict->reach_ph) &&
        soap_ph_rise(more_pct, verdict->ph_at_reference, REFERENCE_TEMPERATURE_C, REFERENCE_CONCENTRATION_PCT,
                     &rise_ph, &ignored) == STATUS_OK)
        sentences_addf(list, SENTENCE_PLAIN, "at this reading, %g %% more of free lye would show as +%.2f",
                       more_pct, rise_ph);
}

static void
say_reasons(const struct verdict *verdict, struct sentences *list)
{
    if (verdict->raised_by_bad_evidence)
        sentences_addf(list, SENTENCE_REASON,
                       "a reading that cannot clear a bar comes to pH %.2f, as far as that is known, and "
                       "speaks against it",
                       verdict->raised_by_ph);
    if (verdict->raised_by_reference)
        sentences_addf(list, SENTENCE_REASON,
                       "a sound bar of this recipe and age reads %.2f: this one holds more lye",
                       verdict->reference_ph);
    if (verdict->raised_by_surface)
        sentences_addf(
            list, SENTENCE_REASON,
            "a strip pressed on the wet bar lies wholly above %g: it says nothing of a 1 %% solution, and it "
            "warns",
            verdict->clear_ph);
    else if (verdict->raised_by_paper)
        sentences_addf(list, SENTENCE_REASON, "the whole range of the paper lies above %g",
                       verdict->clear_ph);
    for (unsigned flag = 0; flag < FLAG_COUNT; flag++)
        if (flag_is_set(verdict->flags, (enum flag)flag))
            verdict_reason_add(verdict, (enum flag)flag, list);
}

void
verdict_say_bar(const struct verdict *verdict, struct sentences *list)
{
    struct text text = {0};

    say_headline(verdict, list);
    if (verdict->method == READING_METER)
        say_meter_result(verdict, list);
    else if (!verdict->surface_only)
        sentences_addf(list, SENTENCE_PLAIN, "paper: pH %.1f to %.1f%s; lye-heavy above %g", verdict->ph_low,
                       verdict->ph_high,
                       verdict->bias != NULL ? ", moved by what is learned of how this paper reads"
                                             : " as read",
                       verdict->limit_ph);
    add_conditions(verdict, &text);
    add_basis(verdict, &text);
    say(list, SENTENCE_PLAIN, &text);
    if (verdict->method == READING_METER && !isnan(verdict->paper_low))
        sentences_addf(list, SENTENCE_PLAIN, "paper beside it: pH %.1f to %.1f%s", verdict->paper_low,
                       verdict->paper_high,
                       verdict->bias != NULL ? ", moved by what is learned of how this paper reads" : "");
    if (!isnan(verdict->surface_low))
        sentences_addf(
            list, SENTENCE_PLAIN,
            "strip on the wet bar: pH %g to %g as read, of no known concentration; it can warn, and never "
            "counts for a bar",
            verdict->surface_low, verdict->surface_high);
    say_free_alkali(verdict, list);
    say_rise(verdict, list);
    if (verdict->cups > 1)
        sentences_addf(list, SENTENCE_PLAIN, "%zu cups, from %.2f to %.2f", verdict->cups,
                       verdict->cups_low_ph, verdict->cups_high_ph);
    say_reasons(verdict, list);
}

static const char *
shape_word(enum uncertainty_shape shape)
{
    switch (shape) {
    case UNCERTAINTY_NORMAL:
        return "normal";
    case UNCERTAINTY_RECTANGULAR:
        return "rectangular";
    case UNCERTAINTY_TRIANGULAR:
        return "triangular";
    case UNCERTAINTY_ARCSINE:
        return "arcsine";
    }
    return "";
}

static void
add_dof(double dof, struct text *text)
{
    if (isinf(dof))
        text_addf(text, " %6s\n", "inf");
    else
        text_addf(text, " %6.1f\n", dof);
}

void
verdict_text_budget(const struct verdict *verdict, struct text *text)
{
    const struct budget *budget = &verdict->budget;

    if (budget->count == 0) {
        text_add(text, "  no uncertainty budget: the result cannot be brought to 40 degC and 1 %\n");
        return;
    }
    text_addf(text, "  %-22s %8s %-12s %11s %7s %6s %6s\n", "component", "value", "distribution",
              "sensitivity", "u_ph", "share", "dof");
    for (size_t i = 0; i < budget->count; i++) {
        const struct uncertainty_component *line = &budget->lines[i];

        text_addf(text, "  %-22s %8.4f %-12s %11.4f %7.4f %5.1f%%", line->name, line->spread,
                  shape_word(line->shape), line->sensitivity, uncertainty_component_standard(line),
                  100.0 * budget->shares[i]);
        add_dof(line->dof, text);
    }
    text_addf(text, "  %-22s %8s %-12s %11s %7.4f %5.1f%%", "together", "", "", "", verdict->u_ph, 100.0);
    add_dof(verdict->dof, text);
    text_addf(text, "  +/- %.3f for 95 %% (k = %.2f)", verdict->k * verdict->u_ph, verdict->k);
    if (verdict->share_half_ph > 0.0)
        text_addf(text, ", and +/- %.3f whole for the free share", verdict->share_half_ph);
    text_add(text, "\n");
    if (verdict->calibration != NULL && verdict->calibration->reason != NULL) {
        text_add(text, "  calibration: ");
        add_visible(text, verdict->calibration->reason);
        text_add(text, "\n");
    }
}

static bool
read_by_meter(const struct verdict_list *list)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->verdicts[i].method == READING_METER)
            return true;
    return false;
}

const char *
verdict_warning(enum verdict_word verdict)
{
    if (verdict == VERDICT_LYE_HEAVY)
        return "Do not use the bar: it burns skin.";
    return verdict == VERDICT_DOUBTFUL ? "Treat it as lye-heavy until it has been tested again." : NULL;
}

void
verdict_say_caution(enum verdict_word verdict, struct sentences *list)
{
    if (verdict == VERDICT_LYE_HEAVY || verdict == VERDICT_DOUBTFUL)
        sentences_add(list, SENTENCE_CAUTION,
                      "wear gloves and goggles; lye goes into water, never water into lye; never "
                      "test soap on the tongue; keep children and pets away; keep the batch held and apart "
                      "from the others.");
}

const char *
verdict_cannot_prove(void)
{
    return "a low pH does not certify that free alkali is below the 0.05 to 0.2 % that standards allow. A "
           "titration can.";
}

void
verdict_say_closing(const struct verdict_list *bars, enum verdict_word worst, struct sentences *list)
{
    sentences_addf(list, SENTENCE_PLAIN, "What a pH cannot prove: %s", verdict_cannot_prove());
    if (read_by_meter(bars))
        sentences_add(list, SENTENCE_PLAIN,
                      "Temperature compensation (ATC) corrects the electrode's slope only; it does not bring "
                      "the pH of a solution to 40 degC.");
    verdict_say_caution(worst, list);
    sentences_add(
        list, SENTENCE_PLAIN,
        "Before soap is sold or given away, local rules and a licensed cosmetic safety assessor decide.");
}
