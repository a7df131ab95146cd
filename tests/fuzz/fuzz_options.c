/* fuzz_options.c - the words of a command line, each ended by a line feed. */
#include <stdlib.h>
#include <string.h>

#include "fuzz.h"
#include "options.h"

static const struct option_spec specs[] = {
    {.name = "flag", .kind = OPTION_FLAG, .help = ""},
    {.name = "text", .kind = OPTION_TEXT, .value = "TEXT", .help = "", .many = true},
    {.name = "file", .kind = OPTION_FILE, .value = "FILE", .help = "", .optional = true},
    {.name = "number", .kind = OPTION_NUMBER, .value = "N", .help = "", .low = 0, .high = 14, .many = true},
    {.name = "integer", .kind = OPTION_INTEGER, .value = "N", .help = ""},
    {.name = "mass-g", .kind = OPTION_MASS, .value = "GRAMS", .help = "", .many = true},
    {.name = "temperature-c", .kind = OPTION_TEMPERATURE, .value = "DEGC", .help = "", .many = true},
    {.name = "day", .kind = OPTION_DAY, .value = "DATE", .help = ""},
    {.name = "time", .kind = OPTION_TIME, .value = "TIME", .help = ""},
    {.name = NULL},
};

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size), *rest = text, *words[64];
    struct options *options = NULL;
    struct failure failure = {0};
    int count = 0;
    enum status status;

    while (count < 64 && (words[count] = strsep(&rest, "\n")) != NULL)
        count++;
    status = options_parse(specs, count, words, 1775000000, &options, &failure);
    FUZZ_HOLDS(status == STATUS_OK || failure.text[0] != '\0');
    if (status == STATUS_OK) {
        double number = options_number_or(options, "number", 7.0);

        FUZZ_HOLDS(number >= 0.0 && number <= 14.0);
        FUZZ_HOLDS(options_name_count(options) + options_written(options) <= (size_t)count);
    }
    options_close(options);
    free(text);
    return 0;
}
