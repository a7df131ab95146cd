/* lye_balance.c - the lye balance of a recipe as a batch records it. */
#include "lye_balance.h"

#include <math.h>
#include <stdlib.h>

#include "flag.h"
#include "memory.h"
#include "session.h"
#include "soap.h"
#include "text.h"

static const double purity_half_width = 0.005;
static const double naoh_purity_low = 0.97, naoh_purity_high = 1.0;
static const double koh_purity_low = 0.85, koh_purity_high = 0.95;

/* A percentage of vinegar is grams in 100 mL or in 100 g; its density is at most this. */
static const double vinegar_density_highest_g_per_ml = 1.01;

static enum status
kind_of(const char *name, enum lye_kind *ret_kind, struct failure *failure)
{
    static const struct {
        const char *name;
        enum lye_kind kind;
    } known[] = {
        {"naoh", LYE_NAOH},         {"sodium hydroxide", LYE_NAOH},
        {"caustic soda", LYE_NAOH}, {"sodium lye", LYE_NAOH},
        {"koh", LYE_KOH},           {"potassium hydroxide", LYE_KOH},
        {"potassium lye", LYE_KOH}, {"caustic potash", LYE_KOH},
    };

    for (size_t i = 0; i < LENGTH(known); i++) {
        if (text_same(name, known[i].name)) {
            *ret_kind = known[i].kind;
            return STATUS_OK;
        }
    }
    return failure_set(failure, STATUS_MISSING,
                       "lye '%.60s' is not known, allowed are naoh (sodium hydroxide, caustic soda) and koh "
                       "(potassium hydroxide, caustic potash)",
                       name);
}

static double
half_width_g(double readability_g)
{
    return readability_g / sqrt(2.0);
}

static enum status
add_fat(struct lye_balance *balance, const struct recipe_line *line, struct failure *failure)
{
    struct lye_balance_line *shown = &balance->fat_lines[balance->model.fat_count];
    struct lye_balance_fat *fat = &balance->fats[balance->model.fat_count];
    struct fat_found found;

    shown->line = line;
    fat->mass_g = line->mass_g;
    fat->mass_half_width_g = half_width_g(balance->readability_g);
    if (!isnan(line->sv_min_mg_koh_per_g)) {
        fat->sv_low_mg_koh_per_g = line->sv_min_mg_koh_per_g;
        fat->sv_high_mg_koh_per_g = line->sv_max_mg_koh_per_g;
        shown->source = "the supplier's values, as recorded";
        balance->flags |= 1u << LYE_BALANCE_SUPPLIER_SV;
    } else {
        if (fat_find(line->name, &found, failure) != STATUS_OK)
            return failure->status;
        fat->sv_low_mg_koh_per_g = found.sv_low_mg_koh_per_g;
        fat->sv_high_mg_koh_per_g = found.sv_high_mg_koh_per_g;
        shown->found_as = found.name;
        shown->source = found.source;
    }
    balance->model.fat_count++;
    return STATUS_OK;
}

/* Rule 2. */
static void
set_purity(struct lye_balance *balance, double purity_fraction, struct lye_balance_lye *lye)
{
    if (isnan(purity_fraction)) {
        lye->purity_low_fraction = lye->kind == LYE_KOH ? koh_purity_low : naoh_purity_low;
        lye->purity_high_fraction = lye->kind == LYE_KOH ? koh_purity_high : naoh_purity_high;
        balance->flags |= 1u << LYE_BALANCE_PURITY_ASSUMED;
        return;
    }
    lye->purity_low_fraction = fmax(purity_fraction - purity_half_width, purity_fraction / 2.0);
    lye->purity_high_fraction = fmin(purity_fraction + purity_half_width, 1.0);
}

