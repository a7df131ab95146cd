/* gear.c - "gear add|list|show": what is measured with, and whether it is good enough for the question. */
#include <math.h>
#include <stdlib.h>

#include "batch_case.h"
#include "buffer.h"
#include "calibration_store.h"
#include "commands.h"
#include "fitness.h"
#include "gear_store.h"
#include "gear_use.h"
#include "listing.h"
#include "memory.h"
#include "meter_figure.h"
#include "plot_file.h"
#include "session.h"
#include "text.h"

static const struct option_spec add_options[] = {
    {.name = "kind",
     .kind = OPTION_TEXT,
     .value = "KIND",
     .help = "meter, paper, balance, thermometer, or buffer (a bottle of it)"},
    {.name = "resolution-ph", .kind = OPTION_PH, .value = "PH", .help = "meter: its last digit, as in 0.01"},
    {.name = "accuracy-ph",
     .kind = OPTION_PH,
     .value = "PH",
     .help = "meter: the accuracy its maker states, as in 0.02"},
    {.name = "atc", .kind = OPTION_FLAG, .help = "meter: it has automatic temperature compensation"},
    {.name = "steps",
     .kind = OPTION_TEXT,
     .value = "LIST",
     .help = "paper: the printed steps, as in 1-14, 5.5..9 by 0.5 or 4.5,5,6"},
    {.name = "readability-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .help = "balance: its last digit, as in 0.01"},
    {.name = "resolution-c",
     .kind = OPTION_NUMBER,
     .value = "DEGC",
     .help = "thermometer: its last digit, as in 0.1"},
    {.name = "accuracy-c",
     .kind = OPTION_NUMBER,
     .value = "DEGC",
     .help = "thermometer: its stated accuracy"},
    {.name = "buffer", .kind = OPTION_TEXT, .value = "NAME", .help = "bottle: which buffer, as in borax"},
    {.name = "expires",
     .kind = OPTION_DAY,
     .value = "DATE",
     .help = "bottle or paper: the date printed on it"},
    {.name = "default", .kind = OPTION_FLAG, .help = "the one of its kind that is meant when none is named"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "whatever should be remembered"},
    {.name = NULL},
};
static const struct option_spec list_options[] = {
    {.name = "names", .kind = OPTION_FLAG, .help = "the names alone, one a line"},
    {.name = NULL},
};
static const struct option_spec show_options[] = {
    {.name = "plot",
     .kind = OPTION_FILE,
     .value = "FILE",
     .help = "of a meter: slope and offset by date; FILE ends in .svg, .png or .pdf"},
    {.name = "size", .kind = OPTION_TEXT, .value = "WxH", .help = PLOT_SIZE_HELP},
    {.name = "script", .kind = OPTION_FLAG, .help = PLOT_SCRIPT_HELP},
    {.name = NULL},
};

static enum status
read_buffer(const char *name, struct gear *gear, struct failure *failure)
{
    const struct buffer *buffer;
    enum status status = buffer_find(name, &buffer, failure);

    if (status == STATUS_OK)
        gear->buffer = memory_copy(buffer->name);
    return status;
}

static enum status
read_gear(const struct context *context, const struct options *options, struct gear *gear,
          struct failure *failure)
{
    enum gear_kind kind;
    enum status status;

    if (!options_has(options, "kind"))
        return failure_set(failure, STATUS_USAGE,
                           "--kind is missing: meter, paper, balance, thermometer or buffer");
    status = gear_kind_parse(options_text(options, "kind"), &kind, failure);
    if (status != STATUS_OK)
        return status;
    gear_init(gear, kind);
    gear->name = memory_copy(options_name(options, 0));
    gear->note = memory_copy(options_text(options, "note"));
    gear->resolution_ph = options_number(options, "resolution-ph");
    gear->accuracy_ph = options_number(options, "accuracy-ph");
    gear->atc = options_has(options, "atc");
    gear->readability_g = options_number(options, "readability-g");
    gear->resolution_c = options_number(options, "resolution-c");
    gear->accuracy_c = options_number(options, "accuracy-c");
    gear->expires_on = options_day(options, "expires");
    gear->added_at = context_now(context);
    if (options_has(options, "steps"))
        status = gear_parse_steps(gear, options_text(options, "steps"), failure);
    if (status == STATUS_OK && options_has(options, "buffer"))
        status = read_buffer(options_text(options, "buffer"), gear, failure);
    return status == STATUS_OK ? gear_check(gear, failure) : status;
}

/* "limited: twice its uncertainty is 0.12 pH ..." */
static enum status
print_fitness(const struct context *context, const struct gear *gear, struct failure *failure)
{
    static const enum tone tones[] = {TONE_GOOD, TONE_DOUBT, TONE_BAD};
    struct fitness fitness = {0};
    enum status status = fitness_of_gear(gear, context_today(context), LIMIT_PH_USUAL, &fitness, failure);

    if (status != STATUS_OK)
        return status;
    fprintf(context->out, "%s%s%s: ", context_tone(context, tones[fitness.level]),
            fitness_level_word(fitness.level), context_tone(context, TONE_PLAIN));
    listing_paragraph(context->out, context->width - 10, 4, fitness.sentence);
    fitness_clear(&fitness);
    return STATUS_OK;
}

static enum status
run_add(struct context *context, const struct options *options, struct failure *failure)
{
    struct gear gear = {0};
    enum status status = read_gear(context, options, &gear, failure);

    if (status == STATUS_OK)
        status = gear_store_add(context->store, &gear, failure);
    if (status == STATUS_OK && options_has(options, "default"))
        status = gear_use_default(context, &gear, "added as the usual one", failure);
    if (status == STATUS_OK) {
        fprintf(context->out, "added %s %s\n", gear_kind_word(gear.kind), gear.name);
        status = print_fitness(context, &gear, failure);
    }
    if (status == STATUS_OK && gear.kind == GEAR_METER)
        context_next(context, "calibrate", gear.name, NULL);
    gear_clear(&gear);
    return status;
}

/* What the gear says about itself, in one phrase; given: free() it. */
static char *
describe(const struct gear *gear)
{
    struct text text = {0};
    char date[DAY_TEXT_SIZE], *steps;

    switch (gear->kind) {
    case GEAR_METER:
        text_addf(&text, "reads to %g pH", gear->resolution_ph);
        if (!isnan(gear->accuracy_ph))
            text_addf(&text, ", accurate to %g pH", gear->accuracy_ph);
        text_add(&text, gear->atc ? ", compensates temperature" : "");
        break;
    case GEAR_PAPER:
        steps = gear_steps_text(gear);
        text_addf(&text, "steps %s", steps);
        free(steps);
        break;
    case GEAR_BALANCE:
        text_addf(&text, "reads to %g g", gear->readability_g);
        break;
    case GEAR_THERMOMETER:
        text_addf(&text, "reads to %g degC", gear->resolution_c);
        if (!isnan(gear->accuracy_c))
            text_addf(&text, ", accurate to %g degC", gear->accuracy_c);
        break;
    case GEAR_BUFFER:
    default:
        text_add(&text, gear->buffer);
    }
    if (gear->expires_on != DAY_NONE)
        text_addf(&text, ", good until %s", clock_day_text(gear->expires_on, date));
    text_add(&text, gear->retired ? ", retired" : gear->usual ? ", the usual one" : "");
    return text_take(&text);
}

static void
clear_all(struct gear *gear, size_t count)
{
    for (size_t i = 0; i < count; i++)
        gear_clear(&gear[i]);
    free(gear);
}

/* One line each, as completion and scripts take it. */
static void
print_names(const struct gear *gear, size_t count, FILE *out)
{
    for (size_t i = 0; i < count; i++) {
        char *visible = text_visible(gear[i].name);

        fprintf(out, "%s\n", visible);
        free(visible);
    }
}

static enum status
run_list(struct context *context, const struct options *options, struct failure *failure)
{
    struct listing listing = {0};
    struct gear *gear = NULL;
    size_t count = 0;
    enum status status = gear_store_list(context->store, &gear, &count, failure);

    if (status != STATUS_OK)
        return status;
    if (options_has(options, "names")) {
        print_names(gear, count, context->out);
        clear_all(gear, count);
        return STATUS_OK;
    }
    listing_column(&listing, "name", LISTING_LEFT);
    listing_column(&listing, "kind", LISTING_LEFT);
    listing_column(&listing, "what it says of itself", LISTING_FLEXIBLE);
    for (size_t i = 0; i < count; i++) {
        char *described = describe(&gear[i]);

        listing_cell(&listing, gear[i].name);
        listing_cell(&listing, gear_kind_word(gear[i].kind));
        listing_cell(&listing, described);
        free(described);
    }
    if (count == 0)
        fputs("no gear yet\n", context->out);
    else
        listing_print(&listing, context->out, context->width);
    if (count == 0)
        context_next(context, "gear", "add", "bench", "--kind", "meter", "--resolution-ph", "0.01", NULL);
    listing_clear(&listing);
    clear_all(gear, count);
    return STATUS_OK;
}

static void
list_calibrations(const struct context *context, const struct calibration *calibrations, size_t count)
{
    struct listing listing = {0};
    char at[MOMENT_TEXT_SIZE];

    listing_column(&listing, "no.", LISTING_RIGHT);
    listing_column(&listing, "checked at", LISTING_LEFT);
    listing_column(&listing, "purpose", LISTING_LEFT);
    listing_column(&listing, "slope %", LISTING_RIGHT);
    listing_column(&listing, "offset mV", LISTING_RIGHT);
    listing_column(&listing, "verdict", LISTING_LEFT);
    listing_column(&listing, "reason", LISTING_FLEXIBLE);
    for (size_t i = 0; i < count; i++) {
        listing_cellf(&listing, "%lld", (long long)calibrations[i].id);
        listing_cell(&listing, clock_moment_text(calibrations[i].taken_at, at));
        listing_cell(&listing, calibrations[i].withdrawn ? "withdrawn"
                               : calibrations[i].declared
                                   ? "own routine"
                                   : calibration_purpose_word(calibrations[i].purpose));
        if (isnan(calibrations[i].slope_percent)) {
            listing_cell(&listing, "-");
            listing_cell(&listing, "-");
        } else {
            listing_cellf(&listing, "%.1f", calibrations[i].slope_percent);
            listing_cellf(&listing, "%.1f", calibrations[i].offset_mv);
        }
        listing_cell(&listing, calibration_verdict_word(calibrations[i].verdict));
        listing_cell(&listing, calibrations[i].reason);
    }
    listing_print(&listing, context->out, context->width);
    listing_clear(&listing);
}

static void
list_buffers(const struct context *context, const struct calibration *calibrations, size_t count)
{
    struct listing listing = {0};

    listing_column(&listing, "buffer no.", LISTING_RIGHT);
    listing_column(&listing, "of", LISTING_RIGHT);
    listing_column(&listing, "buffer", LISTING_FLEXIBLE);
    listing_column(&listing, "degC", LISTING_RIGHT);
    listing_column(&listing, "shown", LISTING_RIGHT);
    for (size_t i = 0; i < count; i++) {
        for (size_t k = 0; k < calibrations[i].point_count; k++) {
            const struct calibration_point *point = &calibrations[i].points[k];

            listing_cellf(&listing, "%lld", (long long)point->id);
            listing_cellf(&listing, "%lld", (long long)calibrations[i].id);
            listing_cell(&listing, buffer_everyday_name(point->buffer));
            listing_cellf(&listing, isnan(point->temperature_c) ? "-" : "%.1f", point->temperature_c);
            if (!isnan(point->displayed_ph))
                listing_cellf(&listing, "%.2f", point->displayed_ph);
            else if (!isnan(point->potential_mv))
                listing_cellf(&listing, "%.1f mV", point->potential_mv);
            else
                listing_cell(&listing, "-");
        }
    }
    if (listing.cell_count > 0)
        listing_print(&listing, context->out, context->width);
    listing_clear(&listing);
}

static enum status
draw_calibrations(const struct context *context, const struct options *options, const struct gear *meter,
                  const struct calibration *calibrations, size_t count, struct failure *failure)
{
    struct figure figure;
    enum status status = meter_figure(meter, calibrations, count, &figure, failure);

    if (status != STATUS_OK)
        return status;
    status = plot_file_write(context, options, &figure, failure);
    figure_clear(&figure);
    return status;
}

static enum status
show_calibrations(struct context *context, const struct options *options, const struct gear *meter,
                  struct failure *failure)
{
    struct calibration *calibrations = NULL;
    size_t count = 0;
    enum status status = calibration_store_list(context->store, meter->id, &calibrations, &count, failure);

    if (status != STATUS_OK)
        return status;
    if (count == 0) {
        fputs("not calibrated yet\n", context->out);
        context_next(context, "calibrate", meter->name, NULL);
    } else {
        list_calibrations(context, calibrations, count);
        list_buffers(context, calibrations, count);
    }
    if (options_has(options, "plot"))
        status = draw_calibrations(context, options, meter, calibrations, count, failure);
    for (size_t i = 0; i < count; i++)
        calibration_clear(&calibrations[i]);
    free(calibrations);
    return status;
}

/* How the paper reads soap, learned from the maker's own pairs with a meter. */
static enum status
show_bias(struct context *context, const struct gear *paper, struct failure *failure)
{
    struct paper_bias bias = {0};
    char *sentence;
    enum status status = batch_case_paper_bias(context->store, paper->id, &bias, failure);

    if (status != STATUS_OK)
        return status;
    sentence = paper_bias_sentence(&bias);
    listing_paragraph(context->out, context->width, 0, sentence);
    free(sentence);
    return STATUS_OK;
}

static enum status
run_show(struct context *context, const struct options *options, struct failure *failure)
{
    struct gear *gear = NULL;
    size_t count = 0;
    enum status status = gear_store_list(context->store, &gear, &count, failure);
    const char *name = options_name(options, 0);
    const struct gear *found = NULL;

    if (status == STATUS_OK)
        status = plot_file_check(options, failure);
    if (status != STATUS_OK) {
        clear_all(gear, count);
        return status;
    }
    for (size_t i = 0; i < count; i++)
        if (text_same(gear[i].name, name))
            found = &gear[i];
    if (found == NULL) {
        status = failure_set(failure, STATUS_MISSING,
                             "there is no gear '%.60s' (gear list shows what there is)", name);
    } else if (options_has(options, "plot") && found->kind != GEAR_METER) {
        status = failure_set(failure, STATUS_USAGE,
                             "--plot shows a meter's calibrations, and '%.60s' is no meter", found->name);
    } else {
        char *described = describe(found);

        fprintf(context->out, "%s %s: %s\n", gear_kind_word(found->kind), found->name, described);
        free(described);
        status = print_fitness(context, found, failure);
        if (status == STATUS_OK && found->kind == GEAR_METER)
            status = show_calibrations(context, options, found, failure);
        if (status == STATUS_OK && found->kind == GEAR_PAPER)
            status = show_bias(context, found, failure);
    }
    clear_all(gear, count);
    return status;
}

const struct command gear_add_command = {
    .name = "gear add",
    .names = "NAME --kind KIND",
    .fewest = 1,
    .most = 1,
    .summary =
        "record a meter, paper, balance, thermometer or bottle of buffer, and hear whether it is good enough",
    .example = "curetrace gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02",
    .options = add_options,
    .needs = COMMAND_WRITES_STORE,
    .run = run_add,
};
const struct command gear_list_command = {
    .name = "gear list",
    .names = "",
    .summary = "list the gear",
    .options = list_options,
    .needs = COMMAND_READS_STORE,
    .run = run_list,
};
const struct command gear_show_command = {
    .name = "gear show",
    .names = "NAME",
    .fewest = 1,
    .most = 1,
    .summary = "show one piece of gear: how good it is, how a meter was calibrated, how a paper reads",
    .options = show_options,
    .needs = COMMAND_READS_STORE,
    .run = run_show,
};
