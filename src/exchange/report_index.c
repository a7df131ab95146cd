/* report_index.c - all batches of a notebook on one page. */
#include "report_index.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "due.h"
#include "memory.h"
#include "report_part.h"
#include "series.h"

/* The small curve, in units of its drawing. */
static const double curve_width = 120.0, curve_height = 36.0, curve_margin = 3.0;

enum need { NEED_TROUBLE, NEED_HOLD, NEED_DAY, NEED_NOTHING };

/* Owns its texts and arrays. */
struct index_line {
    char *code, *title, *link;
    char *refused;              /* NULL: it can be told */
    char *next;                 /* "test"; NULL: nothing is asked for */
    const char *verdict, *word; /* for the machine and for people; lent for ever */
    enum batch_state state;
    enum batch_end end;
    enum need need;
    civil_day poured_on, next_on;
    int age_d, overdue_d;
    double ph, half_ph, limit_ph; /* NAN: none */
    civil_time at;
    double *ages_d, *phs; /* of the curve */
    size_t count;
};

static struct index_line *
add_line(struct report_index *index, const char *code)
{
    index->lines = memory_room(index->lines, index->count, &index->capacity, sizeof *index->lines);
    index->lines[index->count] = (struct index_line){.code = memory_copy(code),
                                                     .ph = NAN,
                                                     .half_ph = NAN,
                                                     .limit_ph = NAN,
                                                     .next_on = DAY_NONE,
                                                     .at = MOMENT_NONE};
    return &index->lines[index->count++];
}

/* The sitting that is named: the one that decides, else the latest. */
static void
take_ph(struct index_line *line, const struct conclusion *conclusion)
{
    const struct verdict *sitting = conclusion->deciding;

    if (sitting == NULL && conclusion->sittings.count > 0)
        sitting = &conclusion->sittings.verdicts[conclusion->sittings.count - 1];
    if (sitting == NULL)
        return;
    line->ph = sitting->ph_at_reference;
    line->half_ph = sitting->half_ph;
    line->limit_ph = sitting->limit_ph;
}

static void
take_curve(struct index_line *line, const struct conclusion *conclusion)
{
    struct series series = {0};

    series_of(&conclusion->all, &series);
    line->count = series.count;
    line->ages_d = memory_new(series.count, sizeof *line->ages_d);
    line->phs = memory_new(series.count, sizeof *line->phs);
    for (size_t i = 0; i < series.count; i++) {
        line->ages_d[i] = series.points[i].age_d;
        line->phs[i] = series.points[i].ph;
    }
    series_clear(&series);
}

static void
take_next(struct index_line *line, const struct dossier *dossier, const struct conclusion *conclusion,
          const struct policy *policy, civil_day today)
{
    enum { AHEAD_D = 3650 };
    struct due_list due = {0};

    due_of_batch(dossier, conclusion, policy, today, AHEAD_D, &due);
    due_sort(&due);
    if (dossier->batch.state == BATCH_RELEASED && conclusion_holds(conclusion))
        line->need = NEED_HOLD;
    else
        line->need = due.count > 0 ? NEED_DAY : NEED_NOTHING;
    if (due.count > 0) {
        line->next = memory_copy(due.items[0].what);
        line->next_on = due.items[0].due_on;
        line->overdue_d = due.items[0].overdue_d;
    }
    due_list_clear(&due);
}

void
report_index_add(struct report_index *index, const struct dossier *dossier,
                 const struct conclusion *conclusion, const struct policy *policy, civil_day today,
                 const char *link)
{
    const struct batch *batch = &dossier->batch;
    struct index_line *line = add_line(index, batch->code);

    line->title = batch->title == NULL ? NULL : memory_copy(batch->title);
    line->link = link == NULL ? NULL : memory_copy(link);
    line->state = batch->state;
    line->end = dossier->closed.end;
    line->poured_on = batch->made_on;
    line->age_d = today - batch->made_on;
    line->verdict = verdict_word(conclusion->verdict);
    line->word = report_conclusion_text(conclusion);
    if (conclusion->basis != CONCLUSION_NOTHING)
        line->at = conclusion->at;
    take_ph(line, conclusion);
    take_curve(line, conclusion);
    take_next(line, dossier, conclusion, policy, today);
}