static enum status
add_lye(struct lye_balance *balance, const struct recipe_line *line, struct failure *failure)
{
    struct lye_balance_line *shown = &balance->lye_lines[balance->model.lye_count];
    struct lye_balance_lye *lye = &balance->lyes[balance->model.lye_count];

    if (kind_of(line->name, &lye->kind, failure) != STATUS_OK)
        return failure->status;
    shown->line = line;
    lye->mass_g = line->mass_g;
    lye->mass_half_width_g = half_width_g(balance->readability_g);
    set_purity(balance, line->purity_fraction, lye);
    if (isnan(line->purity_fraction))
        shown->note = "purity not stated: common practice for what shops sell is assumed";
    balance->model.lye_count++;
    return STATUS_OK;
}

static enum status
add_acid(struct lye_balance *balance, const struct recipe_line *line, struct failure *failure)
{
    struct lye_balance_line *shown = &balance->acid_lines[balance->model.acid_count];
    struct lye_balance_acid *acid = &balance->acids[balance->model.acid_count];
    bool strong_vinegar = text_same(line->name, "vinegar") && !isnan(line->purity_fraction);
    double strength = isnan(line->purity_fraction) ? 1.0 : line->purity_fraction;
    struct lye_consumer_found found;

    if (lye_consumer_find(strong_vinegar ? "acetic acid, 100 %" : line->name, &found, failure) != STATUS_OK)
        return failure->status;
    shown->line = line;
    shown->found_as = strong_vinegar ? "vinegar" : found.name;
    shown->source = found.source;
    acid->mass_g = line->mass_g;
    acid->mass_half_width_g = half_width_g(balance->readability_g);
    acid->naoh_low_g_per_g =
        found.naoh_low_g_per_g * strength / (strong_vinegar ? vinegar_density_highest_g_per_ml : 1.0);
    acid->naoh_high_g_per_g = found.naoh_high_g_per_g * strength;
    if (found.note != NULL && isnan(line->purity_fraction)) {
        shown->note = found.note;
        balance->flags |= 1u << LYE_BALANCE_NAME_BROAD;
    }
    balance->model.acid_count++;
    return STATUS_OK;
}

static enum status
add_line(struct lye_balance *balance, const struct recipe_line *line, struct failure *failure)
{
    balance->poured_g += line->mass_g;
    switch (line->kind) {
    case RECIPE_FAT:
        return add_fat(balance, line, failure);
    case RECIPE_LYE:
        return add_lye(balance, line, failure);
    case RECIPE_ACID:
        return add_acid(balance, line, failure);
    case RECIPE_WATER:
    case RECIPE_OTHER:
    default:
        return STATUS_OK;
    }
}

enum status
lye_balance_read(const struct batch *batch, double readability_g, struct lye_balance *ret_balance,
                 struct failure *failure)
{
    size_t count = batch->line_count == 0 ? 1 : batch->line_count;
    struct lye_balance balance = {.batch = batch,
                                  .fats = memory_new(count, sizeof *balance.fats),
                                  .lyes = memory_new(count, sizeof *balance.lyes),
                                  .acids = memory_new(count, sizeof *balance.acids),
                                  .fat_lines = memory_new(count, sizeof *balance.fat_lines),
                                  .lye_lines = memory_new(count, sizeof *balance.lye_lines),
                                  .acid_lines = memory_new(count, sizeof *balance.acid_lines),
                                  .readability_g = readability_g};
    enum status status = STATUS_OK;

    if (isnan(readability_g)) {
        balance.readability_g = LYE_BALANCE_READABILITY_ASSUMED_G;
        balance.flags |= 1u << LYE_BALANCE_WEIGHING_ASSUMED;
    }
    for (size_t i = 0; status == STATUS_OK && i < batch->line_count; i++)
        status = add_line(&balance, &batch->lines[i], failure);
    if (status == STATUS_OK && balance.model.fat_count == 0)
        status = failure_set(failure, STATUS_MISSING, "the recipe has no fat");
    if (status != STATUS_OK) {
        lye_balance_clear(&balance);
        return status;
    }
    balance.model.fats = balance.fats;
    balance.model.lyes = balance.lyes;
    balance.model.acids = balance.acids;
    *ret_balance = balance;
    return STATUS_OK;
}

