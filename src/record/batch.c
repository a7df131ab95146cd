/* batch.c - one pour of soap and the recipe it was made from. */
#include "batch.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "text.h"
#include "units.h"
#include "words.h"

static const char *const roles[] = {"ordinary", "control", "variant", "lye-heavy"};
static const char *const states[] = {"in-cure", "held", "released", "discarded"};
static const char *const kinds[] = {"fat", "lye", "acid", "water", "other"};

static const struct {
    const char *word, *text, *others[8];
} ends[] = {
    [BATCH_NOT_CLOSED] = {"not-closed", "not closed", {NULL}},
    [BATCH_USED_UP] = {"used-up", "used up", {"used", "eaten up", "gone", "finished", "empty"}},
    [BATCH_SOLD] = {"sold", "sold", {"sold out", "sale"}},
    [BATCH_GIVEN_AWAY] = {"given-away", "given away", {"given", "gift", "gifted", "presents", "donated"}},
    [BATCH_THROWN_AWAY] = {"thrown-away",
                           "thrown away",
                           {"thrown", "trash", "binned", "discarded", "disposed of"}},
};

void
batch_close_clear(struct batch_close *close)
{
    free(close->why);
    *close = (struct batch_close){0};
}

const char *
batch_end_word(enum batch_end end)
{
    return ends[end].word;
}

const char *
batch_end_text(enum batch_end end)
{
    return ends[end].text;
}

enum status
batch_end_parse(const char *text, enum batch_end *ret_end, struct failure *failure)
{
    for (size_t i = BATCH_USED_UP; i < LENGTH(ends); i++) {
        bool means = text_same(text, ends[i].word) || text_same(text, ends[i].text);

        for (size_t k = 0; k < LENGTH(ends[i].others) && ends[i].others[k] != NULL; k++)
            means = means || text_same(text, ends[i].others[k]);
        if (!means)
            continue;
        *ret_end = (enum batch_end)i;
        return STATUS_OK;
    }
    return failure_set(failure, STATUS_FORMAT,
                       "'%.40s' is no reason to close a batch: used up, sold, given away or thrown away",
                       text);
}

const char *
batch_role_word(enum batch_role role)
{
    return roles[role];
}

const char *
batch_state_word(enum batch_state state)
{
    return states[state];
}

const char *
recipe_kind_word(enum recipe_kind kind)
{
    return kinds[kind];
}

enum status
batch_role_parse(const char *text, enum batch_role *ret_role, struct failure *failure)
{
    size_t index;
    enum status status = words_find("role", text, roles, LENGTH(roles), &index, failure);

    if (status == STATUS_OK)
        *ret_role = (enum batch_role)index;
    return status;
}

enum status
batch_state_parse(const char *text, enum batch_state *ret_state, struct failure *failure)
{
    size_t index;
    enum status status = words_find("state", text, states, LENGTH(states), &index, failure);

    if (status == STATUS_OK)
        *ret_state = (enum batch_state)index;
    return status;
}

enum status
recipe_kind_parse(const char *text, enum recipe_kind *ret_kind, struct failure *failure)
{
    size_t index;
    enum status status = words_find("kind of ingredient", text, kinds, LENGTH(kinds), &index, failure);

    if (status == STATUS_OK)
        *ret_kind = (enum recipe_kind)index;
    return status;
}

/* "sv 188..192" or "sv 190". */
static enum status
parse_saponification(char *text, struct recipe_line *line, struct failure *failure)
{
    char *low_text, *dots;
    enum status status;

    if (!text_same_start(text, "sv", 2))
        return failure_set(failure, STATUS_FORMAT,
                           "'%.40s': behind a fat's @ comes its saponification value, as in sv 188..192",
                           text);
    low_text = text_trim(text + 2);
    dots = strstr(low_text, "..");
    if (dots != NULL)
        *dots = '\0';
    status = number_parse_in(text_trim(low_text), NUMBER_POINT_OR_COMMA, "saponification value", 50, 600,
                             &line->sv_min_mg_koh_per_g, failure);
    if (status != STATUS_OK)
        return status;
    line->sv_max_mg_koh_per_g = line->sv_min_mg_koh_per_g;
    if (dots == NULL)
        return STATUS_OK;
    return number_parse_in(text_trim(dots + 2), NUMBER_POINT_OR_COMMA, "saponification value",
                           line->sv_min_mg_koh_per_g, 600, &line->sv_max_mg_koh_per_g, failure);
}

