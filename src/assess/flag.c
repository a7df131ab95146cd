/* flag.c - the short words beside a result. */
#include "flag.h"

#include "text.h"

static const char *const words[FLAG_COUNT] = {
    [FLAG_METER_UNCHECKED] = "meter-unchecked",
    [FLAG_CALIBRATION_REFUSED] = "calibration-refused",
    [FLAG_CALIBRATION_MARGINAL] = "calibration-marginal",
    [FLAG_CALIBRATION_DECLARED] = "calibration-declared",
    [FLAG_CALIBRATION_OLD] = "calibration-old",
    [FLAG_EXTRAPOLATED] = "extrapolated",
    [FLAG_BEYOND_CALIBRATION] = "beyond-calibration",
    [FLAG_OUT_OF_RANGE] = "out-of-range",
    [FLAG_DRIFT] = "drift",
    [FLAG_NOT_COMPENSATED] = "not-compensated",
    [FLAG_ACCURACY_ASSUMED] = "accuracy-assumed",
    [FLAG_TEMPERATURE_OFF] = "temperature-off",
    [FLAG_TEMPERATURE_MISSING] = "temperature-missing",
    [FLAG_CONCENTRATION_OFF] = "concentration-off",
    [FLAG_CONCENTRATION_MISSING] = "concentration-missing",
    [FLAG_DEVIATION] = "deviation",
    [FLAG_SINGLE_READING] = "single-reading",
    [FLAG_SCATTER_ASSUMED] = "scatter-assumed",
    [FLAG_SCATTERED] = "scattered",
    [FLAG_LEFT_OUT] = "left-out",
    [FLAG_PAPER_ONLY] = "paper-only",
    [FLAG_PAPER_HIGHER] = "paper-higher",
    [FLAG_BIAS_UNKNOWN] = "bias-unknown",
    [FLAG_SEVERAL_METERS] = "several-meters",
    [FLAG_SESSION_OPEN] = "session-open",
    [FLAG_LIMIT_RAISED] = "limit-raised",
    [FLAG_BELOW_USUAL] = "below-usual",
    [FLAG_WATER_UNKNOWN] = "water-unknown",
    [FLAG_WATER_OTHER] = "water-other",
    [FLAG_WATER_PH] = "water-ph",
    [FLAG_UNDISSOLVED] = "undissolved",
    [FLAG_CUPS_APART] = "cups-apart",
    [FLAG_CUP_STOOD] = "cup-stood",
    [FLAG_APPROXIMATE] = "approximate",
};

static const char *const phrases[FLAG_COUNT] = {
    [FLAG_METER_UNCHECKED] = "meter not checked in a buffer",
    [FLAG_CALIBRATION_REFUSED] = "calibration not good enough",
    [FLAG_CALIBRATION_MARGINAL] = "electrode ages",
    [FLAG_CALIBRATION_DECLARED] = "checked by the meter's own routine",
    [FLAG_CALIBRATION_OLD] = "calibrated more than a day before",
    [FLAG_EXTRAPOLATED] = "a little outside the buffers",
    [FLAG_BEYOND_CALIBRATION] = "far outside the buffers",
    [FLAG_OUT_OF_RANGE] = "where glass electrodes mislead",
    [FLAG_DRIFT] = "the meter had drifted",
    [FLAG_NOT_COMPENSATED] = "no temperature compensation",
    [FLAG_ACCURACY_ASSUMED] = "accuracy of the meter assumed",
    [FLAG_TEMPERATURE_OFF] = "not at 40 +/- 2 degC",
    [FLAG_TEMPERATURE_MISSING] = "temperature not measured",
    [FLAG_CONCENTRATION_OFF] = "not of 1.00 +/- 0.02 %",
    [FLAG_CONCENTRATION_MISSING] = "concentration not known",
    [FLAG_DEVIATION] = "a step was done otherwise",
    [FLAG_SINGLE_READING] = "a single reading",
    [FLAG_SCATTER_ASSUMED] = "scatter assumed",
    [FLAG_SCATTERED] = "the readings disagree",
    [FLAG_LEFT_OUT] = "some readings could not be used",
    [FLAG_PAPER_ONLY] = "paper alone",
    [FLAG_PAPER_HIGHER] = "the paper reads higher",
    [FLAG_BIAS_UNKNOWN] = "how this paper reads soap is not known yet",
    [FLAG_SEVERAL_METERS] = "several meters, the worse counts",
    [FLAG_SESSION_OPEN] = "the walk is not finished",
    [FLAG_LIMIT_RAISED] = "limit set above pH 11",
    [FLAG_BELOW_USUAL] = "lower than soap reads",
    [FLAG_WATER_UNKNOWN] = "water not stated",
    [FLAG_WATER_OTHER] = "water neither distilled nor deionised",
    [FLAG_WATER_PH] = "pH of the water outside 5.5 to 7.5",
    [FLAG_UNDISSOLVED] = "soap left undissolved",
    [FLAG_CUPS_APART] = "the cups disagree",
    [FLAG_CUP_STOOD] = "the cup had stood for more than a day",
};

void
flag_set(uint64_t *flags, enum flag flag)
{
    *flags |= UINT64_C(1) << flag;
}

bool
flag_is_set(uint64_t flags, enum flag flag)
{
    return (flags & (UINT64_C(1) << flag)) != 0;
}

static char *
join(uint64_t flags, const char *const *of_words, size_t count, const char *between)
{
    struct text text = {0};

    text_add(&text, "");
    for (size_t i = 0; i < count; i++) {
        if ((flags & (UINT64_C(1) << i)) == 0)
            continue;
        if (text.length > 0)
            text_add(&text, between);
        text_add(&text, of_words[i]);
    }
    return text_take(&text);
}

char *
flag_text_of(uint64_t flags, const char *const *of_words, size_t count)
{
    return join(flags, of_words, count, ";");
}

char *
flag_text(uint64_t flags)
{
    return flag_text_of(flags, words, FLAG_COUNT);
}

char *
flag_phrases_of(uint64_t flags, const char *const *of_phrases, size_t count)
{
    return join(flags, of_phrases, count, ", ");
}

char *
flag_phrases(uint64_t flags)
{
    return flag_phrases_of(flags, phrases, FLAG_COUNT);
}
