/* cure_text.c - what is to be said of a cure. */
#include "cure_text.h"

#include <math.h>
#include <stdlib.h>

#include "number.h"
#include "planning.h"
#include "text.h"

/* "(9.94 at 2 days, 9.54 at 120 days)": the results before and after those of the same age. */
static void
add_neighbours(struct text *text, const struct cure_point *points, size_t count, size_t i)
{
    size_t before = i, after = i;

    while (before > 0 && points[before].age_d == points[i].age_d)
        before--;
    while (after + 1 < count && points[after].age_d == points[i].age_d)
        after++;
    text_add(text, " (");
    if (points[before].age_d < points[i].age_d)
        text_addf(text, "%.2f at %g days", points[before].ph, points[before].age_d);
    if (points[after].age_d > points[i].age_d)
        text_addf(text, "%s%.2f at %g days", points[before].age_d < points[i].age_d ? ", " : "",
                  points[after].ph, points[after].age_d);
    text_add(text, ")");
}

static void
say(struct sentences *list, struct text *text)
{
    sentences_add(list, SENTENCE_PLAIN, text_of(text));
    text_clear(text);
}

/* The batch's code, harmless, at the beginning of a paragraph. */
static void
begin(struct text *text, const struct dossier *dossier)
{
    char *code = text_visible(dossier->batch.code);

    text_addf(text, "%s: ", code);
    free(code);
}

/* Which result is marked, and how (cure.h, rule 5). */
static void
add_mark(struct text *text, const struct series *series, const struct cure *cure, size_t i)
{
    text_addf(text, "recheck pH %.2f at %g days: ", series->points[i].ph, series->points[i].age_d);
    if (cure->oddest == cure->count)
        text_add(text, "a curing bar falls, and this does not fit its neighbours");
    else if (i == cure->oddest)
        text_add(text, "without it the others lie on one curve");
    else
        text_add(text, "this one may as well be what does not fit");
    add_neighbours(text, series->points, series->count, i);
}

void
cure_say_remarks(const struct dossier *dossier, const struct series *series, const struct cure *cure,
                 struct sentences *list)
{
    struct text text = {0};

    for (size_t i = 0; i < series->count; i++) {
        char *causes;

        if (!cure->marked[i])
            continue;
        causes = cure_causes_text(series->points[i].flags);
        begin(&text, dossier);
        add_mark(&text, series, cure, i);
        text_addf(&text, ". Likely causes: %s.", causes);
        say(list, &text);
        free(causes);
    }
    if (cure_has(cure, CURE_NOT_ONE_CURVE)) {
        begin(&text, dossier);
        text_addf(&text,
                  "these %zu ages do not lie on one curve; which one is off cannot be told from so few: test "
                  "again.",
                  cure->age_count);
        say(list, &text);
    }
    if (series->left_out > 0) {
        begin(&text, dossier);
        text_addf(&text,
                  "%zu result%s could not be brought to 40 degC and 1 %%, or %s dated before the pour; in no "
                  "curve.",
                  series->left_out, series->left_out == 1 ? "" : "s", series->left_out == 1 ? "is" : "are");
        say(list, &text);
    }
}

static void
add_approach(struct text *text, const struct cure *cure)
{
    struct cure_band first = {NAN, NAN, NAN};
    struct failure ignored;
    char *end = cure_end_text(cure);

    (void)cure_at(cure, cure->age_low_d, &first, &ignored);
    text_addf(text, "%s from %.2f at %g day%s, %s", cure->approach.best.drop < 0.0 ? "moves" : "falls",
              first.ph, cure->age_low_d, cure->age_low_d == 1.0 ? "" : "s", end);
    if (!cure_has(cure, CURE_END_OPEN))
        text_addf(text, ", half of the way in %.3g days", M_LN2 / cure->approach.best.rate);
    text_addf(text, "; from test to test the bars scatter by %.2f pH%s.", cure->between_ph,
              cure_has(cure, CURE_SCATTER_ASSUMED)
                  ? " (assumed in part: your other cures are too few to tell)"
                  : "");
    if (cure_has(cure, CURE_RISING))
        text_add(text, " It rises: a curing bar does not, so test again before you trust it.");
    free(end);
}

