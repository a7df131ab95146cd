/* mixture.c - from a person's words to an expected pH. */
#include "mixture.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "substance.h"
#include "text.h"

enum { PARTS_MAX = 8, TEXT_MAX = 200 };

static const double percent_max = 60.0, molality_max = 20.0, air_ppm = 420.0;
static const double water_g_per_mol = 18.015;

static const char allowed[] =
    "write it as in 'lime water', 'water in air 600 ppm', 'citric acid 3 %' or 'naoh 1 % + citric acid 1 %' "
    "(curetrace expect --known lists the names)";

struct part {
    const struct substance *substance;
    double amount;
    bool is_percent;
};

/* The text after `beginning`, with blanks skipped; NULL when it begins otherwise. */
static const char *
after(const char *text, const char *beginning)
{
    for (; *beginning != '\0'; beginning++, text++) {
        char letter = *text >= 'A' && *text <= 'Z' ? (char)(*text - 'A' + 'a') : *text;

        if (letter != *beginning)
            return NULL;
    }
    return text + strspn(text, " \t");
}

/* Rule 2: "", "420", "600 ppm" after "water in air". */
static enum status
parse_air(const char *text, struct mixture *mixture, struct failure *failure)
{
    char number[NUMBER_TEXT_SIZE];
    size_t length = strcspn(text, " \tpP");
    const char *rest = text + length + strspn(text + length, " \t");
    double ppm = air_ppm;

    snprintf(number, sizeof number, "%.*s", (int)length, text);
    if (text[0] != '\0') {
        if (!text_same(rest, "ppm"))
            return failure_set(failure, STATUS_FORMAT,
                               "'%.40s' after 'water in air': expected ppm, as in '600 ppm'", text);
        if (number_parse_in(number, NUMBER_POINT_OR_COMMA, "carbon dioxide in ppm", 1.0, 1e6, &ppm,
                            failure) != STATUS_OK)
            return failure->status;
    }
    mixture->solution.co2_atm = ppm * 1e-6;
    snprintf(mixture->amounts, sizeof mixture->amounts, "pure water in air with %g ppm carbon dioxide", ppm);
    return STATUS_OK;
}

/* Rule 2, water. Gives false when the text is something else. */
static bool
parse_water(const char *text, struct mixture *mixture, enum status *ret_status, struct failure *failure)
{
    static const char *const names[] = {"water", "boiled water", "pure water", "distilled water",
                                        "boiled distilled water"};
    const char *air = after(text, "water in air");

    *ret_status = STATUS_OK;
    if (air != NULL) {
        *ret_status = parse_air(air, mixture, failure);
        return true;
    }
    for (size_t i = 0; i < LENGTH(names); i++) {
        if (text_same(text, names[i])) {
            mixture->pure_water = true;
            snprintf(mixture->amounts, sizeof mixture->amounts, "pure water, boiled and closed to the air");
            return true;
        }
    }
    return false;
}

/* Rule 2, a buffer; or the message for a text without any amount. */
static enum status
parse_buffer(const char *text, struct mixture *mixture, struct failure *failure)
{
    static const char *const common[] = {"lime water",   "borax buffer", "water in air",
                                         "boiled water", "phosphate",    "carbonate"};
    const struct substance *substance = NULL;
    const char *nearest = text_nearest(text, common, LENGTH(common));

    if (buffer_find(text, &mixture->buffer, failure) == STATUS_OK) {
        snprintf(mixture->amounts, sizeof mixture->amounts, "%s", mixture->buffer->title);
        return STATUS_OK;
    }
    if (substance_find(text, &substance, failure) == STATUS_OK)
        return failure_set(failure, STATUS_FORMAT, "'%s' has no amount: write '%s 1 %%' or '%s 0.1 mol/kg'",
                           text, text, text);
    return failure_set(failure, STATUS_MISSING, "'%.60s' is not known%s%s%s; %s", text,
                       nearest == NULL ? "" : ", did you mean '", nearest == NULL ? "" : nearest,
                       nearest == NULL ? "" : "'", allowed);
}

/* Where the unit stands in the text, or NULL. */
static char *
find_unit(char *text, bool *ret_is_percent, size_t *ret_length)
{
    char *unit = strchr(text, '%');

    *ret_is_percent = unit != NULL;
    *ret_length = 1;
    if (unit != NULL)
        return unit;
    *ret_length = strlen("mol/kg");
    return strcasestr(text, "mol/kg");
}

