/* titration_view.c - what titrations of a batch say, on the screen and as CSV. */
#include "titration_view.h"

#include <math.h>
#include <stdlib.h>

#include "batch_case.h"
#include "caution.h"
#include "conclusion.h"
#include "csv_out.h"
#include "dossier_store.h"
#include "listing.h"
#include "memory.h"
#include "say.h"
#include "standing.h"
#include "text.h"

static void
print_replicates(const struct context *context, const struct dossier *dossier,
                 const struct free_alkali_result *result)
{
    struct listing listing = {0};

    listing_column(&listing, "titration", LISTING_RIGHT);
    listing_column(&listing, "soap g", LISTING_RIGHT);
    listing_column(&listing, result->first->acid_weighed ? "acid mol/kg" : "acid mol/L", LISTING_RIGHT);
    listing_column(&listing, result->first->acid_weighed ? "acid g" : "acid mL", LISTING_RIGHT);
    listing_column(&listing, result->first->acid_weighed ? "blank g" : "blank mL", LISTING_RIGHT);
    listing_column(&listing, "free NaOH %", LISTING_RIGHT);
    for (size_t i = 0; i < dossier->titration_count; i++) {
        const struct titration *titration = &dossier->titrations[i];
        double blank_ml = isnan(titration->blank_ml) ? 0.0 : titration->blank_ml;

        if (titration->superseded_by != 0 || !free_alkali_replicates(titration, result->first))
            continue;
        listing_cellf(&listing, "%lld", (long long)titration->id);
        listing_cellf(&listing, "%g", titration->soap_mass_g);
        listing_cellf(&listing, "%.4g", titration->acid_mol_per_l);
        listing_cellf(&listing, "%.2f", titration->volume_ml);
        if (isnan(titration->blank_ml))
            listing_cell(&listing, "not run");
        else
            listing_cellf(&listing, "%.2f", titration->blank_ml);
        listing_cellf(&listing, "%.3f",
                      titration_free_naoh_pct(titration->volume_ml - blank_ml, titration->acid_mol_per_l,
                                              titration->soap_mass_g));
    }
    listing_print(&listing, context->out, context->width);
    listing_clear(&listing);
}

static enum tone
tone_of(enum verdict_word verdict)
{
    return verdict == VERDICT_WITHIN ? TONE_GOOD : verdict == VERDICT_LYE_HEAVY ? TONE_BAD : TONE_DOUBT;
}

static void
paragraph(const struct context *context, const char *text)
{
    fputs("  ", context->out);
    listing_paragraph(context->out, context->width - 2, 2, text);
}

/* Where the doubt comes from, largest first. */
static void
print_budget(const struct context *context, const struct titration_result *figures)
{
    bool shown[TITRATION_SOURCES] = {false};

    fputs("where its uncertainty comes from:", context->out);
    for (int n = 0; n < TITRATION_SOURCES; n++) {
        int largest = -1;

        for (int i = 0; i < TITRATION_SOURCES; i++)
            if (!shown[i] && (largest < 0 || figures->share_fraction[i] > figures->share_fraction[largest]))
                largest = i;
        shown[largest] = true;
        if (figures->share_fraction[largest] >= 0.005)
            fprintf(context->out, "%s %s %.0f %%", n == 0 ? "" : ",",
                    titration_source_name((enum titration_source)largest),
                    100.0 * figures->share_fraction[largest]);
    }
    fputc('\n', context->out);
}

static void
print_next(const struct context *context, const struct conclusion *conclusion)
{
    struct sentences said = {0};

    standing_say_next(conclusion, &said);
    say(context, &said);
    sentences_clear(&said);
}

/* "W-07, bar A, 43 days old: free alkali by titration, 2026-04-14T10:00". */
static void
print_heading(const struct context *context, const struct dossier *dossier,
              const struct free_alkali_result *result)
{
    char moment[MOMENT_TEXT_SIZE];
    const char *bar = result->first->bar;
    char *line = text_format("%s%s%s, %d days old: free alkali by titration, %s", dossier->batch.code,
                             bar == NULL ? "" : ", bar ", bar == NULL ? "" : bar, result->age_d,
                             clock_moment_text(result->first->taken_at, moment));

    listing_paragraph(context->out, context->width, 0, line);
    fputc('\n', context->out);
    free(line);
}

