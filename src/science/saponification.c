/* saponification.c - lye per gram of fat, and the names of fats and acids. */
#include "saponification.h"

#include <assert.h>
#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "table_fats.h"
#include "table_lye_consumers.h"
#include "text.h"

enum { NAME_BYTES = 100 };

/* Everyday names and the row of the table each stands for. */
static const struct {
    const char *said, *row;
} fat_names[] = {
    {"arachis oil", "peanut (arachis) oil"},
    {"canola oil", "rapeseed oil, low erucic (canola)"},
    {"corn oil", "maize (corn) oil"},
    {"flax oil", "linseed (flax) oil"},
    {"flaxseed oil", "linseed (flax) oil"},
    {"groundnut oil", "peanut (arachis) oil"},
    {"hemp oil", "hempseed oil"},
    {"hemp seed oil", "hempseed oil"},
    {"high oleic sunflower oil", "sunflower oil, high oleic"},
    {"lanolin", "wool fat (lanolin)"},
    {"linseed oil", "linseed (flax) oil"},
    {"maize oil", "maize (corn) oil"},
    {"olive oil", "olive oil (virgin, refined)"},
    {"olive pomace oil", "olive-pomace oil"},
    {"peanut oil", "peanut (arachis) oil"},
    {"pomace oil", "olive-pomace oil"},
    {"pomace olive oil", "olive-pomace oil"},
    {"poppy seed oil", "poppy-seed oil"},
    {"poppyseed oil", "poppy-seed oil"},
    {"rapeseed oil", "rapeseed oil, low erucic (canola)"},
    {"shea butter", "shea butter, unrefined"},
    {"soya oil", "soybean oil"},
    {"sweet almond oil", "almond oil"},
    {"tallow", "tallow, edible"},
    {"virgin olive oil", "olive oil (virgin, refined)"},
    {"wool fat", "wool fat (lanolin)"},
};

/* Everyday names of acids, and the two rows of the table between which each lies (rule 2). */
static const struct {
    const char *said, *row, *other_row;
    const char *note; /* NULL when the name says all there is to say */
} acid_names[] = {
    {"acetic acid", "acetic acid, 100 %", "acetic acid, 100 %",
     "counted as 100 %: give the strength on the bottle"},
    {"ascorbic acid", "ascorbic acid (first proton only)", "ascorbic acid (first proton only)",
     "only its first proton is counted; in strong lye it may take up more"},
    {"baking soda", "sodium bicarbonate (turns NaOH into Na2CO3)",
     "sodium bicarbonate (turns NaOH into Na2CO3)", "it leaves washing soda in the soap"},
    {"bicarbonate of soda", "sodium bicarbonate (turns NaOH into Na2CO3)",
     "sodium bicarbonate (turns NaOH into Na2CO3)", "it leaves washing soda in the soap"},
    {"citric acid", "citric acid, monohydrate", "citric acid, anhydrous",
     "anhydrous or monohydrate was not stated: counted as either"},
    {"lauric acid", "lauric acid, pure", "lauric acid, pure", NULL},
    {"oleic acid", "oleic acid, pure", "oleic acid, pure", NULL},
    {"palmitic acid", "palmitic acid, pure", "palmitic acid, pure", NULL},
    {"sodium bicarbonate", "sodium bicarbonate (turns NaOH into Na2CO3)",
     "sodium bicarbonate (turns NaOH into Na2CO3)", "it leaves washing soda in the soap"},
    {"stearic acid", "stearic acid, pure", "palmitic acid, pure",
     "what shops sell as stearic acid is a mixture with palmitic acid: counted as anything from one to the "
     "other"},
    {"vitamin c", "ascorbic acid (first proton only)", "ascorbic acid (first proton only)",
     "only its first proton is counted; in strong lye it may take up more"},
};

/* Vinegar is in the table by the millilitre. A gram of it is a little less: at 5 g in 100 mL and 20 degC its
 * density is 1.0055 g/mL (CRC Handbook, concentrative properties of aqueous solutions, from memory). */
static const char vinegar_row[] = "vinegar, per mL at 5 g acetic acid per 100 mL";
static const double vinegar_density_highest_g_per_ml = 1.01;

double
lye_as_naoh(enum lye_kind kind)
{
    return kind == LYE_KOH ? SAPONIFICATION_NAOH_G_PER_MOL / SAPONIFICATION_KOH_G_PER_MOL : 1.0;
}

