/* fuzz_csv.c - a CSV file as "import readings" reads it. The first byte says how it is written. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "csv_look.h"
#include "fuzz.h"
#include "memory.h"

static const struct csv_column columns[] = {
    {.name = "batch", .need = CSV_VALUE},
    {.name = "taken_at", .need = CSV_COLUMN, .holds = CSV_TIME},
    {.name = "made_on", .need = CSV_OPTIONAL, .holds = CSV_TIME},
    {.name = "ph", .need = CSV_OPTIONAL, .holds = CSV_NUMBER, .many = true},
    {.name = "replicate", .need = CSV_OPTIONAL},
    {.name = "note", .need = CSV_OPTIONAL},
};

static enum status
take(const struct csv_row *row, void *payload, struct failure *failure)
{
    size_t *rows = payload;
    const char *text = NULL;
    civil_time moment;
    civil_day day;
    double ph = NAN;
    int64_t replicate = 0;

    ++*rows;
    FUZZ_HOLDS(row->line >= 2);
    if (csv_in_text(row, 0, &text, failure) == STATUS_OK)
        FUZZ_HOLDS(text != NULL && text_is_utf8(text));
    csv_in_time(row, 1, 5, &moment, failure);
    csv_in_day(row, 2, &day, failure);
    if (csv_in_number(row, 3, 0.0, 14.0, &ph, failure) == STATUS_OK)
        FUZZ_HOLDS(isnan(ph) || (ph >= 0.0 && ph <= 14.0));
    if (csv_in_integer(row, 4, 1, 1000, 0, &replicate, failure) == STATUS_OK)
        FUZZ_HOLDS(replicate >= 0 && replicate <= 1000);
    return csv_in_text(row, 5, &text, failure);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct text ignored = {0}, skipped = {0};
    struct csv_look look = {0};
    struct csv_layout layout = {.columns = columns, .columns_length = LENGTH(columns)};
    struct problems problems = {0};
    struct failure failure = {0};
    size_t rows = 0;
    FILE *input;
    enum status status;
    uint8_t *copy;

    if (size < 2)
        return 0;
    layout.separator = "\0,;\t"[data[0] % 4];
    layout.decimal = (data[0] >> 2) % 2 == 0 ? NUMBER_POINT : NUMBER_COMMA;
    layout.dates = (enum csv_date_order)((data[0] >> 3) % 3);
    layout.ignored = (data[0] >> 5) % 2 == 0 ? &ignored : NULL;
    copy = memory_new(size, 1);
    memcpy(copy, data + 1, size - 1);
    input = fmemopen(copy, size - 1, "rb");
    if ((data[0] >> 6) % 2 == 1) { /* as an import: how it is written is found out first */
        csv_look_heading(input, &layout, &look);
        layout.heading_line = look.heading_line;
        layout.separator = look.separator;
        layout.skipped = &skipped;
        layout.ignored = &ignored;
        csv_look_rows(input, "fuzz.csv", &layout, true, true, &problems);
    }
    status = csv_in_read(input, "fuzz.csv", &layout, take, &rows, &problems, &failure);
    FUZZ_HOLDS((status == STATUS_OK) == (problems.count == 0));
    csv_look_clear(&look);
    fclose(input);
    free(copy);
    problems_clear(&problems);
    text_clear(&ignored);
    text_clear(&skipped);
    return 0;
}
