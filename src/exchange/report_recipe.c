/* report_recipe.c - the batch, its recipe and its lye balance. */
#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "report_part.h"
#include "verdict_text.h"

static void
add_facts(struct page *page, const struct batch *record, civil_time now)
{
    char day[DAY_TEXT_SIZE];

    page_open_class(page, "dl", "facts");
    page_fact(page, "Poured", clock_day_text(record->made_on, day));
    page_factf(page, "Age when written", "%d days", clock_day_of(now) - record->made_on);
    page_fact(page, "Role", batch_role_word(record->role));
    page_fact(page, "State", batch_state_word(record->state));
    page_fact_typed(page, "Compared with", record->reference_code);
    page_fact_typed(page, "Reworked from", record->parent_code);
    page_fact_typed(page, "Note", record->note);
    page_close(page);
}

static void
add_lines(struct page *page, const struct batch *record)
{
    static const char *const headings[] = {"Ingredient", "Kind", "Mass, g", "Stated"};

    page_table_open(page, "Recipe as poured", headings, LENGTH(headings));
    for (size_t i = 0; i < record->line_count; i++) {
        const struct recipe_line *line = &record->lines[i];

        page_row(page, NULL);
        page_cell_typed(page, line->name);
        page_cell(page, recipe_kind_word(line->kind));
        page_cellf(page, "%.2f", line->mass_g);
        if (!isnan(line->purity_fraction))
            page_cellf(page, "%g %% pure", 100.0 * line->purity_fraction);
        else if (!isnan(line->sv_min_mg_koh_per_g))
            page_cellf(page, "saponification value %g to %g mg KOH/g", line->sv_min_mg_koh_per_g,
                       line->sv_max_mg_koh_per_g);
        else
            page_cell(page, "");
        page_row_close(page);
    }
    page_table_close(page);
}

static void
add_probability(struct page *page, const struct lye_balance_spread *spread)
{
    struct text p = {0};

    verdict_text_add_probability(spread->p_lye_exceeds_fat, &p);
    page_fact(page, "Probability that lye exceeds fat", text_of(&p));
    text_clear(&p);
}

static void
add_balance(struct page *page, const struct lye_balance *balance)
{
    const struct lye_balance_figures *figures = &balance->figures;
    const struct lye_balance_spread *spread = &balance->spread;
    char *remarks = lye_balance_flag_phrases(balance->flags);

    page_element(page, "h4", "Lye balance");
    page_element(
        page, "p",
        "Superfat is the part of the fat that finds no lye. Fats vary from lot to lot, so it is a range; "
        "below zero there is lye in excess.");
    page_open_class(page, "dl", "facts");
    page_factf(page, "Superfat", "%.1f %%, 95 %% range %.1f to %.1f %%", figures->superfat_pct,
               spread->low_pct, spread->high_pct);
    add_probability(page, spread);
    page_factf(page, "Lye the fats need", "%.2f g of pure NaOH (%.2f to %.2f)", figures->needed_g,
               figures->needed_low_g, figures->needed_high_g);
    page_factf(page, "Lye that meets the fat", "%.2f g of pure NaOH, after acids took %.2f g",
               figures->effective_g, figures->taken_by_acids_g);
    if (remarks[0] != '\0')
        page_fact(page, "To know", remarks);
    page_close(page);
    free(remarks);
}

void
report_add_recipe(struct page *page, const struct report_batch *batch, civil_time now)
{
    const struct batch *record = &batch->dossier->batch;

    page_open(page, "section");
    page_element(page, "h3", "Batch and recipe");
    add_facts(page, record, now);
    if (record->line_count == 0)
        page_element(page, "p", "No recipe is on record, so its lye balance is not known.");
    else
        add_lines(page, record);
    if (batch->balance != NULL)
        add_balance(page, batch->balance);
    else if (batch->balance_refused != NULL)
        page_elementf(page, "p", "No lye balance: %s.", batch->balance_refused);
    page_close(page);
}