/* Rule 4. */
static enum status
expect(struct lye_balance *balance, struct failure *failure)
{
    const double temperature_c = REFERENCE_TEMPERATURE_C, percent = REFERENCE_CONCENTRATION_PCT;
    struct lye_balance_expected expected = {.excess_ph = (double)NAN, .excess_high_ph = (double)NAN};
    double excess_g = fmax(0.0, -balance->spread.low_pct / 100.0 * balance->figures.needed_g);

    expected.excess_naoh_pct = fmin(20.0, 100.0 * excess_g / balance->poured_g);
    if (soap_plain_ph(SOAP_APPARENT_PKA_LOW, temperature_c, percent, &expected.plain_low_ph, failure) !=
            STATUS_OK ||
        soap_plain_ph(SOAP_APPARENT_PKA, temperature_c, percent, &expected.plain_ph, failure) != STATUS_OK ||
        soap_plain_ph(SOAP_APPARENT_PKA_HIGH, temperature_c, percent, &expected.plain_high_ph, failure) !=
            STATUS_OK)
        return failure->status;
    if (expected.excess_naoh_pct > 0.0 &&
        (soap_ph_with_free_naoh(expected.excess_naoh_pct, expected.plain_ph, temperature_c, percent,
                                &expected.excess_ph, failure) != STATUS_OK ||
         soap_ph_with_free_naoh(expected.excess_naoh_pct, expected.plain_high_ph, temperature_c, percent,
                                &expected.excess_high_ph, failure) != STATUS_OK))
        return failure->status;
    balance->expected = expected;
    return STATUS_OK;
}

enum status
lye_balance_solve(struct lye_balance *balance, size_t draws, uint64_t seed, struct failure *failure)
{
    if (balance->model.lye_count == 0)
        return failure_set(failure, STATUS_MISSING,
                           "the recipe has no lye; --lye-for 5 says how much would leave 5 %% of the fat");
    if (lye_balance_compute(&balance->model, &balance->figures, failure) != STATUS_OK ||
        lye_balance_simulate(&balance->model, draws, seed, &balance->spread, failure) != STATUS_OK)
        return failure->status;
    balance->part_count = lye_balance_part_count(&balance->model);
    free(balance->parts);
    balance->parts = memory_new(balance->part_count, sizeof *balance->parts);
    if (lye_balance_budget(&balance->model, balance->parts, &balance->superfat_sd_pct, failure) !=
            STATUS_OK ||
        expect(balance, failure) != STATUS_OK)
        return failure->status;
    if (balance->spread.p_lye_exceeds_fat > LYE_BALANCE_P_USUAL)
        balance->flags |= 1u << LYE_BALANCE_MAY_EXCEED;
    if (balance->spread.p_lye_exceeds_fat >= 0.5)
        balance->flags |= 1u << LYE_BALANCE_EXCEEDS;
    balance->solved = true;
    return STATUS_OK;
}

/* Index of the lye to weigh among the recipe's; `count` for one that is not among them. */
static enum status
choose_lye(const struct lye_balance *balance, const char *lye_name, size_t *ret_index,
           struct failure *failure)
{
    enum lye_kind kind = LYE_NAOH;

    *ret_index = balance->model.lye_count;
    if (lye_name == NULL) {
        if (balance->model.lye_count > 1)
            return failure_set(failure, STATUS_CONFLICT,
                               "the recipe has %zu lyes: say which one is to be weighed (--lye-name naoh)",
                               balance->model.lye_count);
        *ret_index = 0;
        return STATUS_OK;
    }
    if (kind_of(lye_name, &kind, failure) != STATUS_OK)
        return failure->status;
    for (size_t i = 0; i < balance->model.lye_count; i++)
        if (balance->lyes[i].kind == kind)
            *ret_index = i;
    return STATUS_OK;
}

