/* report.c - what was made, how it was tested and what follows, as one page. */
#include "report.h"

#include <stdlib.h>

#include "memory.h"
#include "report_part.h"

static void
add_record(struct page *page, const struct report_batch *batch, civil_time now)
{
    page_open_class(page, "div", "record");
    report_add_verdict(page, batch);
    report_add_cure(page, batch);
    report_add_comparison(page, batch);
    report_add_alkali(page, batch);
    report_add_recipe(page, batch, now);
    report_add_method(page, batch);
    report_add_checks(page, batch);
    report_add_readings(page, batch);
    report_add_history(page, batch);
    report_add_questions(page, batch);
    page_close(page);
}

static void
add_batch(struct page *page, const struct report *report, const struct report_batch *batch)
{
    page_open(page, "article");
    report_add_summary(page, batch, report->written_at);
    if (!report->summary)
        add_record(page, batch, report->written_at);
    page_close(page);
}

static void
add_header(struct page *page, const struct report *report, const char *heading)
{
    page_open(page, "header");
    page_element(page, "h1", heading);
    if (report->maker != NULL || report->contact != NULL) {
        page_open_class(page, "p", "maker");
        page_open(page, "strong");
        page_typed(page, report->maker);
        page_close(page);
        page_text(page, report->maker != NULL && report->contact != NULL ? ", " : "");
        page_typed(page, report->contact);
        page_close(page);
    }
    page_close(page);
}

static void
add_footer(struct page *page, const struct report *report)
{
    page_open(page, "footer");
    page_open(page, "p");
    page_text(page, "Written ");
    report_moment(page, report->written_at);
    page_textf(page, " from a soap maker's notebook by curetrace %s; seal ", report->version);
    page_element(page, "code", report->seal);
    page_text(page, report->summary ? "."
                                    : ": with it, curetrace verify --seal tells later whether the notebook "
                                      "still holds what this page was written from. Times are local and "
                                      "written down by the maker.");
    page_close(page);
    page_element(
        page, "p",
        "Before soap is sold or given away, local rules and a licensed cosmetic safety assessor decide.");
    page_close(page);
}

/* On paper each sheet of a batch carries its code, its number and the seal. */
static char *
sheet_style(const struct report *report)
{
    struct text style = {0};

    for (size_t i = 0; i < report->count; i++) {
        text_addf(&style,
                  "article:nth-of-type(%zu) { page: batch%zu; }\n@page batch%zu { @top-left { content: ",
                  i + 1, i + 1, i + 1);
        page_add_style_text(&style, report->batches[i].dossier->batch.code);
        text_add(&style, "; } }\n");
    }
    if (report->count > 0)
        text_addf(&style, "header { page: batch1; }\nfooter { page: batch%zu; }\n", report->count);
    text_add(&style, "@page { @bottom-left { content: \"seal ");
    text_add(&style, report->seal); /* letters, digits and - */
    text_add(&style, "\"; } }\n");
    return text_take(&style);
}

void
report_start(struct page *page, const struct report *report, const char *title, const char *heading)
{
    const char *style[REPORT_STYLE_PIECES + 2] = {NULL};
    char *sheets = sheet_style(report);

    for (size_t i = 0; i < REPORT_STYLE_PIECES; i++)
        style[i] = report_style[i];
    style[REPORT_STYLE_PIECES] = sheets;
    page_start(page, title, style);
    free(sheets);
    page_open(page, "main");
    add_header(page, report, heading);
}

char *
report_finish(struct page *page, const struct report *report)
{
    add_footer(page, report);
    page_close(page);
    return page_finish(page);
}

char *
report_page(const struct report *report)
{
    const char *what = report->summary ? "Batch summary" : "Batch record";
    const char *heading = report->count == 1 ? what : report->summary ? "Batch summaries" : "Batch records";
    struct text title = {0};
    struct page page;

    text_addf(&title, "%s", heading);
    for (size_t i = 0; i < report->count && i < 4; i++)
        text_addf(&title, "%s %s", i == 0 ? "" : ",", report->batches[i].dossier->batch.code);
    report_start(&page, report, text_of(&title), heading);
    text_clear(&title);
    for (size_t i = 0; i < report->count; i++)
        add_batch(&page, report, &report->batches[i]);
    return report_finish(&page, report);
}