enum status
saponification_check(double sv_low_mg_koh_per_g, double sv_high_mg_koh_per_g, struct failure *failure)
{
    if (sv_low_mg_koh_per_g > 0.0 && sv_high_mg_koh_per_g < 1.0)
        return failure_set(
            failure, STATUS_RANGE,
            "a saponification value of %g looks like grams of lye per gram of fat: expected "
            "milligrams of KOH per gram, from 10 to 600 (1000 times the KOH figure, or 1403 times "
            "the NaOH figure)",
            sv_high_mg_koh_per_g);
    if (!(sv_low_mg_koh_per_g >= 10.0 && sv_high_mg_koh_per_g <= 600.0 &&
          sv_low_mg_koh_per_g <= sv_high_mg_koh_per_g))
        return failure_set(failure, STATUS_RANGE,
                           "saponification value %g to %g: expected low <= high, from 10 to 600 mg KOH per g",
                           sv_low_mg_koh_per_g, sv_high_mg_koh_per_g);
    return STATUS_OK;
}

/* The name in small letters with single blanks. False when it is empty or too long to be a name. */
static bool
plain_name(const char *name, char plain[NAME_BYTES])
{
    size_t length = 0;

    for (; *name != '\0'; name++) {
        bool blank = text_is_blank(*name);

        if (blank && (length == 0 || plain[length - 1] == ' '))
            continue;
        if (length + 1 >= NAME_BYTES)
            return false;
        plain[length++] = blank ? ' ' : text_lower(*name);
    }
    if (length > 0 && plain[length - 1] == ' ')
        length--;
    plain[length] = '\0';
    return length > 0;
}

/* `known` is `plain`, or is it with one of the last words that people leave out (rule 1). */
static bool
names(const char *known, const char *plain)
{
    static const char *const endings[] = {"", " oil", " butter", " acid"};
    size_t length = strlen(plain);

    if (!text_same_start(known, plain, length))
        return false;
    for (size_t i = 0; i < LENGTH(endings); i++) {
        if (strcmp(known + length, endings[i]) == 0)
            return true;
    }
    return false;
}

static const struct fat_row *
fat_row_named(const char *plain)
{
    for (size_t i = 0; i < LENGTH(fat_names); i++) {
        if (names(fat_names[i].said, plain))
            return fat_row_named(fat_names[i].row);
    }
    for (size_t i = 0; i < table_fats_length; i++) {
        if (names(table_fats[i].fat, plain))
            return &table_fats[i];
    }
    return NULL;
}

static const struct lye_consumer_row *
acid_row_named(const char *plain)
{
    for (size_t i = 0; i < table_lye_consumers_length; i++) {
        if (names(table_lye_consumers[i].additive, plain))
            return &table_lye_consumers[i];
    }
    return NULL;
}

/* Likewise, for a name that stands in the table as this file knows it. */
static const struct lye_consumer_row *
known_acid_row(const char *plain)
{
    const struct lye_consumer_row *row = acid_row_named(plain);

    assert(row != NULL);
    return row;
}

/* One slip of the hand apart: a letter left out, added, changed, or two beside each other exchanged. */
static bool
one_slip_apart(const char *a, const char *b)
{
    size_t left_a = strlen(a), left_b = strlen(b);

    while (*a != '\0' && *a == *b) {
        a++, b++;
        left_a--, left_b--;
    }
    while (left_a > 0 && left_b > 0 && a[left_a - 1] == b[left_b - 1]) {
        left_a--;
        left_b--;
    }
    if (left_a == 2 && left_b == 2)
        return a[0] == b[1] && a[1] == b[0];
    return left_a <= 1 && left_b <= 1;
}

/* The known name that was likely meant; NULL for none, and where there are two. A short name is one slip from too much:
 * "rape oil" is no "rake oil". */
static const char *
likely_meant(const char *name, const char *const *known, size_t count)
{
    enum { LEAST_LETTERS = 6 };
    char plain[NAME_BYTES];
    const char *meant = NULL;

    if (!plain_name(name, plain) || strlen(plain) < LEAST_LETTERS)
        return NULL;
    for (size_t i = 0; i < count; i++) {
        if (!one_slip_apart(plain, known[i]))
            continue;
        if (meant != NULL)
            return NULL;
        meant = known[i];
    }
    return meant;
}

/* Refuse an unknown name (rule 3). */
static enum status
refuse_name(const char *name, const char *kind, const char *const *known, size_t count, const char *way_out,
            struct failure *failure)
{
    const char *meant = likely_meant(name, known, count);
    char *shown = text_visible(name);

