/* answer_text.c - what a person types at the bench, as values. */
#include "answer_text.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "session.h"
#include "text.h"
#include "titration_model.h"
#include "units.h"

#define DROP_USUAL_ML 0.05 /* of water from a pipette: common practice, no source */

enum { HOTTEST_UNASKED_C = 55 }; /* a bare number above is more often degF: a kitchen has 68 to 86 */

static const struct {
    const char *name;
    enum answer_word word;
} words_of_a_walk[] = {
    {"note", ANSWER_WORD_NOTE}, {"skip", ANSWER_WORD_SKIP},   {"back", ANSWER_WORD_BACK},
    {"quit", ANSWER_WORD_QUIT}, {"help", ANSWER_WORD_HELP},   {"?", ANSWER_WORD_HELP},
    {"cup", ANSWER_WORD_CUP},   {"portion", ANSWER_WORD_CUP},
};

enum answer_word
answer_text_word(const char *text, const char **ret_rest)
{
    size_t length = strcspn(text, " \t:");
    const char *rest = text + length + strspn(text + length, " \t:");

    if (ret_rest != NULL)
        *ret_rest = rest;
    for (size_t i = 0; i < LENGTH(words_of_a_walk); i++) {
        enum answer_word word = words_of_a_walk[i].word;

        if (strlen(words_of_a_walk[i].name) != length ||
            !text_same_start(text, words_of_a_walk[i].name, length))
            continue;
        if (*rest == '\0' || word == ANSWER_WORD_NOTE || word == ANSWER_WORD_SKIP ||
            (word == ANSWER_WORD_BACK && answer_text_is_value(rest)) ||
            (word == ANSWER_WORD_CUP && strspn(rest, "0123456789") == strlen(rest)))
            return word;
    }
    return ANSWER_WORD_NONE;
}

int
answer_text_yes(const char *text)
{
    static const char *const yes[] = {"yes",       "y",    "yeah",  "yep",      "yup",     "yea",
                                      "aye",       "ok",   "okay",  "sure",     "correct", "right",
                                      "of course", "true", "it is", "yes it is"};
    static const char *const no[] = {"no",    "n",       "nope",      "nah",          "not",
                                     "false", "not yet", "it is not", "no it is not", "not really"};
    char *word = text_format("%.*s", (int)strcspn(text, ".!"), text); /* "yes!" */
    int meant = -1;

    for (size_t i = 0; i < LENGTH(yes); i++)
        meant = text_same(text_trim(word), yes[i]) ? 1 : meant;
    for (size_t i = 0; i < LENGTH(no); i++)
        meant = text_same(text_trim(word), no[i]) ? 0 : meant;
    free(word);
    return meant;
}

bool
answer_text_may_be_fahrenheit(const char *text)
{
    const char *last = strrchr(text, ' ');
    struct failure ignored = {0};
    double number = NAN;

    return number_parse(last == NULL ? text : last + 1, NUMBER_POINT_OR_COMMA, &number, &ignored) ==
               STATUS_OK &&
           number > HOTTEST_UNASKED_C && number <= 212.0;
}

static bool
has_letter(const char *text)
{
    for (; *text != '\0'; text++)
        if (text_is_letter(*text) || (unsigned char)*text >= 0x80)
            return true;
    return false;
}

/* A value alone is the answer to the next question, typed too early, or one that was to be typed again; and a yes
 * or done answers another question. */
bool
answer_text_says_something(const char *text)
{
    return has_letter(text) && !answer_text_is_value(text) && answer_text_yes(text) != 1 &&
           !text_same(text, "done") && answer_text_word(text, NULL) == ANSWER_WORD_NONE;
}

enum status
answer_text_mass(const char *text, double most_g, double *ret_mass_g, struct failure *failure)
{
    double mass_g = NAN;
    enum status status = units_parse_mass(text, &mass_g, failure);

    if (status != STATUS_OK)
        return status;
    if (!(mass_g > 0.0 && mass_g <= most_g))
        return failure_set(failure, STATUS_RANGE, "a mass of %g g cannot be, allowed is above 0 to %g g",
                           mass_g, most_g);
    *ret_mass_g = mass_g;
    return STATUS_OK;
}

