/* cure_words.c - what cure.h finds, in words. */
#include "cure.h"

#include "flag.h"
#include "memory.h"
#include "text.h"

static const char *const words[CURE_FLAG_COUNT] = {
    [CURE_FEW_RESULTS] = "few-results",
    [CURE_END_OPEN] = "end-open",
    [CURE_SCATTER] = "scatter",
    [CURE_SCATTER_ASSUMED] = "scatter-assumed",
    [CURE_RISING] = "rising",
    [CURE_RECHECK] = "recheck",
    [CURE_NOT_ONE_CURVE] = "not-one-curve",
    [CURE_NOT_PREDICTED] = "not-predicted",
};

const char *
cure_model_word(enum cure_model model)
{
    static const char *const models[] = {"none", "approach"};

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
    static const char *const texts[] = {"no age was tested", "one age was tested; a curve needs three",
                                        "two ages were tested; a curve needs three"};

    return memory_copy(cure_has(cure, CURE_FEW_RESULTS) ? texts[cure->age_count] : "");
}

char *
cure_end_text(const struct cure *cure)
{
    if (cure->end_open_low)
        return text_format("ends at %.2f or below; how far it will fall cannot be told yet", cure->end.high);
    if (cure->end_open_high)
        return text_format("ends at %.2f or above; how far it will rise cannot be told yet", cure->end.low);
    return text_format("ends at %.2f (95 %%: %.2f to %.2f)", cure->end.ph, cure->end.low, cure->end.high);
}

char *
cure_causes_text(uint64_t flags)
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
        {FLAG_APPROXIMATE, "it was read off only about"},
        {FLAG_SINGLE_READING, "it is a single reading"},
    };
    struct text text = {0};
    bool meter = flag_is_set(flags, FLAG_METER_UNCHECKED) || flag_is_set(flags, FLAG_CALIBRATION_REFUSED) ||
                 flag_is_set(flags, FLAG_DRIFT) || flag_is_set(flags, FLAG_CALIBRATION_OLD);

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