static enum status
parse_qualifier(char *text, struct recipe_line *line, struct failure *failure)
{
    switch (line->kind) {
    case RECIPE_FAT:
        return parse_saponification(text, line, failure);
    case RECIPE_LYE:
    case RECIPE_ACID:
        return units_parse_fraction(text, &line->purity_fraction, failure);
    case RECIPE_WATER:
    case RECIPE_OTHER:
    default:
        return failure_set(failure, STATUS_FORMAT, "nothing may follow an @ for %s", kinds[line->kind]);
    }
}

enum status
recipe_line_parse(enum recipe_kind kind, const char *text, struct recipe_line *ret_line,
                  struct failure *failure)
{
    struct recipe_line line = {
        .kind = kind, .purity_fraction = NAN, .sv_min_mg_koh_per_g = NAN, .sv_max_mg_koh_per_g = NAN};
    char *copy = memory_copy(text), *equals = strrchr(copy, '='), *at = NULL;
    enum status status;

    if (equals == NULL || equals == copy) {
        status = failure_set(failure, STATUS_FORMAT, "expected NAME=GRAMS as in \"olive oil=500\"");
        goto out;
    }
    *equals = '\0';
    at = strchr(equals + 1, '@');
    if (at != NULL)
        *at = '\0';
    status = units_parse_mass(equals + 1, &line.mass_g, failure);
    if (status == STATUS_OK && at != NULL)
        status = parse_qualifier(text_trim(at + 1), &line, failure);
    if (status != STATUS_OK)
        goto out;
    line.name = memory_copy(text_trim(copy));
    *ret_line = line;
out:
    free(copy);
    return status == STATUS_OK ? STATUS_OK : failure_at(failure, "%s '%.60s': ", kinds[kind], text);
}

void
recipe_line_clear(struct recipe_line *line)
{
    free(line->name);
    *line = (struct recipe_line){0};
}

void
batch_add_line(struct batch *batch, struct recipe_line line)
{
    batch->lines = memory_resize(batch->lines, batch->line_count + 1, sizeof *batch->lines);
    batch->lines[batch->line_count++] = line;
}

static enum status
check_code(const char *code, struct failure *failure)
{
    if (code == NULL || *code == '\0')
        return failure_set(failure, STATUS_FORMAT, "a batch needs a code, as in W-07");
    return words_check_name("code", code, BATCH_CODE_LONGEST, failure);
}

static enum status
check_line(const struct recipe_line *line, struct failure *failure)
{
    const char *kind = recipe_kind_word(line->kind);

    if (line->name == NULL || *line->name == '\0')
        return failure_set(failure, STATUS_FORMAT, "a recipe line needs a name");
    if (!(line->mass_g > 0.0 && line->mass_g <= 1e6))
        return failure_set(failure, STATUS_RANGE, "%s '%.60s': mass is %g g, allowed is above 0 to 1000000 g",
                           kind, line->name, line->mass_g);
    if (!isnan(line->purity_fraction) && !(line->purity_fraction > 0.0 && line->purity_fraction <= 1.0))
        return failure_set(failure, STATUS_RANGE, "%s '%.60s': purity is %g %%, allowed is above 0 to 100 %%",
                           kind, line->name, line->purity_fraction * 100.0);
    if (!isnan(line->sv_min_mg_koh_per_g) && !(line->sv_min_mg_koh_per_g <= line->sv_max_mg_koh_per_g))
        return failure_set(failure, STATUS_RANGE, "%s '%.60s': saponification value from %g to %g", kind,
                           line->name, line->sv_min_mg_koh_per_g, line->sv_max_mg_koh_per_g);
    return STATUS_OK;
}

enum status
batch_check(const struct batch *batch, civil_day today, struct failure *failure)
{
    char made_on[DAY_TEXT_SIZE];
    enum status status = check_code(batch->code, failure);

    if (status != STATUS_OK)
        return status;
    if (batch->made_on == DAY_NONE)
        return failure_set(failure, STATUS_FORMAT,
                           "the day the batch was poured is missing (--made YYYY-MM-DD)");
    if (batch->made_on > today)
        return failure_set(failure, STATUS_RANGE, "made on %s, which is after today",
                           clock_day_text(batch->made_on, made_on));
    for (size_t i = 0; i < batch->line_count; i++) {
        status = check_line(&batch->lines[i], failure);
        if (status != STATUS_OK)
            return status;
    }
    return STATUS_OK;
}

void
batch_clear(struct batch *batch)
{
    for (size_t i = 0; i < batch->line_count; i++)
        recipe_line_clear(&batch->lines[i]);
    free(batch->lines);
    free(batch->code);
    free(batch->title);
    free(batch->reference_code);
    free(batch->parent_code);
    free(batch->note);
    *batch = (struct batch){0};
}
