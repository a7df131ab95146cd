/* verdict_reason.c - the sentence that belongs to each flag of a verdict. */
#include "verdict_reason.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "text.h"

static void
add_typed(struct sentences *list, const char *before, const char *typed)
{
    char *visible = text_visible(typed);

    sentences_addf(list, SENTENCE_REASON, "%s%s", before, visible);
    free(visible);
}

/* "the buffers, pH 9.18 to 12.45". */
static void
add_outside(const struct verdict *verdict, const char *before, const char *after, struct sentences *list)
{
    double low = INFINITY, high = -(double)INFINITY;

    for (size_t i = 0; verdict->calibration != NULL && i < verdict->calibration->point_count; i++) {
        low = fmin(low, verdict->calibration->points[i].table_ph);
        high = fmax(high, verdict->calibration->points[i].table_ph);
    }
    if (low < high)
        sentences_addf(list, SENTENCE_REASON, "%s the buffers (pH %.2f to %.2f)%s", before, low, high, after);
    else if (low == high)
        sentences_addf(list, SENTENCE_REASON, "%s the one buffer (pH %.2f)%s", before, low, after);
    else
        sentences_addf(list, SENTENCE_REASON, "%s the buffers%s", before, after);
}

static void
add_temperature(const struct verdict *verdict, struct sentences *list)
{
    double t = verdict->temperature_c;

    if (fabs(t - REFERENCE_TEMPERATURE_C) <= TEMPERATURE_TOLERANCE_C || isnan(t))
        sentences_add(list, SENTENCE_REASON, "at least one reading was taken outside 40 +/- 2 degC");
    else if (t >= AT_REFERENCE_LOW_C && t <= AT_REFERENCE_HIGH_C)
        sentences_addf(
            list, SENTENCE_REASON,
            "read at %.1f degC instead of 40 +/- 2 and brought to 40, which adds to the uncertainty", t);
    else
        sentences_addf(
            list, SENTENCE_REASON,
            "read at %.1f degC: outside 15 to 50 degC nothing can be brought to 40, so it cannot be "
            "cleared",
            t);
}

static void
add_concentration(const struct verdict *verdict, struct sentences *list)
{
    double percent = verdict->concentration_pct;

    if (percent >= AT_REFERENCE_LOW_PCT && percent <= AT_REFERENCE_HIGH_PCT)
        sentences_addf(
            list, SENTENCE_REASON,
            "the solution has %.2f %% instead of 1.00 +/- 0.02 and was brought to 1 %%, which adds "
            "to the "
            "uncertainty",
            percent);
    else
        sentences_addf(list, SENTENCE_REASON,
                       "the solution has %.2f %%: outside 0.5 to 2 %% nothing can be brought to 1 %%, so it "
                       "cannot be "
                       "cleared",
                       percent);
}

static void
add_deviations(const struct verdict *verdict, struct sentences *list)
{
    for (size_t i = 0; i < verdict->dossier->answer_count; i++) {
        const struct answer *answer = &verdict->dossier->answers[i];

        if (verdict_deviates(verdict, answer))
            add_typed(list, "deviation: ", answer->deviation);
    }
}

static void
add_drift(const struct verdict *verdict, struct sentences *list)
{
    sentences_addf(
        list, SENTENCE_REASON,
        "a check in a buffer was %.2f pH off what the calibration lets expect, and 0.05 is allowed: what was "
        "read by it is not judged",
        verdict->departure_ph);
}

static void
add_calibration(const struct verdict *verdict, const char *before, struct sentences *list)
{
    const char *reason = verdict->calibration != NULL ? verdict->calibration->reason : NULL;

    add_typed(list, before, reason != NULL ? reason : "no reason on record");
}

static void
add_left_out(const struct verdict *verdict, struct sentences *list)
{
    char *words = flag_phrases(verdict->left_out_flags);

    sentences_addf(list, SENTENCE_REASON,
                   "%zu other reading%s of this portion could not be used and %s not in the mean (%s)",
                   verdict->left_out, verdict->left_out == 1 ? "" : "s",
                   verdict->left_out == 1 ? "is" : "are", words);
    free(words);
}