/* From pH a day; without an interval where that is not finite. */
static void
add_slope(struct text *text, double slope, double low, double high)
{
    char number[NUMBER_TEXT_SIZE], from[NUMBER_TEXT_SIZE], to[NUMBER_TEXT_SIZE];

    text_addf(text, "%s pH a week", number_signed(7.0 * slope, 2, number));
    if (isfinite(low) && isfinite(high))
        text_addf(text, " (95 %%: %s to %s)", number_signed(7.0 * low, 2, from),
                  number_signed(7.0 * high, 2, to));
}

static void
add_curve(struct text *text, const struct cure *cure)
{
    char *why = cure_reason_text(cure);

    if (cure->model == CURE_APPROACH)
        add_approach(text, cure);
    else
        text_addf(text, "no curve: %s.", why);
    if (cure_has(cure, CURE_SCATTER))
        text_add(text, " They scatter more than usual; the intervals know it.");
    free(why);
}

static void
add_trend(struct text *text, const struct cure *cure)
{
    const struct rank_trend *trend = &cure->trend;

    text_add(text, "trend by ranks: ");
    add_slope(text, trend->slope, trend->slope_low, trend->slope_high);
    text_addf(text, ", Kendall's tau %.2f, p %.2g%s.", trend->tau_b, trend->p_value,
              trend->count < 10 ? " (rough below ten results)" : "");
}

/* The whole 95 % interval of the end value lies above the target. */
static bool
levels_off_above(const struct cure *cure)
{
    return cure->model == CURE_APPROACH && !cure->end_open_low && cure->end.low > cure->target_ph;
}

char *
cure_ready_text(const struct cure *cure, civil_day made_on)
{
    char from[DAY_TEXT_SIZE], to[DAY_TEXT_SIZE];

    clock_day_text(cure_ready_day(cure, made_on, false), from);
    clock_day_text(cure_ready_day(cure, made_on, true), to);
    if (!isnan(cure->ready_to_d) && cure->ready_to_d <= cure->age_low_d)
        return text_format("at every age tested");
    if (!isnan(cure->ready_to_d))
        return text_format("%s to %s", from, to);
    if (!isnan(cure->ready_from_d) && cure->ready_from_d > cure->age_low_d)
        return text_format("not yet predictable, not before %s", from);
    if (levels_off_above(cure))
        return text_format("levels off above it");
    return text_format("not yet predictable");
}

/* Which test would settle what is open. */
static void
add_settling(struct text *text, const struct cure *cure, const struct cure_point *points, civil_day made_on)
{
    double age_d;
    char day[DAY_TEXT_SIZE];

    if (!cure_has(cure, CURE_END_OPEN) && !isnan(cure->ready_to_d))
        return;
    if (cure->model == CURE_NO_MODEL) {
        text_addf(text, " %s more would show a curve.",
                  cure->age_count == 2 ? "A test at one age" : "Tests at a few ages");
        return;
    }
    if (levels_off_above(cure))
        return;
    age_d = planning_settling_age(cure, points);
    if (isnan(age_d))
        text_add(text, " No single test would settle it: test at the usual ages.");
    else
        text_addf(text, " If it goes on like this, a test at %g days (%s) would settle it.", age_d,
                  clock_day_text(made_on + (civil_day)age_d, day));
}

static void
add_ready(struct text *text, const struct cure *cure, civil_day made_on)
{
    char *ready = cure_ready_text(cure, made_on);
    bool future = !isnan(cure->ready_to_d) && cure->ready_to_d > cure->age_high_d;

    text_addf(text, "pH %g or below: %s%s.", cure->target_ph, ready,
              isnan(cure->ready_to_d) || cure->ready_to_d <= cure->age_low_d ? "" : " (95 %)");
    if (future)
        text_add(text, " This is a forecast: test the bar then, before it is used.");
    free(ready);
}

void
cure_say_model(const struct dossier *dossier, const struct series *series, const struct cure *cure,
               struct sentences *list)
{
    struct text text = {0};

    begin(&text, dossier);
    add_curve(&text, cure);
    say(list, &text);
    if (cure->trend_known) {
        begin(&text, dossier);
        add_trend(&text, cure);
        say(list, &text);
    }
    begin(&text, dossier);
    add_ready(&text, cure, dossier->batch.made_on);
    add_settling(&text, cure, series->points, dossier->batch.made_on);
    say(list, &text);
}