void
report_index_refuse(struct report_index *index, const char *code, const char *why)
{
    struct index_line *line = add_line(index, code);

    line->refused = memory_copy(why);
    line->need = NEED_TROUBLE;
}

void
report_index_clear(struct report_index *index)
{
    for (size_t i = 0; i < index->count; i++) {
        struct index_line *line = &index->lines[i];

        free(line->code);
        free(line->title);
        free(line->link);
        free(line->refused);
        free(line->next);
        free(line->ages_d);
        free(line->phs);
    }
    free(index->lines);
    *index = (struct report_index){0};
}

/* Rule 2. */
static int
by_need(const void *a, const void *b)
{
    const struct index_line *x = a, *y = b;

    if (x->need != y->need)
        return x->need < y->need ? -1 : 1;
    if (x->next_on != y->next_on)
        return x->next_on < y->next_on ? -1 : 1;
    if (x->poured_on != y->poured_on)
        return x->poured_on < y->poured_on ? -1 : 1;
    return strcmp(x->code, y->code);
}

/* -- cells -- */

static void
add_batch(struct page *page, const struct index_line *line)
{
    char day[DAY_TEXT_SIZE];

    page_cell_open(page);
    if (line->link != NULL) {
        page_open(page, "a");
        page_attribute(page, "href", line->link);
        page_typed(page, line->code);
        page_close(page);
    } else {
        page_typed(page, line->code);
    }
    if (line->title != NULL) {
        page_text(page, " ");
        page_typed(page, line->title);
    }
    if (line->refused == NULL)
        page_elementf(page, "small", "poured %s, %d day%s ago", clock_day_text(line->poured_on, day),
                      line->age_d, line->age_d == 1 ? "" : "s");
    page_cell_close(page);
}

static void
add_state(struct page *page, const struct index_line *line)
{
    page_cell_open(page);
    page_open_class(page, "span", "marked");
    page_attribute(page, "data-state", batch_state_word(line->state));
    report_add_state_mark(page, line->state);
    page_text(page, line->state == BATCH_HELD      ? "HELD"
                    : line->state == BATCH_IN_CURE ? "in cure"
                                                   : batch_state_word(line->state));
    page_close(page);
    if (line->end != BATCH_NOT_CLOSED)
        page_elementf(page, "small", "closed: %s", batch_end_text(line->end));
    page_cell_close(page);
}

static void
add_verdict(struct page *page, const struct index_line *line)
{
    page_cell_open(page);
    page_open_class(page, "span", "found");
    page_attribute(page, "data-verdict", line->verdict);
    page_element(page, "strong", line->word);
    page_close(page);
    if (line->at != MOMENT_NONE) {
        page_open(page, "small");
        report_moment(page, line->at);
        page_close(page);
    }
    page_cell_close(page);
}

static double
curve_x(const struct index_line *line, double age_d)
{
    double last_d = fmax(line->ages_d[line->count - 1], 1.0);

    return curve_margin + (curve_width - 2.0 * curve_margin) * age_d / last_d;
}

/* From what sound soap reads to above the limit, and wider where a batch is outside. */
static double
curve_y(const struct index_line *line, double ph)
{
    double low_ph = 9.0, high_ph = 11.5;

    for (size_t i = 0; i < line->count; i++) {
        low_ph = fmin(low_ph, line->phs[i]);
        high_ph = fmax(high_ph, line->phs[i]);
    }
    return curve_height - curve_margin -
           (curve_height - 2.0 * curve_margin) * (ph - low_ph) / (high_ph - low_ph);
}