    failure_set(failure, STATUS_MISSING, "%s '%.100s' is not known%s%s%s; %s", kind, shown,
                meant == NULL ? "" : " (did you mean '", meant == NULL ? "" : meant,
                meant == NULL ? "" : "'?)", way_out);
    free(shown);
    return STATUS_MISSING;
}

static enum status
refuse_fat(const char *name, struct failure *failure)
{
    size_t count = 0;
    const char **known = memory_new(table_fats_length + LENGTH(fat_names), sizeof *known);

    for (size_t i = 0; i < table_fats_length; i++)
        known[count++] = table_fats[i].fat;
    for (size_t i = 0; i < LENGTH(fat_names); i++)
        known[count++] = fat_names[i].said;
    refuse_name(
        name, "fat", known, count,
        "a fat of another name is written with its own saponification value, a range in mg KOH per g: "
        "\"NAME=GRAMS@sv LOW..HIGH\"",
        failure);
    free(known);
    return STATUS_MISSING;
}

static enum status
refuse_acid(const char *name, struct failure *failure)
{
    size_t count = 0;
    const char **known = memory_new(table_lye_consumers_length + LENGTH(acid_names) + 1, sizeof *known);

    for (size_t i = 0; i < table_lye_consumers_length; i++)
        known[count++] = table_lye_consumers[i].additive;
    for (size_t i = 0; i < LENGTH(acid_names); i++)
        known[count++] = acid_names[i].said;
    known[count++] = "vinegar";
    refuse_name(name, "acid", known, count,
                "leave it out, and the balance shows more lye than there is: the safe side", failure);
    free(known);
    return STATUS_MISSING;
}

enum status
fat_find(const char *name, struct fat_found *ret_fat, struct failure *failure)
{
    char plain[NAME_BYTES];
    const struct fat_row *row = plain_name(name, plain) ? fat_row_named(plain) : NULL;

    if (row == NULL)
        return refuse_fat(name, failure);
    *ret_fat = (struct fat_found){.name = row->fat,
                                  .sv_low_mg_koh_per_g = row->sv_min_mg_koh_per_g,
                                  .sv_high_mg_koh_per_g = row->sv_max_mg_koh_per_g,
                                  .source = row->source};
    return STATUS_OK;
}

/* What lies between two rows of the table. */
static struct lye_consumer_found
between_rows(const struct lye_consumer_row *row, const struct lye_consumer_row *other, const char *name,
             const char *note)
{
    return (struct lye_consumer_found){.name = name,
                                       .naoh_low_g_per_g = fmin(row->g_naoh_per_g, other->g_naoh_per_g),
                                       .naoh_high_g_per_g = fmax(row->g_naoh_per_g, other->g_naoh_per_g),
                                       .note = note,
                                       .source = row->source};
}

static struct lye_consumer_found
vinegar(void)
{
    const struct lye_consumer_row *row = known_acid_row(vinegar_row);

    return (struct lye_consumer_found){
        .name = "vinegar",
        .naoh_low_g_per_g = row->g_naoh_per_g / vinegar_density_highest_g_per_ml,
        .naoh_high_g_per_g = row->g_naoh_per_g,
        .note =
            "counted as 5 g acetic acid in 100 mL: for another strength give 'acetic acid' and the strength",
        .source = row->source};
}

enum status
lye_consumer_find(const char *name, struct lye_consumer_found *ret_acid, struct failure *failure)
{
    char plain[NAME_BYTES];
    const struct lye_consumer_row *row;

    if (!plain_name(name, plain))
        return refuse_acid(name, failure);
    if (strcmp(plain, "vinegar") == 0 || strcmp(plain, vinegar_row) == 0) {
        *ret_acid = vinegar();
        return STATUS_OK;
    }
    for (size_t i = 0; i < LENGTH(acid_names); i++) {
        if (names(acid_names[i].said, plain)) {
            const struct lye_consumer_row *other = known_acid_row(acid_names[i].other_row);

            row = known_acid_row(acid_names[i].row);
            *ret_acid = between_rows(row, other, row == other ? row->additive : acid_names[i].said,
                                     acid_names[i].note);
            return STATUS_OK;
        }
    }
    row = acid_row_named(plain);
    if (row == NULL)
        return refuse_acid(name, failure);
    *ret_acid = between_rows(row, row, row->additive, NULL);
    return STATUS_OK;
}

const char *
fat_name(size_t index)
{
    return index < table_fats_length ? table_fats[index].fat : NULL;
}
