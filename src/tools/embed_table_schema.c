/* embed_table_schema.c - the reference tables, a column a line.
 *
 * The ranges are wide enough for every real value and narrow enough to catch a slipped decimal point. */
#include "embed_table_schema.h"

#include <string.h>

static const struct schema schemas[] = {
    {.name = "acid_constants",
     .row = "acid_constant_row",
     .columns = {{.name = "acid", .kind = COLUMN_TEXT},
                 {.name = "step", .kind = COLUMN_NUMBER, .low = 1, .high = 3},
                 {.name = "pka_25c", .kind = COLUMN_NUMBER, .low = 0, .high = 14},
                 {.name = "enthalpy_kj_per_mol",
                  .kind = COLUMN_NUMBER,
                  .low = -50,
                  .high = 80,
                  .may_be_empty = true},
                 {.name = "source", .kind = COLUMN_TEXT}},
     .columns_length = 5,
     .groups = {0},
     .groups_length = 1,
     .rising = 1},
    {.name = "buffers",
     .row = "buffer_row",
     .columns = {{.name = "buffer", .kind = COLUMN_TEXT},
                 {.name = "temperature_c", .kind = COLUMN_NUMBER, .low = 0, .high = 100},
                 {.name = "ph", .kind = COLUMN_NUMBER, .low = 1, .high = 14},
                 {.name = "source", .kind = COLUMN_TEXT},
                 {.name = "role", .kind = COLUMN_WORD, .words = "use|check"}},
     .columns_length = 5,
     .groups = {0, 4},
     .groups_length = 2,
     .rising = 1},
    {.name = "fats",
     .row = "fat_row",
     .columns =
         {{.name = "fat", .kind = COLUMN_TEXT},
          {.name = "sv_min_mg_koh_per_g", .kind = COLUMN_NUMBER, .low = 50, .high = 300},
          {.name = "sv_max_mg_koh_per_g", .kind = COLUMN_NUMBER, .low = 50, .high = 300, .ascends = true},
          {.name = "source", .kind = COLUMN_TEXT}},
     .columns_length = 4},
    {.name = "lye_consumers",
     .row = "lye_consumer_row",
     .columns = {{.name = "additive", .kind = COLUMN_TEXT},
                 {.name = "g_naoh_per_g", .kind = COLUMN_NUMBER, .low = 0.01, .high = 2},
                 {.name = "source", .kind = COLUMN_TEXT}},
     .columns_length = 3},
};

const struct schema *
schema_find(const char *name)
{
    for (size_t i = 0; i < sizeof schemas / sizeof schemas[0]; i++) {
        if (strcmp(schemas[i].name, name) == 0)
            return &schemas[i];
    }
    return NULL;
}
