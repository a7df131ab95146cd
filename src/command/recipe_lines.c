/* recipe_lines.c - a recipe on the command line. */
#include "recipe_lines.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "listing.h"
#include "lye_balance.h"
#include "memory.h"
#include "text.h"

enum status
recipe_lines_read(const struct options *options, struct batch *batch, struct failure *failure)
{
    for (size_t i = 0; i < options_written(options); i++) {
        static const struct {
            const char *name;
            enum recipe_kind kind;
        } kinds[] = {
            {"fat", RECIPE_FAT}, {"lye", RECIPE_LYE}, {"acid", RECIPE_ACID}, {"other", RECIPE_OTHER}};

        for (size_t k = 0; k < LENGTH(kinds); k++) {
            struct recipe_line line;
            enum status status;

            if (strcmp(options_written_name(options, i), kinds[k].name) != 0)
                continue;
            status = recipe_line_parse(kinds[k].kind, options_written_text(options, i), &line, failure);
            if (status != STATUS_OK)
                return status;
            batch_add_line(batch, line);
        }
    }
    if (options_has(options, "water-g"))
        batch_add_line(batch, (struct recipe_line){.kind = RECIPE_WATER,
                                                   .name = memory_copy("water"),
                                                   .mass_g = options_number(options, "water-g"),
                                                   .purity_fraction = NAN,
                                                   .sv_min_mg_koh_per_g = NAN,
                                                   .sv_max_mg_koh_per_g = NAN});
    return STATUS_OK;
}

enum status
recipe_lines_check(const struct batch *batch, struct failure *failure)
{
    struct lye_balance balance = {0};
    enum status status = lye_balance_read(batch, (double)NAN, &balance, failure);

    if (status == STATUS_OK)
        status = lye_balance_solve(&balance, LYE_BALANCE_DRAWS, LYE_BALANCE_SEED, failure);
    lye_balance_clear(&balance);
    return status;
}

bool
recipe_lines_balance(const struct context *context, const struct batch *batch)
{
    struct lye_balance balance = {0};
    struct failure failure = {0};
    size_t fats = 0, lyes = 0;
    bool exceeds = false;

    for (size_t i = 0; i < batch->line_count; i++) {
        fats += batch->lines[i].kind == RECIPE_FAT ? 1U : 0U;
        lyes += batch->lines[i].kind == RECIPE_LYE ? 1U : 0U;
    }
    if (fats == 0 || lyes == 0)
        return false;
    if (lye_balance_read(batch, (double)NAN, &balance, &failure) != STATUS_OK ||
        lye_balance_solve(&balance, LYE_BALANCE_DRAWS, LYE_BALANCE_SEED, &failure) != STATUS_OK) {
        fputs("the recipe cannot be balanced: ", context->out);
        listing_paragraph(context->out, context->width, 2, failure.text);
    } else {
        bool risky = balance.spread.p_lye_exceeds_fat > LYE_BALANCE_P_USUAL;

        exceeds = (balance.flags & 1u << LYE_BALANCE_EXCEEDS) != 0;
        fprintf(context->out, "superfat %.1f %% (95 %% range %.1f to %.1f %%)\n",
                balance.figures.superfat_pct, balance.spread.low_pct, balance.spread.high_pct);
        if (risky) {
            char *code = text_as_typed(batch->code);

            fprintf(context->out, "%s%s%s: look at curetrace recipe %s before it is poured or used\n",
                    context_tone(context, TONE_BAD),
                    exceeds ? "its lye exceeds the fat" : "the lye may exceed the fat",
                    context_tone(context, TONE_PLAIN), code);
            free(code);
        }
    }
    lye_balance_clear(&balance);
    return exceeds;
}