enum status
lye_balance_lye_for(const struct lye_balance *balance, const char *lye_name, double wanted_superfat_pct,
                    size_t draws, uint64_t seed, struct lye_balance_lye *ret_lye,
                    struct lye_balance_advice *ret_advice, struct failure *failure)
{
    struct lye_balance unstated = {0};
    struct lye_balance_model model = balance->model;
    struct lye_balance_lye *decided = memory_new(balance->model.lye_count + 1, sizeof *decided);
    struct lye_balance_lye sought = {.kind = LYE_NAOH,
                                     .mass_half_width_g = half_width_g(balance->readability_g)};
    size_t index = 0;
    enum status status = choose_lye(balance, lye_name, &index, failure);

    if (status != STATUS_OK)
        goto out;
    if (index < balance->model.lye_count) {
        sought = balance->lyes[index];
    } else {
        if (lye_name != NULL)
            status = kind_of(lye_name, &sought.kind, failure);
        set_purity(&unstated, NAN, &sought);
    }
    model.lye_count = 0;
    for (size_t i = 0; i < balance->model.lye_count; i++)
        if (i != index)
            decided[model.lye_count++] = balance->lyes[i];
    model.lyes = decided;
    if (status == STATUS_OK)
        status = lye_balance_advise(&model, &sought, wanted_superfat_pct, LYE_BALANCE_P_USUAL, draws, seed,
                                    ret_advice, failure);
    if (status == STATUS_OK)
        *ret_lye = sought;
out:
    free(decided);
    return status;
}

char *
lye_balance_part_text(const struct lye_balance *balance, const struct lye_balance_part *part)
{
    switch (part->source) {
    case LYE_BALANCE_FAT_MASS:
        return text_format("weighing of %s", balance->fat_lines[part->index].line->name);
    case LYE_BALANCE_FAT_SV:
        return text_format("saponification value of %s", balance->fat_lines[part->index].line->name);
    case LYE_BALANCE_LYE_MASS:
        return text_format("weighing of %s", balance->lye_lines[part->index].line->name);
    case LYE_BALANCE_LYE_PURITY:
        return text_format("purity of %s", balance->lye_lines[part->index].line->name);
    case LYE_BALANCE_ACID_MASS:
        return text_format("weighing of %s", balance->acid_lines[part->index].line->name);
    case LYE_BALANCE_ACID_STRENGTH:
    default:
        return text_format("strength of %s", balance->acid_lines[part->index].line->name);
    }
}

char *
lye_balance_flag_text(unsigned flags)
{
    static const char *const words[LYE_BALANCE_FLAGS] = {
        [LYE_BALANCE_PURITY_ASSUMED] = "purity-assumed", [LYE_BALANCE_WEIGHING_ASSUMED] = "weighing-assumed",
        [LYE_BALANCE_NAME_BROAD] = "name-broad",         [LYE_BALANCE_SUPPLIER_SV] = "supplier-sv",
        [LYE_BALANCE_MAY_EXCEED] = "lye-may-exceed",     [LYE_BALANCE_EXCEEDS] = "lye-exceeds",
    };

    return flag_text_of(flags, words, LYE_BALANCE_FLAGS);
}

char *
lye_balance_flag_phrases(unsigned flags)
{
    static const char *const phrases[LYE_BALANCE_FLAGS] = {
        [LYE_BALANCE_PURITY_ASSUMED] = "purity of the lye assumed",
        [LYE_BALANCE_WEIGHING_ASSUMED] = "balance assumed",
        [LYE_BALANCE_NAME_BROAD] = "an acid's name covers more than one thing",
        [LYE_BALANCE_SUPPLIER_SV] = "the supplier's saponification values",
        [LYE_BALANCE_MAY_EXCEED] = "lye may exceed fat",
        [LYE_BALANCE_EXCEEDS] = "lye exceeds fat",
    };

    return flag_phrases_of(flags, phrases, LYE_BALANCE_FLAGS);
}

void
lye_balance_clear(struct lye_balance *balance)
{
    free(balance->fats);
    free(balance->lyes);
    free(balance->acids);
    free(balance->fat_lines);
    free(balance->lye_lines);
    free(balance->acid_lines);
    free(balance->parts);
    *balance = (struct lye_balance){0};
}