enum status
answer_text_temperature(const char *text, double *ret_temperature_c, struct failure *failure)
{
    const char *behind = text + strcspn(text, " \t");
    double temperature_c = NAN;
    enum status status;

    if (text_is_digit(behind[strspn(behind, " \t")])) /* "9,92 40,2", when the pH was kept already */
        return failure_set(failure, STATUS_FORMAT, "only the temperature here, as in 40,2 or 104F");
    status = units_parse_temperature(text, &temperature_c, failure);
    if (status != STATUS_OK)
        return status;
    if (!(temperature_c >= 0.0 && temperature_c <= 100.0))
        return failure_set(failure, STATUS_RANGE,
                           "%g degC cannot be, allowed is 0 to 100 degC (104F is in Fahrenheit)",
                           temperature_c);
    if (temperature_c > HOTTEST_UNASKED_C && !has_letter(text))
        return failure_set(failure, STATUS_FORMAT,
                           "%g degF? That is %.3g degC: type %gF, or %gC when it is degC", temperature_c,
                           (temperature_c - 32.0) / 1.8, temperature_c, temperature_c);
    *ret_temperature_c = temperature_c;
    return STATUS_OK;
}

/* "23 drops": a whole number of drops. False for anything else. */
static bool
counted_drops(const char *text, double *ret_drops)
{
    struct failure ignored = {0};
    size_t length = strcspn(text, " \tdD");
    const char *behind = text + length + strspn(text + length, " \t");
    char *number = text_format("%.*s", (int)length, text);
    bool counted = (text_same(behind, "drops") || text_same(behind, "drop")) &&
                   number_parse(number, NUMBER_POINT_OR_COMMA, ret_drops, &ignored) == STATUS_OK;

    free(number);
    return counted;
}

/* An amount of acid with its unit, or drops of a size: in mL, or in g when it is weighed. */
static enum status
acid_amount(const char *text, bool weighed, double drop, double most, double *ret_amount,
            struct failure *failure)
{
    double amount = NAN, drops = NAN;
    enum status status = STATUS_OK;

    if (counted_drops(text, &drops))
        amount = drops * (isnan(drop) ? DROP_USUAL_ML : drop); /* 1 g is 1 mL of it */
    else if (weighed)
        status = units_parse_mass(text, &amount, failure);
    else
        status = units_parse_number(text, UNITS_VOLUME, NUMBER_POINT_OR_COMMA, &amount, failure);
    if (status != STATUS_OK)
        return status;
    if (!(amount >= 0.0 && amount <= most))
        return failure_set(failure, STATUS_RANGE, "a %s of %g %s cannot be, allowed is 0 to %g %s",
                           weighed ? "mass" : "volume", amount, weighed ? "g" : "mL", most,
                           weighed ? "g" : "mL");
    *ret_amount = amount;
    return STATUS_OK;
}

enum status
answer_text_volume(const char *text, double most_ml, double drop_ml, double *ret_volume_ml,
                   struct failure *failure)
{
    return acid_amount(text, false, drop_ml, most_ml, ret_volume_ml, failure);
}

/* "20 drops weigh 0.98 g", "drop 0.05 mL", "drops of 0.05": what one is in mL, a gram of dilute acid being one. */
static enum status
size_of_drop(const char *text, const char *drop, double *ret_drop_ml, struct failure *failure)
{
    const char *size = drop + strcspn(drop, "0123456789");
    char *count = text_format("%.*s", (int)(drop - text), text);
    double drops = 1.0, size_ml = NAN;
    enum status status = STATUS_OK;
    struct failure no_mass = {0};

    if (*text_trim(count) != '\0')
        status = number_parse(text_trim(count), NUMBER_POINT_OR_COMMA, &drops, failure);
    free(count);
    if (status == STATUS_OK && units_parse_mass(size, &size_ml, &no_mass) != STATUS_OK)
        status = units_parse_number(size, UNITS_VOLUME, NUMBER_POINT_OR_COMMA, &size_ml, failure);
    if (status != STATUS_OK || !(drops >= 1.0))
        return failure_set(failure, STATUS_FORMAT,
                           "'%.40s': type drop 0.05 mL, or what some weigh: 20 drops 0.98 g", text);
    *ret_drop_ml = size_ml / drops;
    return STATUS_OK;
}