static void
add_curve(struct page *page, const struct index_line *line)
{
    struct text points = {0};
    char *words;

    page_cell_open(page);
    if (line->count == 0) {
        page_cell_close(page);
        return;
    }
    words =
        text_format("%zu result%s, from pH %.2f to pH %.2f; limit %g", line->count,
                    line->count == 1 ? "" : "s", line->phs[0], line->phs[line->count - 1], line->limit_ph);
    for (size_t i = 0; i < line->count; i++)
        text_addf(&points, "%s%.1f,%.1f", i == 0 ? "" : " ", curve_x(line, line->ages_d[i]),
                  curve_y(line, line->phs[i]));
    page_open_class(page, "svg", "curve");
    page_attribute(page, "viewBox", "0 0 120 36");
    page_attribute(page, "role", "img");
    page_attribute(page, "aria-label", words);
    page_open_class(page, "line", "limit");
    page_attribute_number(page, "x1", 0.0);
    page_attribute_number(page, "x2", curve_width);
    page_attribute_number(page, "y1", curve_y(line, line->limit_ph));
    page_attribute_number(page, "y2", curve_y(line, line->limit_ph));
    page_close(page);
    page_open(page, "polyline");
    page_attribute(page, "points", text_of(&points));
    page_close(page);
    page_open(page, "circle");
    page_attribute_number(page, "cx", curve_x(line, line->ages_d[line->count - 1]));
    page_attribute_number(page, "cy", curve_y(line, line->phs[line->count - 1]));
    page_attribute_number(page, "r", 2.5);
    page_close(page);
    page_close(page);
    page_cell_close(page);
    text_clear(&points);
    free(words);
}

static void
add_next(struct page *page, const struct index_line *line)
{
    char day[DAY_TEXT_SIZE];

    page_cell_open(page);
    if (line->next != NULL) {
        page_typed(page, line->next);
        if (line->overdue_d > 0)
            page_elementf(page, "small", "since %s: %d day%s overdue", clock_day_text(line->next_on, day),
                          line->overdue_d, line->overdue_d == 1 ? "" : "s");
        else
            page_elementf(page, "small", line->overdue_d == 0 ? "%s, today" : "%s",
                          clock_day_text(line->next_on, day));
    }
    page_cell_close(page);
}

static void
add_row(struct page *page, const struct index_line *line)
{
    page_row(page, NULL);
    add_batch(page, line);
    if (line->refused != NULL) {
        page_cell(page, "");
        page_cellf(page, "cannot be told: %s", line->refused);
        for (int i = 0; i < 3; i++) /* pH to next */
            page_cell(page, "");
    } else {
        add_state(page, line);
        add_verdict(page, line);
        if (isnan(line->ph))
            page_cell(page, "");
        else
            page_cellf(page, "%.2f +/- %.2f", line->ph, line->half_ph);
        add_curve(page, line);
        add_next(page, line);
    }
    page_row_close(page);
}

char *
report_index_page(struct report_index *index, const struct report *report)
{
    static const char *const headings[] = {"Batch", "State", "Verdict", "pH at 40 degC, 1 %",
                                           "Curve", "Next"};
    struct page page;

    qsort(index->lines, index->count, sizeof *index->lines, by_need);
    report_start(&page, report, "Batches of a notebook", "Batches of a notebook");
    page_table_open(&page, "All batches, first those that need the maker", headings, LENGTH(headings));
    for (size_t i = 0; i < index->count; i++)
        add_row(&page, &index->lines[i]);
    page_table_close(&page);
    page_element(&page, "p",
                 "A verdict that rests on pH does not certify that a bar is free of lye; the record of each "
                 "batch says what was tested and how sure that is.");
    return report_finish(&page, report);
}

char *
report_record_name(const char *code)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-.";
    struct text name = {0};

    for (const char *c = code; *c != '\0'; c++)
        if (strchr(plain, *c) != NULL && !(c == code && *c == '.'))
            text_add_bytes(&name, c, 1);
        else
            text_addf(&name, "_%02x", (unsigned)(unsigned char)*c);
    text_add(&name, ".html");
    return text_take(&name);
}
