/* report_alkali.c - free alkali by titration: each titration, the result and its band. */
#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "report_part.h"

static void
add_titration(struct page *page, const struct titration *titration)
{
    const char *element = !titration_stands(titration) ? "del" : "span";
    double blank_ml = isnan(titration->blank_ml) ? 0.0 : titration->blank_ml;

    page_row(page, !titration_stands(titration) ? "gone" : NULL);
    page_cellf(page, "%lld", (long long)titration->id);
    page_cell_open(page);
    report_moment(page, titration->taken_at);
    page_cell_close(page);
    page_cellf(page, "%g", titration->soap_mass_g);
    page_cellf(page, titration->acid_weighed ? "%.4g mol/kg" : "%.4g", titration->acid_mol_per_l);
    page_cell_open(page);
    page_open(page, element);
    page_textf(page, "%.2f%s", titration->volume_ml, titration->acid_weighed ? " g" : "");
    page_close(page);
    page_cell_close(page);
    if (isnan(titration->blank_ml))
        page_cell(page, "not run");
    else
        page_cellf(page, "%.2f", titration->blank_ml);
    page_cell_open(page);
    page_open(page, element);
    page_textf(page, "%.3f",
               titration_free_naoh_pct(titration->volume_ml - blank_ml, titration->acid_mol_per_l,
                                       titration->soap_mass_g));
    page_close(page);
    page_cell_close(page);
    page_cell_open(page);
    if (titration->superseded_by != 0)
        page_textf(page, "does not count, see titration %lld. ", (long long)titration->superseded_by);
    if (titration->supersedes != 0) {
        page_textf(page, "corrects titration %lld: ", (long long)titration->supersedes);
        page_typed(page, titration->why);
        page_text(page, " ");
    }
    page_typed(page, titration->note);
    page_cell_close(page);
    page_row_close(page);
}

static void
add_result(struct page *page, const struct free_alkali_result *result)
{
    const struct titration_result *figures = &result->figures;
    char *remarks = free_alkali_flag_phrases(result->flags);

    page_open_class(page, "dl", "facts");
    page_factf(page, "Free alkali, as NaOH", "%.3f %% +/- %.3f %% of the bar (95 %%), %d days old",
               figures->free_naoh_pct, figures->half_width_pct, result->age_d);
    page_factf(page, "From and to", "%.4f to %.4f %%; the upper end counts", figures->low_pct,
               figures->high_pct);
    page_fact(page, "Band", titration_band_name(figures->band));
    page_fact(page, "Where the band comes from", free_alkali_band_source(figures->band));
    if (remarks[0] != '\0')
        page_fact(page, "To know", remarks);
    page_close(page);
    free(remarks);
}

void
report_add_alkali(struct page *page, const struct report_batch *batch)
{
    static const char *const headings[] = {"Titration", "Taken",     "Soap, g",      "Acid, mol/L",
                                           "Acid, mL",  "Blank, mL", "Free NaOH, %", "Remarks"};
    const struct dossier *dossier = batch->dossier;
    const struct free_alkali_result *titrated =
        bar_titrated_worst(batch->conclusion->bars, batch->conclusion->bar_count);

    page_open(page, "section");
    page_element(page, "h3", "Free alkali by titration");
    if (dossier->titration_count == 0) {
        page_element(
            page, "p",
            "Not titrated. Free alkali is the lye that no fat took; only a titration shows that it is "
            "below the 0.05 to 0.2 % that standards allow.");
        page_close(page);
        return;
    }
    page_element(
        page, "p",
        "Soap dissolved in neutralised ethanol and titrated with acid until phenolphthalein loses its pink. "
        "The band is that of the upper end, so that doubt never makes a bar better.");
    if (titrated != NULL)
        add_result(page, titrated);
    page_table_open(page, "Every titration", headings, LENGTH(headings));
    for (size_t i = 0; i < dossier->titration_count; i++)
        add_titration(page, &dossier->titrations[i]);
    page_table_close(page);
    page_close(page);
}