enum status
answer_text_division(const char *text, double *ret_division_ml, bool *ret_is_drop, struct failure *failure)
{
    const char *drop = strstr(text, "drop");
    double division_ml = NAN;
    enum status status =
        drop != NULL ? size_of_drop(text, drop, &division_ml, failure)
                     : units_parse_number(text, UNITS_VOLUME, NUMBER_POINT_OR_COMMA, &division_ml, failure);

    if (status != STATUS_OK)
        return status;
    if (!(division_ml > 0.0 && division_ml <= TITRATION_BURETTE_HIGHEST_ML))
        return failure_set(failure, STATUS_RANGE,
                           "a division or drop of %g mL cannot be, allowed is above 0 to %g mL", division_ml,
                           TITRATION_BURETTE_HIGHEST_ML);
    *ret_division_ml = division_ml;
    *ret_is_drop = drop != NULL;
    return STATUS_OK;
}

enum status
answer_text_drop_mass(const char *text, double *ret_drop_g, struct failure *failure)
{
    const char *drop = strstr(text, "drop");
    double drop_g = NAN;
    enum status status =
        drop != NULL ? size_of_drop(text, drop, &drop_g, failure) : units_parse_mass(text, &drop_g, failure);

    if (status != STATUS_OK)
        return status;
    if (!(drop_g > 0.0 && drop_g <= TITRATION_BURETTE_HIGHEST_ML))
        return failure_set(failure, STATUS_RANGE, "a drop of %g g cannot be, allowed is above 0 to %g g",
                           drop_g, TITRATION_BURETTE_HIGHEST_ML);
    *ret_drop_g = drop_g;
    return STATUS_OK;
}

enum status
answer_text_acid_mass(const char *text, double most_g, double drop_g, double *ret_mass_g,
                      struct failure *failure)
{
    return acid_amount(text, true, drop_g, most_g, ret_mass_g, failure);
}

enum status
answer_text_concentration(const char *text, double *ret_mol_per_l, struct failure *failure)
{
    double mol_per_l = NAN;
    enum status status =
        units_parse_number(text, UNITS_CONCENTRATION, NUMBER_POINT_OR_COMMA, &mol_per_l, failure);

    if (status != STATUS_OK)
        return status;
    if (!(mol_per_l >= TITRATION_ACID_LOWEST_MOL_PER_L && mol_per_l <= TITRATION_ACID_HIGHEST_MOL_PER_L))
        return failure_set(failure, STATUS_RANGE, "%g mol/L cannot be, allowed is %g to %g mol/L", mol_per_l,
                           TITRATION_ACID_LOWEST_MOL_PER_L, TITRATION_ACID_HIGHEST_MOL_PER_L);
    *ret_mol_per_l = mol_per_l;
    return STATUS_OK;
}

/* Behind "pH" and blanks, where the text begins with that. */
static char *
skip_ph(char *text)
{
    if (!text_same_start(text, "ph", 2) || strchr(" \t", text[2]) == NULL)
        return text;
    return text_trim(text + 2);
}

static enum status
bare_ph(const char *text, double *ret_ph, struct failure *failure)
{
    size_t length = strlen(text);
    double ph = NAN;
    enum status status;

    /* "9, 87" is a slip for 9,87 and would otherwise be pH 9 at 87 degC. */
    if (length > 0 && (text[length - 1] == ',' || text[length - 1] == '.'))
        return failure_set(failure, STATUS_FORMAT,
                           "'%.40s' is not a number: no blank behind the decimal sign", text);
    status = units_parse_number(text, UNITS_PH, NUMBER_POINT_OR_COMMA, &ph, failure);
    if (status != STATUS_OK)
        return status;
    if (!(ph >= 0.0 && ph <= 14.0))
        return failure_set(failure, STATUS_RANGE, "a pH of %g cannot be, allowed is 0 to 14", ph);
    *ret_ph = ph;
    return STATUS_OK;
}