/* Rule 1. `text` is taken apart in place. */
static enum status
parse_part(char *text, struct part *part, struct failure *failure)
{
    size_t unit_length;
    char *unit, *name, *number;

    text = text_trim(text);
    unit = find_unit(text, &part->is_percent, &unit_length);
    if (unit == NULL)
        return failure_set(failure, STATUS_FORMAT, "'%.60s' has no amount in %% or mol/kg; %s", text,
                           allowed);
    name = text_trim(unit + unit_length);
    *unit = '\0';
    number = text_trim(text);
    if (*name == '\0') { /* the amount stands last: the number is what follows the last blank or letter */
        name = text;
        number = text + strlen(text);
        while (number > text && strchr("0123456789.,", number[-1]) != NULL)
            number--;
        if (number > text && (number[-1] == '-' || number[-1] == '+'))
            number--;
    }
    if (number_parse_in(number, NUMBER_POINT_OR_COMMA, part->is_percent ? "amount in %" : "amount in mol/kg",
                        0.0001, part->is_percent ? percent_max : molality_max, &part->amount,
                        failure) != STATUS_OK)
        return failure->status;
    if (name == text)
        *number = '\0';
    return substance_find(text_trim(name), &part->substance, failure);
}

/* From amounts to molalities. Rule 3: the water of crystals joins the rest. */
static enum status
mix(const struct part *parts, size_t count, struct mixture *mixture, struct failure *failure)
{
    double percent = 0.0, crystal_water_pct = 0.0, water_kg_per_kg;
    struct text amounts = {0};

    for (size_t i = 0; i < count; i++) {
        const struct substance *substance = parts[i].substance;

        if (!parts[i].is_percent)
            continue;
        percent += parts[i].amount;
        crystal_water_pct +=
            parts[i].amount * substance->water_mol * water_g_per_mol / substance->molar_mass_g_per_mol;
    }
    if (percent > percent_max)
        return failure_set(failure, STATUS_RANGE,
                           "the parts add up to %g %%, allowed is %g %%: the rest is water", percent,
                           percent_max);
    water_kg_per_kg = (100.0 - percent + crystal_water_pct) / 100.0;
    for (size_t i = 0; i < count; i++) {
        const struct substance *substance = parts[i].substance;
        double mol_per_kg = parts[i].amount;

        assert(substance != NULL); /* found when the part was read */
        if (parts[i].is_percent)
            mol_per_kg = 10.0 * parts[i].amount / substance->molar_mass_g_per_mol / water_kg_per_kg;
        mixture->solution.acid_mol_per_kg[substance->acid] += substance->acid_mol * mol_per_kg;
        mixture->solution.base_mol_per_kg += substance->base_mol * mol_per_kg;
        if (substance_is_lye(substance))
            mixture->free_lye_mol_per_kg += mol_per_kg;
        text_addf(&amounts, "%s%s %.4g mol/kg", i == 0 ? "" : " + ", substance->names[0], mol_per_kg);
    }
    snprintf(mixture->amounts, sizeof mixture->amounts, "%s", text_of(&amounts));
    text_clear(&amounts);
    return STATUS_OK;
}

static enum status
parse_parts(char *text, struct mixture *mixture, struct failure *failure)
{
    struct part parts[PARTS_MAX] = {0};
    size_t count = 0;

    for (char *part = text; part != NULL;) {
        char *plus = strchr(part, '+');

        if (plus != NULL)
            *plus++ = '\0';
        if (count == PARTS_MAX)
            return failure_set(failure, STATUS_FORMAT, "at most %d parts can be joined by +", PARTS_MAX);
        if (parse_part(part, &parts[count], failure) != STATUS_OK)
            return failure->status;
        count++;
        part = plus;
    }
    return mix(parts, count, mixture, failure);
}

enum status
mixture_parse(const char *text, double temperature_c, struct mixture *ret_mixture, struct failure *failure)
{
    struct mixture mixture = {.solution = {.temperature_c = temperature_c}};
    char *visible = text_visible(text);
    char *copy = text_trim(visible);
    enum status status = STATUS_OK;

    if (strlen(copy) > TEXT_MAX)
        status = failure_set(failure, STATUS_FORMAT, "the name of the solution is longer than %d letters",
                             TEXT_MAX);
    else if (*copy == '\0')
        status = failure_set(failure, STATUS_FORMAT, "the name of a solution is missing; %s", allowed);
    else if (parse_water(copy, &mixture, &status, failure))
        ;
    else if (strpbrk(copy, "%+") == NULL && strcasestr(copy, "mol/kg") == NULL)
        status = parse_buffer(copy, &mixture, failure);
    else
        status = parse_parts(copy, &mixture, failure);
    free(visible);
    if (status == STATUS_OK)
        *ret_mixture = mixture;
    return status;
}

static void
add_word(char text[MIXTURE_FLAGS_SIZE], const char *word)
{
    size_t used = strlen(text);

    snprintf(text + used, MIXTURE_FLAGS_SIZE - used, "%s%s", used == 0 ? "" : ";", word);
}

