/* substance.c - names and compositions. Molar masses follow from standard atomic masses. */
#include "substance.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

/* Borax: B4O7(2-) + 5 H2O = 2 B(OH)3 + 2 B(OH)4(-) takes five of its ten waters. */
static const struct substance substances[] = {
    {{"acetic acid", "vinegar"}, 60.052, ACID_ACETIC, 1, 0, 0},
    {{"borax", "sodium tetraborate decahydrate"}, 381.37, ACID_BORIC, 4, 2, 5},
    {{"boric acid"}, 61.83, ACID_BORIC, 1, 0, 0},
    {{"citric acid", "citric acid anhydrous", "anhydrous citric acid"}, 192.123, ACID_CITRIC, 1, 0, 0},
    {{"citric acid monohydrate"}, 210.14, ACID_CITRIC, 1, 0, 1},
    {{"lactic acid"}, 90.078, ACID_LACTIC, 1, 0, 0},
    {{"phosphoric acid"}, 97.994, ACID_PHOSPHORIC, 1, 0, 0},
    {{"potassium hydroxide", "koh", "caustic potash"}, 56.105, ACID_ACETIC, 0, 1, 0},
    {{"sodium acetate"}, 82.034, ACID_ACETIC, 1, 1, 0},
    {{"sodium bicarbonate", "baking soda", "sodium hydrogen carbonate"}, 84.007, ACID_CARBONIC, 1, 1, 0},
    {{"sodium carbonate", "washing soda", "soda ash", "sodium carbonate anhydrous"},
     105.988,
     ACID_CARBONIC,
     1,
     2,
     0},
    {{"sodium carbonate decahydrate", "washing soda crystals", "soda crystals"},
     286.14,
     ACID_CARBONIC,
     1,
     2,
     10},
    {{"sodium citrate dihydrate", "sodium citrate", "trisodium citrate", "trisodium citrate dihydrate"},
     294.10,
     ACID_CITRIC,
     1,
     3,
     2},
    {{"sodium hydroxide", "naoh", "lye", "caustic soda"}, 39.997, ACID_ACETIC, 0, 1, 0},
    {{"sodium lactate"}, 112.06, ACID_LACTIC, 1, 1, 0},
};

static void
simplify(const char *name, char simple[64])
{
    size_t used = 0;

    for (; *name != '\0' && used < 63; name++) {
        if (strchr(" -,_\t", *name) == NULL)
            simple[used++] = text_lower(*name);
    }
    simple[used] = '\0';
}

static enum status
not_found(const char *name, struct failure *failure)
{
    const char *names[LENGTH(substances) * SUBSTANCE_NAMES_MAX];
    size_t count = 0;
    const char *nearest;
    char *shown = text_visible(name);

    for (size_t i = 0; i < LENGTH(substances); i++)
        for (size_t j = 0; j < SUBSTANCE_NAMES_MAX && substances[i].names[j] != NULL; j++)
            names[count++] = substances[i].names[j];
    nearest = text_nearest(name, names, count);
    if (nearest != NULL)
        failure_set(failure, STATUS_MISSING,
                    "there is no substance '%.40s'; did you mean '%s'? (curetrace expect --known lists all)",
                    shown, nearest);
    else
        failure_set(
            failure, STATUS_MISSING,
            "there is no substance '%.40s'; there is citric acid, naoh, baking soda and more (curetrace "
            "expect --known lists all)",
            shown);
    free(shown);
    return failure->status;
}

enum status
substance_find(const char *name, const struct substance **ret_substance, struct failure *failure)
{
    char simple[64], other[64];

    simplify(name, simple);
    for (size_t i = 0; strlen(name) < 60 && i < LENGTH(substances); i++) {
        for (size_t j = 0; j < SUBSTANCE_NAMES_MAX && substances[i].names[j] != NULL; j++) {
            simplify(substances[i].names[j], other);
            if (strcmp(simple, other) == 0) {
                *ret_substance = &substances[i];
                return STATUS_OK;
            }
        }
    }
    return not_found(name, failure);
}

size_t
substance_count(void)
{
    return LENGTH(substances);
}

const struct substance *
substance_at(size_t index)
{
    return &substances[index];
}

bool
substance_is_lye(const struct substance *substance)
{
    return substance->acid_mol == 0.0 && substance->base_mol > 0.0;
}
