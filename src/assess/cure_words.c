/* cure_words.c - what cure.h finds, in words. */
#include "cure.h"

#include "flag.h"
#include "memory.h"
#include "text.h"

static const char *const words[CURE_FLAG_COUNT] = {
    [CURE_FEW_RESULTS] = "few-results",
    [CURE_FEW_AGES] = "few-ages",
    [CURE_FLAT] = "flat",
    [CURE_NO_END] = "no-end",
    [CURE_TOO_FAST] = "too-fast",
    [CURE_RATE_UNSURE] = "rate-unsure",
    [CURE_LINE_REFUTED] = "line-refuted",
    [CURE_SCATTER] = "scatter",
    [CURE_RISING] = "rising",
    [CURE_RECHECK] = "recheck",
    [CURE_NOT_PREDICTED] = "not-predicted",
};

const char *
cure_model_word(enum cure_model model)
{
    static const char *const models[] = {"none", "line", "approach"};

    return models[model];
}

char *
cure_flag_text(const struct cure *cure)
{
    struct text text = {0};

    text_add(&text, "");
    for (unsigned flag = 0; flag < CURE_FLAG_COUNT; flag++)
        if (cure_has(cure, (enum cure_flag)flag))
            text_addf(&text, "%s%s", text.length > 0 ? ";" : "", words[flag]);
    return text_take(&text);
}

char *
cure_reason_text(const struct cure *cure)
{
    static const struct {
        enum cure_flag flag;
        const char *why;
    } reasons[] = {
        {CURE_FLAT, "the results do not change at all"},
        {CURE_NO_END, "there is no sign yet of levelling off"},
        {CURE_TOO_FAST, "nearly all change lies before the second age"},
        {CURE_RATE_UNSURE, "the results scatter too much to fix the rate"},
    };
    struct text text = {0};

    text_add(&text, "");
    if (cure_has(cure, CURE_FEW_RESULTS))
        text_add(&text, cure->age_count == 0   ? "no age was tested"
                        : cure->age_count == 1 ? "one age was tested; a line needs three, a curve four"
                                               : "two ages were tested; a line needs three, a curve four");
    else if (cure_has(cure, CURE_FEW_AGES))
        text_addf(&text, "%zu ages were tested; a curve needs four", cure->age_count);
    for (size_t i = 0; text.length == 0 && i < LENGTH(reasons); i++)
        if (cure_has(cure, reasons[i].flag))
            text_add(&text, reasons[i].why);
    if (cure_has(cure, CURE_LINE_REFUTED))
        text_addf(&text, "%s", ", and no straight line fits them either");
    return text_take(&text);
}

char *
cure_causes_text(unsigned flags)
{
    static const struct {
        enum flag flag;
        const char *cause;
    } causes[] = {
        {FLAG_METER_UNCHECKED, "the meter was not checked in buffers"},
        {FLAG_CALIBRATION_REFUSED, "the meter's calibration was refused"},
        {FLAG_DRIFT, "the meter had drifted"},
        {FLAG_CALIBRATION_OLD, "the meter was not calibrated again that day"},
        {FLAG_CALIBRATION_MARGINAL, "the electrode is not healthy"},
        {FLAG_BEYOND_CALIBRATION, "the reading lies far outside the buffers"},
        {FLAG_EXTRAPOLATED, "the reading lies outside the buffers"},
        {FLAG_NOT_COMPENSATED, "the meter does not correct for temperature"},
        {FLAG_TEMPERATURE_OFF, "the solution was not at 40 degC"},
        {FLAG_TEMPERATURE_MISSING, "the temperature was not noted"},
        {FLAG_CONCENTRATION_OFF, "the solution was not 1 %"},
        {FLAG_CONCENTRATION_MISSING, "the concentration was not noted"},
        {FLAG_DEVIATION, "a step was not done as written"},
        {FLAG_SINGLE_READING, "it is a single reading"},
    };
    struct text text = {0};
    bool meter = (flags & (1u << FLAG_METER_UNCHECKED | 1u << FLAG_CALIBRATION_REFUSED | 1u << FLAG_DRIFT |
                           1u << FLAG_CALIBRATION_OLD)) != 0;

    text_add(&text, "");
    for (size_t i = 0; i < LENGTH(causes); i++)
        if (flag_is_set(flags, causes[i].flag))
            text_addf(&text, "%s%s", text.length > 0 ? "; " : "", causes[i].cause);
    if (text.length > 0)
        text_add(&text, " (on record); else ");
    if (!meter)
        text_add(&text, "a meter not recalibrated, ");
    text_add(&text, "a wrong temperature or concentration, or a wet or uneven surface sample");
    return text_take(&text);
}