static void
add_sentence(char note[MIXTURE_TEXT_SIZE], const char *sentence)
{
    size_t used = strlen(note);

    snprintf(note + used, MIXTURE_TEXT_SIZE - used, "%s%s", used == 0 ? "" : "; ", sentence);
}

static void
set_flags(struct expectation *expectation, bool beyond_activity_range, bool beyond_glass_range,
          bool alkaline_error)
{
    if (beyond_activity_range) {
        add_word(expectation->flags, "beyond-activity-range");
        add_sentence(expectation->note, "too concentrated for the activity model, the pH is a rough guide");
    }
    if (beyond_glass_range) {
        add_word(expectation->flags, "beyond-glass-range");
        add_sentence(expectation->note, "a glass electrode is trusted from pH 2 to 12 only (ASTM E70)");
    }
    if (alkaline_error) {
        add_word(expectation->flags, "alkaline-error");
        add_sentence(
            expectation->note,
            "alkaline error: above pH 12 and 0.1 mol/kg of lye a glass electrode answers to sodium (less to "
            "potassium) too, and a meter shows less than this, the more so the stronger and warmer the lye "
            "(ASTM E70)");
    }
}

static void
set_notes(struct expectation *expectation, const struct mixture *mixture)
{
    const double *acid = mixture->solution.acid_mol_per_kg;
    double acids = 0.0;

    for (int i = 0; i < ACID_COUNT; i++)
        acids += acid[i];
    if (mixture->pure_water)
        add_sentence(expectation->note,
                     "a trace of air or dust moves it, 6.2 to 7.2 at 25 degC is accepted (ASTM "
                     "D1172); a meter is slow and unsure in pure water");
    if (acid[ACID_CARBONIC] > 0.0)
        add_sentence(expectation->note, "read it fresh: it gives off or takes up carbon dioxide");
    if (acid[ACID_BORIC] > 0.1)
        add_sentence(expectation->note, "borates that join up above 0.1 mol/kg are left out");
    if (mixture->free_lye_mol_per_kg > 0.0)
        expectation->caution =
            "lye burns skin and eyes: gloves and goggles, lye into water and never the other way "
            "round, children and pets away";
    else if (acids - mixture->solution.base_mol_per_kg > 1.0)
        expectation->caution =
            "strong acid burns skin and eyes: gloves and goggles, acid into water, good air";
}

static enum status
expect_buffer(const struct mixture *mixture, double temperature_c, struct expectation *expectation,
              struct failure *failure)
{
    const struct buffer *buffer = mixture->buffer;
    bool kitchen_made = buffer->how_to != NULL;

    if (buffer_ph(buffer, temperature_c, &expectation->ph, failure) != STATUS_OK ||
        buffer_uncertainty(buffer, kitchen_made, &expectation->u_ph, failure) != STATUS_OK)
        return failure->status;
    expectation->ionic_strength_mol_per_kg = NAN;
    expectation->caution = buffer->caution;
    snprintf(expectation->source, sizeof expectation->source, "%s: %s; %s", buffer->title,
             buffer_source(buffer),
             kitchen_made ? "0.02 when made in a kitchen" : "0.01 as bought (common practice)");
    set_flags(expectation, false, expectation->ph < 2.0 || expectation->ph > 12.0, false);
    return STATUS_OK;
}

static enum status
expect_solution(const struct mixture *mixture, struct expectation *expectation, struct failure *failure)
{
    struct solution_result result = {0};

    if (solution_solve(&mixture->solution, &result, failure) != STATUS_OK)
        return failure->status;
    expectation->ph = result.ph;
    expectation->u_ph = result.u_ph;
    expectation->ionic_strength_mol_per_kg = result.ionic_strength_mol_per_kg;
    snprintf(
        expectation->source, sizeof expectation->source,
        "%.300s: charge balance with Davies activities; pKa of NIST database 46, carbonic acid of Plummer & "
        "Busenberg 1982, ion product of water IAPWS R11-24",
        mixture->amounts);
    set_flags(expectation, result.beyond_activity_range, result.beyond_glass_range, result.alkaline_error);
    if (result.weakly_buffered) {
        add_word(expectation->flags, "weakly-buffered");
        add_sentence(expectation->note, "little buffered: water that was not boiled reads elsewhere");
    }
    set_notes(expectation, mixture);
    return STATUS_OK;
}

enum status
expectation_of(const char *text, double temperature_c, struct expectation *ret_expectation,
               struct failure *failure)
{
    struct expectation expectation = {0};
    struct mixture mixture = {0};
    enum status status = mixture_parse(text, temperature_c, &mixture, failure);

    if (status == STATUS_OK && mixture.buffer != NULL)
        status = expect_buffer(&mixture, temperature_c, &expectation, failure);
    else if (status == STATUS_OK)
        status = expect_solution(&mixture, &expectation, failure);
    if (status == STATUS_OK)
        *ret_expectation = expectation;
    return status;
}