/* Sentences that need nothing but themselves. NULL: there is a function for it. */
static const char *const plain[FLAG_COUNT] = {
    [FLAG_METER_UNCHECKED] =
        "no calibration of the meter is on record before the reading, so what it shows may be off by "
        "any amount: it cannot be cleared",
    [FLAG_CALIBRATION_DECLARED] =
        "calibrated by the meter's own routine without values on record: only its accuracy is taken",
    [FLAG_OUT_OF_RANGE] =
        "below pH 2 or above pH 12 a glass electrode misleads; in strong sodium hydroxide it reads too "
        "low",
    [FLAG_NOT_COMPENSATED] =
        "the meter has no automatic temperature compensation and was calibrated at another "
        "temperature: calibrate it as warm as the solution",
    [FLAG_ACCURACY_ASSUMED] =
        "the meter's accuracy is not on record, +/- 0.1 pH is assumed (common practice)",
    [FLAG_TEMPERATURE_MISSING] =
        "the temperature was not measured, so the reading cannot be brought to 40 degC nor cleared",
    [FLAG_CONCENTRATION_MISSING] =
        "the concentration is not known, so the reading cannot be brought to 1 % nor cleared",
    [FLAG_SINGLE_READING] = "a single reading: three replicates show how well it repeats",
    [FLAG_SCATTER_ASSUMED] = "no replicates so far that show how readings scatter; 0.02 pH is assumed",
    [FLAG_SCATTERED] =
        "the readings of this bar do not agree with each other: rinse, wait for the last digit to stand "
        "still, and read again",
    [FLAG_PAPER_ONLY] = "paper alone can warn and never clears a bar",
    [FLAG_PAPER_HIGHER] =
        "the paper reads above the meter although paper commonly reads soap low: test again",
    [FLAG_BIAS_UNKNOWN] =
        "how this paper reads soap is not known yet; cheap paper commonly reads soap low, by a unit or "
        "more",
    [FLAG_SEVERAL_METERS] =
        "read with more than one meter: each is judged by itself, and the worse answer is the one shown",
    [FLAG_SESSION_OPEN] =
        "a walk-through of this batch is not finished (curetrace resume): what it still asks for is not in "
        "this result",
    [FLAG_LIMIT_RAISED] = "the limit was set above pH 11 for this sitting; it is judged by 11",
    [FLAG_BELOW_USUAL] =
        "lower than soap reads (8.5 and more): the cup, the meter or the bar is not what it is taken for",
    [FLAG_WATER_UNKNOWN] =
        "the water was not said to be distilled or deionised: hard water makes lye look like less, so this "
        "cannot clear a bar",
    [FLAG_WATER_OTHER] =
        "the water was neither distilled nor deionised: hard water makes lye look like less, so this cannot "
        "clear a bar",
    [FLAG_WATER_PH] = "the water's own pH was outside 5.5 to 7.5, so this cannot clear a bar",
    [FLAG_UNDISSOLVED] =
        "soap was left undissolved, so the solution is weaker than it was weighed and cannot clear a bar",
    [FLAG_CUPS_APART] = "the cups of this bar disagree: the worst of them counts, by itself",
    [FLAG_CUP_STOOD] = "its first and last reading are more than a day apart: a cup that stands takes up "
                       "carbon dioxide, which "
                       "makes lye look like less, so this cannot clear a bar",
    [FLAG_APPROXIMATE] = "it was read off only about, so it cannot clear a bar",
};

void
verdict_reason_add(const struct verdict *verdict, enum flag flag, struct sentences *list)
{
    switch (flag) {
    case FLAG_CALIBRATION_REFUSED:
        add_calibration(verdict, "the calibration was refused: ", list);
        break;
    case FLAG_CALIBRATION_MARGINAL:
        add_calibration(verdict, "the calibration is marginal: ", list);
        break;
    case FLAG_CALIBRATION_OLD:
        if (verdict->drift_half_ph > 0.0)
            sentences_addf(list, SENTENCE_REASON,
                           "the calibration was more than a day old; for drift since, +/- %.2f pH is assumed",
                           verdict->drift_half_ph);
        else
            sentences_add(list, SENTENCE_REASON, "the calibration was more than a day old");
        break;
    case FLAG_EXTRAPOLATED:
        add_outside(verdict, "outside", ", by at most 1 pH: the uncertainty grows with the distance", list);
        break;
    case FLAG_BEYOND_CALIBRATION:
        add_outside(verdict, "more than 1 pH outside", ": it can warn and cannot clear", list);
        break;
    case FLAG_DRIFT:
        add_drift(verdict, list);
        break;
    case FLAG_TEMPERATURE_OFF:
        add_temperature(verdict, list);
        break;
    case FLAG_CONCENTRATION_OFF:
        add_concentration(verdict, list);
        break;
    case FLAG_DEVIATION:
        add_deviations(verdict, list);
        break;
    case FLAG_LEFT_OUT:
        add_left_out(verdict, list);
        break;
    case FLAG_METER_UNCHECKED:
    case FLAG_CALIBRATION_DECLARED:
    case FLAG_OUT_OF_RANGE:
    case FLAG_NOT_COMPENSATED:
    case FLAG_ACCURACY_ASSUMED:
    case FLAG_TEMPERATURE_MISSING:
    case FLAG_CONCENTRATION_MISSING:
    case FLAG_SINGLE_READING:
    case FLAG_SCATTER_ASSUMED:
    case FLAG_SCATTERED:
    case FLAG_PAPER_ONLY:
    case FLAG_PAPER_HIGHER:
    case FLAG_SEVERAL_METERS:
    case FLAG_SESSION_OPEN:
    case FLAG_BIAS_UNKNOWN:
    case FLAG_LIMIT_RAISED:
    case FLAG_BELOW_USUAL:
    case FLAG_WATER_UNKNOWN:
    case FLAG_WATER_OTHER:
    case FLAG_WATER_PH:
    case FLAG_UNDISSOLVED:
    case FLAG_CUPS_APART:
    case FLAG_CUP_STOOD:
    case FLAG_APPROXIMATE:
        sentences_addf(list, SENTENCE_REASON, "%s", plain[flag]);
        break;
    case FLAG_COUNT:
        break;
    }
}

