/* answer_text.h - what a person types at the bench, as values.
 *
 * Rules
 * (1) Decimal comma or point. A unit may stand behind a mass (g, oz), temperature (C, F) or pH ("11.6 pH").
 * (2) What cannot be is refused with one line that says what is allowed; what is only outside a tolerance
 *     is taken here and is the caller's business.
 * (3) A temperature may stand behind a pH or a range, after blanks: "9,87 40,1" or "8..9 40".
 * (4) "11 38" is refused: it may be a slip for 11,38, and a pH of 11 at 38 degC is written 11.0 38. */
#ifndef ANSWER_TEXT_H
#define ANSWER_TEXT_H

#include <stdbool.h>
#include <stddef.h>

#include "gear.h"
#include "status.h"

/* True for numbers, each perhaps with a unit ("1.03g", "9,87 40,1", "8..9 pH"): a value, and no words. */
bool answer_text_is_value(const char *text);

/* What can be typed at every question instead of an answer; "cup 2" and "portion 2" go to another one. */
enum answer_word {
    ANSWER_WORD_NONE,
    ANSWER_WORD_NOTE,
    ANSWER_WORD_SKIP,
    ANSWER_WORD_BACK,
    ANSWER_WORD_QUIT,
    ANSWER_WORD_HELP,
    ANSWER_WORD_CUP
};

/* Which one a text begins with: note, skip and back may have more behind them (back a value), cup has a whole
 * number or nothing, the others stand alone. Upper and lower case alike.
 *
 * ret_rest  what stands behind it; lent from `text`; may be NULL */
enum answer_word answer_text_word(const char *text, const char **ret_rest);

/* 1 for a usual spelling of yes, 0 for one of no, -1 for anything else. */
int answer_text_yes(const char *text);

/* True when it ends in a bare number that is more often degF: a yes to the question whether it is means "77F". */
bool answer_text_may_be_fahrenheit(const char *text);

/* True when it says something as a reason: words, and no value, yes, done or word of a walk alone. */
bool answer_text_says_something(const char *text);

/* A mass in g, above 0 to `most_g`. STATUS_FORMAT, STATUS_RANGE; so all below. */
enum status answer_text_mass(const char *text, double most_g, double *ret_mass_g, struct failure *failure);

/* A volume in mL, 0 to `most_ml`; "mL" may stand behind it, or "drops".
 *
 * drop_ml  the size of one; NAN: the usual 0.05 mL */
enum status answer_text_volume(const char *text, double most_ml, double drop_ml, double *ret_volume_ml,
                               struct failure *failure);

/* The smallest division of a burette in mL ("0.1"), or the size of a drop ("drop 0.05 mL") or what some of them weigh
 * ("20 drops 0.98 g"), a gram of dilute acid being a millilitre.
 *
 * ret_is_drop  a drop was spoken of */
enum status answer_text_division(const char *text, double *ret_division_ml, bool *ret_is_drop,
                                 struct failure *failure);

/* What one drop weighs in g, or what some do ("20 drops 0.98 g"). */
enum status answer_text_drop_mass(const char *text, double *ret_drop_g, struct failure *failure);

/* A mass of acid in g, 0 to `most_g`, or "drops" of `drop_g` (NAN: the usual 0.05 g). */
enum status answer_text_acid_mass(const char *text, double most_g, double drop_g, double *ret_mass_g,
                                  struct failure *failure);

/* A concentration in mol of H+ per litre (titration_model.h); "mol/L", "M" or "N" may stand behind it. */
enum status answer_text_concentration(const char *text, double *ret_mol_per_l, struct failure *failure);

/* A temperature of a solution in degC, 0 to 100. A bare number above 55 is asked back: it is more often degF. */
enum status answer_text_temperature(const char *text, double *ret_temperature_c, struct failure *failure);

/* A pH, 0 to 14, perhaps with a temperature (rule 3; NAN when there is none). */
enum status answer_text_ph(const char *text, double *ret_ph, double *ret_temperature_c,
                           struct failure *failure);

/* Two printed steps of the paper, "8..9", "8-9" or "8 to 9", the lower one first or last, perhaps with a
 * temperature (rule 3; NAN when there is none). One step alone, "9", is a range of itself: half of the way to the next
 * step on both sides. */
enum status answer_text_range(const char *text, const struct gear *paper, double *ret_low, double *ret_high,
                              double *ret_temperature_c, struct failure *failure);

/* "surface 9..10", "9..10 wet bar": a strip pressed on the wet bar. Gives what is left without those words (free() it);
 * NULL when it does not say so. */
char *answer_text_surface(const char *text);

/* One of the choices: its whole word, or a beginning that no other one has. The refusal names those that a
 * beginning could mean. */
enum status answer_text_choice(const char *text, char *const *choices, size_t count, size_t *ret_index,
                               struct failure *failure);

#endif