/* Rule 4. */
static enum status
check_decimals(const char *ph, const char *temperature, struct failure *failure)
{
    if (strpbrk(ph, ".,") != NULL)
        return STATUS_OK;
    return failure_set(
        failure, STATUS_FORMAT,
        "'%.20s %.20s': write the pH with its decimals, as in %.20s.00 %.20s, or one number as in "
        "%.20s,%.20s",
        ph, temperature, ph, temperature, ph, temperature);
}

enum status
answer_text_ph(const char *text, double *ret_ph, double *ret_temperature_c, struct failure *failure)
{
    char *copy = memory_copy(text), *first = skip_ph(text_trim(copy)), *rest = first + strcspn(first, " \t");
    char *temperature;
    double ph = NAN, temperature_c = NAN;
    enum status status;

    if (*rest != '\0')
        *rest++ = '\0';
    rest = text_trim(rest);
    temperature = skip_ph(rest);
    status = bare_ph(first, &ph, failure);
    if (status == STATUS_OK && *rest == '%')
        status = failure_set(failure, STATUS_FORMAT, "'%.40s' is no pH", text);
    if (status == STATUS_OK && *temperature != '\0' && temperature == rest && strpbrk(first, "pP") == NULL)
        status = check_decimals(first, temperature, failure);
    if (status == STATUS_OK && *temperature != '\0')
        status = answer_text_temperature(temperature, &temperature_c, failure);
    if (status == STATUS_OK) {
        *ret_ph = ph;
        *ret_temperature_c = temperature_c;
    }
    free(copy);
    return status;
}

static enum status
not_a_range(const char *text, struct failure *failure)
{
    return failure_set(failure, STATUS_FORMAT,
                       "'%.40s' is no range, type the two printed steps the colour lies between, such as "
                       "8..9, or the one that it is",
                       text);
}

/* "8..9" without a temperature. */
static enum status
bare_range(const char *text, double *ret_low, double *ret_high, struct failure *failure)
{
    static const char *const signs[] = {"..", "\xe2\x80\x93", "-", " to "};

    for (size_t i = 0; i < LENGTH(signs); i++) {
        const char *sign = strstr(text, signs[i]);
        char *low, *high;
        enum status status;

        if (sign == NULL)
            continue;
        low = text_format("%.*s", (int)(sign - text), text);
        high = memory_copy(sign + strlen(signs[i]));
        status =
            units_parse_number(skip_ph(text_trim(low)), UNITS_PH, NUMBER_POINT_OR_COMMA, ret_low, failure);
        if (status == STATUS_OK)
            status = units_parse_number(text_trim(high), UNITS_PH, NUMBER_POINT_OR_COMMA, ret_high, failure);
        free(low);
        free(high);
        return status == STATUS_OK ? STATUS_OK : not_a_range(text, failure);
    }
    return not_a_range(text, failure);
}

/* The range up to one of the blanks and the temperature behind it, or all of it as a range. */
static enum status
range_and_temperature(char *text, double *ret_low, double *ret_high, double *ret_temperature_c,
                      struct failure *failure)
{
    struct failure ignored = {0};

    for (char *gap = text; (gap = strpbrk(gap, " \t")) != NULL; gap++) {
        char kept = *gap;
        bool found;

        *gap = '\0';
        found = bare_range(text, ret_low, ret_high, &ignored) == STATUS_OK;
        *gap = kept;
        if (found && *skip_ph(text_trim(gap + 1)) != '\0')
            return answer_text_temperature(skip_ph(text_trim(gap + 1)), ret_temperature_c, failure);
    }
    *ret_temperature_c = NAN;
    if (units_parse_number(skip_ph(text), UNITS_PH, NUMBER_POINT_OR_COMMA, ret_low, &ignored) != STATUS_OK)
        return bare_range(text, ret_low, ret_high, failure);
    *ret_high = *ret_low; /* one step */
    return STATUS_OK;
}