static void
print_result(const struct context *context, const struct dossier *dossier,
             const struct free_alkali_result *result)
{
    const struct titration_result *figures = &result->figures;
    char *flags = free_alkali_flag_text(result->flags), *line;
    enum verdict_word verdict = bar_titration_word(figures);

    print_heading(context, dossier, result);
    print_replicates(context, dossier, result);
    line = text_format("free NaOH %.3f %% +/- %.3f %% (95 %%): from %.3f %% to at most %.3f %%%s",
                       figures->free_naoh_pct, figures->half_width_pct, figures->low_pct,
                       ceil(figures->high_pct * 1000.0) / 1000.0,
                       figures->scatter_assumed ? "; how far your portions scatter is assumed" : "");
    fputc('\n', context->out);
    listing_paragraph(context->out, context->width, 0, line);
    free(line);
    print_budget(context, figures);
    fprintf(context->out, "band: %s%s%s\n", context_tone(context, tone_of(verdict)),
            titration_band_name(figures->band), context_tone(context, TONE_PLAIN));
    paragraph(context, free_alkali_band_source(figures->band));
    if (figures->band != figures->mean_band) {
        char *text =
            text_format("the mean alone would be %s; the upper end counts, so that doubt never makes a bar "
                        "better",
                        titration_band_name(figures->mean_band));

        paragraph(context, text);
        free(text);
    }
    if ((result->flags & 1u << FREE_ALKALI_SINGLE) != 0)
        paragraph(context, "a single portion is never better than borderline: titrate a second one");
    if (*flags != '\0')
        fprintf(context->out, "flags: %s\n", flags);
    fputc('\n', context->out);
    free(flags);
}

/* Each bar by its latest titration, worst first, then the batch by all of them. */
static void
print_results(const struct context *context, const struct dossier *dossier,
              const struct conclusion *conclusion)
{
    char *standing = conclusion_text(conclusion);

    for (size_t i = 0; i < conclusion->bar_count; i++)
        if (conclusion->bars[i].titration != NULL)
            print_result(context, dossier, conclusion->bars[i].titration);
    listing_paragraph(context->out, context->width, 0, standing);
    if (conclusion->ph.count > 0)
        fprintf(context->out, "by the latest pH alone: %s\n", verdict_word(conclusion->ph.worst));
    free(standing);
}

enum status
titration_view_print(const struct context *context, const char *code, struct failure *failure)
{
    struct batch_case batch = {0};
    const struct dossier *dossier = &batch.dossier;
    const struct conclusion *conclusion = &batch.conclusion;
    enum status status = batch_case_open(context->store, code, &batch, failure);

    if (status == STATUS_OK && conclusion->free_alkali.count == 0)
        status = failure_set(failure, STATUS_MISSING, "batch '%s' was not titrated", dossier->batch.code);
    if (status == STATUS_OK) {
        print_results(context, dossier, conclusion);
        print_next(context, conclusion);
        caution_print(context, CAUTION_LYE | CAUTION_ETHANOL |
                                   (conclusion->verdict == VERDICT_WITHIN ? 0u : (unsigned)CAUTION_BAR));
    }
    batch_case_clear(&batch);
    return status;
}

static enum status
csv_row(const struct context *context, const char *code, struct csv_out *csv, struct failure *failure)
{
    struct batch_case batch = {0};
    const struct free_alkali_result *titrated = NULL;
    enum status status = batch_case_open(context->store, code, &batch, failure);

    if (status == STATUS_OK)
        titrated = bar_titrated_worst(batch.conclusion.bars, batch.conclusion.bar_count);
    if (status == STATUS_OK && titrated == NULL)
        status =
            failure_set(failure, STATUS_MISSING, "batch '%s' was not titrated", batch.dossier.batch.code);
    if (titrated != NULL) {
        char *flags = free_alkali_flag_text(titrated->flags);

        csv_out_text(csv, batch.dossier.batch.code);
        csv_out_number(csv, titrated->figures.free_naoh_pct);
        csv_out_number(csv, titrated->figures.low_pct);
        csv_out_number(csv, titrated->figures.high_pct);
        csv_out_text(csv, titration_band_name(titrated->figures.band));
        csv_out_text(csv, flags);
        csv_out_end_row(csv);
        free(flags);
    }
    batch_case_clear(&batch);
    return status;
}

enum status
titration_view_csv(const struct context *context, const struct options *options, struct failure *failure)
{
    static const char *const headings[] = {"batch", "free_naoh_pct", "low_pct", "high_pct", "band", "flags"};
    struct csv_out csv;
    char *rows = NULL;
    size_t size = 0;
    FILE *memory = open_memstream(&rows, &size);
    enum status status = STATUS_OK;

    if (memory == NULL)
        return failure_set(failure, STATUS_SYSTEM, "no memory for the table");
    csv_out_start(&csv, memory, context->csv);
    csv_out_heading(&csv, headings, LENGTH(headings));
    for (size_t i = 0; status == STATUS_OK && i < options_name_count(options); i++)
        status = csv_row(context, options_name(options, i), &csv, failure);
    if (status == STATUS_OK)
        status = csv_out_finish(&csv, NULL, failure);
    fclose(memory);
    if (status == STATUS_OK)
        fputs(rows, context->out); /* all of it or nothing */
    free(rows);
    return status;
}
