/* fuzz_number.c - numbers, dates, masses, temperatures, recipe lines and steps as people write them. What is
 * taken must come back the same when it is written and read again. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch.h"
#include "clock.h"
#include "fuzz.h"
#include "gear.h"
#include "number.h"
#include "text.h"
#include "units.h"

static void
try_number(const char *text)
{
    struct failure failure = {0};
    double number = NAN, again = NAN;
    char written[NUMBER_TEXT_SIZE], *point = fuzz_text((const uint8_t *)text, strlen(text));

    for (char *comma = point; *comma != '\0'; comma++)
        *comma = *comma == ',' ? '.' : *comma;
    if (number_parse(text, NUMBER_POINT_OR_COMMA, &number, &failure) == STATUS_OK) {
        FUZZ_HOLDS(isfinite(number));
        FUZZ_HOLDS(number == strtod(point, NULL)); /* the C library as the reference */
        FUZZ_HOLDS(number_parse(number_format(number, written), NUMBER_POINT, &again, &failure) == STATUS_OK);
        FUZZ_HOLDS(again == number && signbit(again) == signbit(number));
    }
    free(point);
}

static void
try_dates(const char *text)
{
    struct failure failure = {0};
    civil_day day = 0, day_again = 1;
    civil_time moment = 0, again = 1;
    char day_text[DAY_TEXT_SIZE], moment_text[MOMENT_TEXT_SIZE];

    if (clock_parse_day(text, &day, &failure) == STATUS_OK) {
        FUZZ_HOLDS(strcmp(clock_day_text(day, day_text), text) == 0);
        FUZZ_HOLDS(clock_parse_day(day_text, &day_again, &failure) == STATUS_OK && day_again == day);
    }
    if (clock_parse_moment(text, &moment, &failure) == STATUS_OK) {
        clock_moment_text(moment, moment_text);
        FUZZ_HOLDS(clock_parse_moment(moment_text, &again, &failure) == STATUS_OK && again == moment);
    }
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    char *text = fuzz_text(data, size), *visible;
    struct failure failure = {0};
    struct recipe_line line;
    struct gear gear;
    double value;

    try_number(text);
    try_dates(text);
    units_parse_mass(text, &value, &failure);
    units_parse_temperature(text, &value, &failure);
    for (int kind = RECIPE_FAT; kind <= RECIPE_OTHER; kind++)
        if (recipe_line_parse((enum recipe_kind)kind, text, &line, &failure) == STATUS_OK) {
            FUZZ_HOLDS(isfinite(line.mass_g)); /* its range is for batch_check() */
            recipe_line_clear(&line);
        }
    gear_init(&gear, GEAR_PAPER);
    if (gear_parse_steps(&gear, text, &failure) == STATUS_OK)
        FUZZ_HOLDS(gear.step_count >= 2);
    gear_clear(&gear);
    visible = text_visible(text);
    for (const char *c = visible; *c != '\0'; c++) /* nothing that a terminal obeys */
        FUZZ_HOLDS((unsigned char)*c >= 0x20 && *c != 0x7f);
    FUZZ_HOLDS(text_is_utf8(visible));
    free(visible);
    free(text);
    return 0;
}