/* A colour that is just one step may lie as far as half of the way to the next one on both sides; at the ends of the
 * paper as far as on the other side. */
static void
around_step(const struct gear *paper, double step, double *ret_low, double *ret_high)
{
    double below = INFINITY, above = INFINITY; /* to the next steps */

    for (size_t i = 0; i < paper->step_count; i++) {
        double apart = paper->steps[i] - step;

        if (apart < 0.0)
            below = fmin(below, -apart);
        if (apart > 0.0)
            above = fmin(above, apart);
    }
    *ret_low = fmax(PH_LOWEST, step - (isinf(below) ? above : below) / 2.0);
    *ret_high = fmin(PH_HIGHEST, step + (isinf(above) ? below : above) / 2.0);
}

enum status
answer_text_range(const char *text, const struct gear *paper, double *ret_low, double *ret_high,
                  double *ret_temperature_c, struct failure *failure)
{
    char *copy = memory_copy(text);
    double low = NAN, high = NAN, temperature_c = NAN;
    enum status status = range_and_temperature(text_trim(copy), &low, &high, &temperature_c, failure);

    free(copy);
    if (status == STATUS_OK)
        status = gear_check_step(paper, low, failure);
    if (status == STATUS_OK)
        status = gear_check_step(paper, high, failure);
    if (status != STATUS_OK)
        return status;
    if (low == high) {
        around_step(paper, low, ret_low, ret_high);
    } else {
        *ret_low = low < high ? low : high;
        *ret_high = low < high ? high : low;
    }
    *ret_temperature_c = temperature_c;
    return STATUS_OK;
}

char *
answer_text_surface(const char *text)
{
    static const char *const words[] = {"on the wet bar", "on the bar", "wet bar", "on the surface",
                                        "surface"};

    for (const char *at = text; *at != '\0'; at++)
        for (size_t i = 0; i < LENGTH(words); i++)
            if (text_same_start(at, words[i], strlen(words[i]))) {
                char *rest = text_format("%.*s %s", (int)(at - text), text, at + strlen(words[i]));
                char *trimmed = memory_copy(text_trim(rest));

                free(rest);
                return trimmed;
            }
    return NULL;
}

enum status
answer_text_choice(const char *text, char *const *choices, size_t count, size_t *ret_index,
                   struct failure *failure)
{
    struct text all = {0}, possible = {0};
    size_t matches = 0, match = 0, length = strlen(text);

    for (size_t i = 0; i < count; i++) {
        if (text_same(text, choices[i])) {
            matches = 1;
            match = i;
            break;
        }
        if (length > 0 && text_same_start(text, choices[i], length)) {
            text_addf(&possible, "%s%s", matches == 0 ? "" : " or ", choices[i]);
            matches++;
            match = i;
        }
        text_addf(&all, "%s%s", i == 0 ? "" : ", ", choices[i]);
    }
    if (matches == 1)
        *ret_index = match;
    else if (matches > 1)
        failure_set(failure, STATUS_FORMAT, "'%.60s' could be %s: one more letter", text, text_of(&possible));
    else if (length == 0)
        failure_set(failure, STATUS_FORMAT, "type one of: %s", text_of(&all));
    else
        failure_set(failure, STATUS_FORMAT, "'%.60s' is none of the answers, which are: %s", text,
                    text_of(&all));
    text_clear(&all);
    text_clear(&possible);
    return matches == 1 ? STATUS_OK : STATUS_FORMAT;
}

bool
answer_text_is_value(const char *text)
{
    bool number = false;

    while (*text != '\0') {
        size_t digits = strspn(text, "+-.,0123456789"), unit;
        char word[16];

        number = number || strcspn(text, "0123456789") < digits;
        text += digits;
        unit = strcspn(text, " \t+-.,0123456789");
        if (unit >= sizeof word)
            return false;
        memcpy(word, text, unit);
        word[unit] = '\0';
        if (unit > 0 && !units_is_unit(word))
            return false;
        text += unit;
        text += strspn(text, " \t");
    }
    return number;
}
