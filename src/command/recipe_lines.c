/* recipe_lines.c - a recipe on the command line. */
#include "recipe_lines.h"

#include <math.h>
#include <string.h>

#include "memory.h"

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
