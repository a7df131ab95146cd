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

char *
flag_text_of(uint64_t flags, const char *const *of_words, size_t count)
{
    struct text text = {0};

    text_add(&text, "");
    for (size_t i = 0; i < count; i++) {
        if ((flags & (UINT64_C(1) << i)) == 0)
            continue;
        if (text.length > 0)
            text_add(&text, ";");
        text_add(&text, of_words[i]);
    }
    return text_take(&text);
}

char *
flag_text(uint64_t flags)
{
    return flag_text_of(flags, words, FLAG_COUNT);
}