/* What is missing before a bar can be judged. */
struct remedy {
    enum flag flag;
    const char *what;
    bool calibrates; /* else it is put right in the next test */
};

static const struct remedy *
remedy_of(const struct verdict *verdict)
{
    static const struct remedy remedies[] = {
        /* the first thing to put right first */
        {FLAG_METER_UNCHECKED, "put the meter against borax and lime water", true},
        {FLAG_CALIBRATION_REFUSED, "clean the electrode and calibrate it in fresh buffers", true},
        {FLAG_BEYOND_CALIBRATION, "calibrate in buffers on both sides of soap, borax and lime water", true},
        {FLAG_PAPER_ONLY, "use a meter that was put against buffers", false},
        {FLAG_OUT_OF_RANGE, "weigh a fresh 1 % solution", false},
        {FLAG_DRIFT, "clean the electrode and calibrate it in fresh buffers", true},
        {FLAG_WATER_OTHER, "use distilled or deionised water", false},
        {FLAG_WATER_UNKNOWN, "use distilled or deionised water and say so", false},
        {FLAG_WATER_PH, "boil fresh distilled water", false},
        {FLAG_UNDISSOLVED, "let all of the soap dissolve", false},
        {FLAG_CUP_STOOD, "read a fresh cup on the day it is weighed", false},
        {FLAG_CONCENTRATION_MISSING, "weigh a 1 % solution", false},
        {FLAG_CONCENTRATION_OFF, "weigh a 1 % solution", false},
        {FLAG_APPROXIMATE, "wait for the last digit and write it down", false},
        {FLAG_TEMPERATURE_MISSING, "measure the temperature", false},
        {FLAG_TEMPERATURE_OFF, "bring the solution to 40 degC", false},
        {FLAG_COUNT, "use a meter that was put against buffers", false},
    };
    size_t i = 0;

    while (i + 1 < LENGTH(remedies) && !flag_is_set(verdict->flags, remedies[i].flag))
        i++;
    return &remedies[i];
}

const char *
verdict_reason_to_put_right(const struct verdict *verdict, bool *ret_calibrates)
{
    const struct remedy *remedy = remedy_of(verdict);

    *ret_calibrates = remedy->calibrates && verdict->gear != NULL && verdict->gear->kind == GEAR_METER;
    return remedy->what;
}

const char *
verdict_reason_to_be_surer(const struct verdict *verdict)
{
    static const struct {
        enum flag flag;
        const char *what;
    } surer[] = {
        /* what adds most first */
        {FLAG_SCATTERED, "wait for the last digit to stand still before each reading"},
        {FLAG_BELOW_USUAL, "check cup, meter and bar: soap does not read so low"},
        {FLAG_NOT_COMPENSATED, "calibrate the meter as warm as the solution"},
        {FLAG_CALIBRATION_MARGINAL, "clean the electrode and calibrate it in fresh buffers"},
        {FLAG_CALIBRATION_OLD, "calibrate the meter on the same day"},
        {FLAG_CALIBRATION_DECLARED, "calibrate with the values written down"},
        {FLAG_ACCURACY_ASSUMED, "write down how accurate the meter is"},
        {FLAG_CONCENTRATION_OFF, "weigh a 1 % solution"},
        {FLAG_TEMPERATURE_OFF, "bring the solution to 40 degC"},
        {FLAG_EXTRAPOLATED, "calibrate in buffers on both sides of soap, borax and lime water"},
    };

    for (size_t i = 0; i < LENGTH(surer); i++)
        if (flag_is_set(verdict->flags, surer[i].flag))
            return surer[i].what;
    return "take three readings from each cup";
}
