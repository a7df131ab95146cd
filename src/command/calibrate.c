/* calibrate.c - "calibrate": what a meter showed in buffers, whether that is good enough, and how it drifts.
 *
 * Rules
 * (1) A point is written BUFFER@TEMPERATURE=SHOWN, where SHOWN is a pH or, with mV behind it, a potential.
 * (2) --check is a look afterwards: it corrects nothing, and shows how far the meter drifted.
 * (3) --own-routine names the buffers of the meter's own routine; there are no values to judge.
 * (4) A bottle may be named in a buffer's place. Where only the buffer is, gear_store_bottle() tells which is meant;
 *     where there are several the screen says which that was.
 * (5) A check, or a calibration that is backdated, speaks of readings on record: batches that come out
 *     doubtful or lye-heavy by it are held at once. */
#include "calibrate.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "batch_state.h"
#include "buffer.h"
#include "calibration_store.h"
#include "commands.h"
#include "gear_store.h"
#include "interrupt.h"
#include "listing.h"
#include "memory.h"
#include "meter_check.h"
#include "number.h"
#include "text.h"
#include "units.h"

static const struct option_spec calibrate_options[] = {
    {.name = "buffer",
     .kind = OPTION_TEXT,
     .value = "NAME@DEGC=SHOWN",
     .many = true,
     .help = "what the meter showed in a buffer: borax@24.5=9.21, or phosphate@24.6=-6.4mV"},
    {.name = "kitchen-made",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .many = true,
     .help = "this buffer was made in the kitchen: less certain than a bought one"},
    {.name = "check",
     .kind = OPTION_FLAG,
     .help = "a look at buffers after readings: shows drift, corrects nothing"},
    {.name = "own-routine",
     .kind = OPTION_FLAG,
     .help = "made with the meter's own routine: --buffer NAME alone, no values"},
    {.name = "at",
     .kind = OPTION_TIME,
     .value = "TIME",
     .help = "when, as in 2026-03-04T09:40; now when not said"},
    {.name = "how-to", .kind = OPTION_FLAG, .help = "list the buffers, and how two are made in a kitchen"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "whatever should be remembered"},
    {.name = NULL},
};

/* What the meter showed, "9,21" or "176.4mV". */
enum status
calibrate_parse_shown(const char *text, struct calibration_point *point, struct failure *failure)
{
    char *copy = memory_copy(text), *shown = text_trim(copy);
    size_t length = strlen(shown);
    bool potential = length > 2 && text_same(shown + length - 2, "mV");
    enum status status;

    if (potential)
        shown[length - 2] = '\0';
    status = potential ? number_parse_in(text_trim(shown), NUMBER_POINT_OR_COMMA, "the potential", -1000,
                                         1000, &point->potential_mv, failure)
                       : number_parse_in(shown, NUMBER_POINT_OR_COMMA, "the pH shown", 0, 14,
                                         &point->displayed_ph, failure);
    free(copy);
    return status;
}

static enum status
parse_temperature(const char *text, const struct buffer *buffer, struct calibration_point *point,
                  struct failure *failure)
{
    enum status status = units_parse_temperature(text, &point->temperature_c, failure);

    return status == STATUS_OK ? buffer_ph(buffer, point->temperature_c, &point->table_ph, failure) : status;
}

/* Rule 4: a buffer's name, or a bottle's. */
static enum status
find_buffer(struct store *store, const char *name, const struct buffer **ret_buffer, int64_t *ret_bottle_id,
            struct failure *failure)
{
    struct gear bottle = {0};
    struct failure no_bottle = {0};
    enum status status = buffer_find(name, ret_buffer, failure);

    if (status != STATUS_MISSING ||
        gear_store_find(store, GEAR_BUFFER, name, &bottle, &no_bottle) != STATUS_OK)
        return status;
    status = buffer_find(bottle.buffer, ret_buffer, failure);
    *ret_bottle_id = bottle.id;
    gear_clear(&bottle);
    return status;
}

static enum status
start_point(struct store *store, const char *name, struct calibration_point *point,
            const struct buffer **ret_buffer, struct failure *failure)
{
    enum status status;

    *point = (struct calibration_point){
        .temperature_c = NAN, .displayed_ph = NAN, .potential_mv = NAN, .table_ph = NAN};
    status = find_buffer(store, name, ret_buffer, &point->bottle_id, failure);
    if (status == STATUS_OK)
        point->buffer = memory_copy((*ret_buffer)->name);
    return status;
}

/* Rules 1 and 3. */
static enum status
parse_point(struct store *store, const char *text, bool declared, struct calibration_point *ret_point,
            struct failure *failure)
{
    char *copy = memory_copy(text), *at = strchr(copy, '@'), *equals = at == NULL ? NULL : strchr(at, '=');
    const struct buffer *buffer;
    struct calibration_point point = {0};
    enum status status;

    if (declared ? at != NULL : equals == NULL) {
        status = failure_set(failure, STATUS_FORMAT,
                             declared ? "with --own-routine a buffer is only named, as in --buffer borax"
                                      : "expected NAME@DEGC=SHOWN as in borax@24.5=9.21");
        goto out;
    }
    if (at != NULL)
        *at = '\0';
    status = start_point(store, text_trim(copy), &point, &buffer, failure);
    if (status == STATUS_OK && declared)
        status = buffer_ph(buffer, 25.0, &point.table_ph, failure); /* only says what they bracket */
    if (status == STATUS_OK && !declared) {
        *equals = '\0';
        status = parse_temperature(at + 1, buffer, &point, failure);
        if (status == STATUS_OK)
            status = calibrate_parse_shown(equals + 1, &point, failure);
    }
    if (status == STATUS_OK)
        *ret_point = point;
    else
        free(point.buffer);
out:
    free(copy);
    return status == STATUS_OK ? STATUS_OK : failure_at(failure, "--buffer %.60s: ", text);
}

static enum status
mark_kitchen_made(const struct options *options, struct calibration *calibration, struct failure *failure)
{
    for (size_t i = 0; i < options_count(options, "kitchen-made"); i++) {
        const struct buffer *buffer;
        bool found = false;
        enum status status = buffer_find(options_text_at(options, "kitchen-made", i), &buffer, failure);

        if (status == STATUS_OK && buffer->how_to == NULL)
            status = failure_set(failure, STATUS_CONFLICT, "%s cannot be made in a kitchen", buffer->title);
        if (status != STATUS_OK)
            return failure_at(failure, "--kitchen-made: ");
        for (size_t k = 0; k < calibration->point_count; k++) {
            if (strcmp(calibration->points[k].buffer, buffer->name) == 0) {
                calibration->points[k].kitchen_made = true;
                found = true;
            }
        }
        if (!found)
            return failure_set(failure, STATUS_USAGE, "--kitchen-made: %s is none of the buffers given",
                               buffer->name);
    }
    return STATUS_OK;
}

static void
print_how_to(const struct context *context)
{
    for (size_t i = 0; i < buffer_count(); i++) {
        const struct buffer *buffer = buffer_at(i);

        fprintf(context->out, "%-18s ", buffer->name);
        listing_paragraph(context->out, context->width - 19, 19, buffer->title);
        if (buffer->how_to != NULL) {
            fputs("    ", context->out);
            listing_paragraph(context->out, context->width - 4, 4, buffer->how_to);
        }
        if (buffer->caution != NULL) {
            fprintf(context->out, "    %scaution%s: ", context_tone(context, TONE_DOUBT),
                    context_tone(context, TONE_PLAIN));
            listing_paragraph(context->out, context->width - 13, 4, buffer->caution);
        }
    }
}

static void
print_points(const struct context *context, const struct calibration *calibration,
             const struct meter_check *check)
{
    struct listing listing = {0};

    listing_column(&listing, "buffer", LISTING_FLEXIBLE);
    listing_column(&listing, "degC", LISTING_RIGHT);
    listing_column(&listing, "table pH", LISTING_RIGHT);
    listing_column(&listing, "shown", LISTING_RIGHT);
    listing_column(&listing, "off the line", LISTING_RIGHT);
    for (size_t i = 0; i < calibration->point_count; i++) {
        const struct calibration_point *point = &calibration->points[i];

        listing_cellf(&listing, "%s%s", buffer_everyday_name(point->buffer),
                      point->kitchen_made ? " (kitchen-made)" : "");
        listing_cellf(&listing, "%.1f", point->temperature_c);
        listing_cellf(&listing, "%.3f", point->table_ph);
        if (isnan(point->displayed_ph))
            listing_cellf(&listing, "%.1f mV", point->potential_mv);
        else
            listing_cellf(&listing, "%.2f", point->displayed_ph);
        listing_cellf(&listing, "%+.3f", check->residual_ph[i]);
    }
    listing_print(&listing, context->out, context->width);
    listing_clear(&listing);
}

static void
print_outcome(const struct context *context, const struct calibration *calibration,
              const struct meter_check *check)
{
    static const enum tone tones[] = {TONE_GOOD, TONE_DOUBT, TONE_BAD};
    struct meter_correction correction;
    struct failure ignored = {0};
    char *reach;

    if (!calibration->declared)
        print_points(context, calibration, check);
    fprintf(context->out, "%s%s%s", context_tone(context, tones[check->verdict]),
            calibration_verdict_word(check->verdict), context_tone(context, TONE_PLAIN));
    if (check->verdict == CALIBRATION_MARGINAL)
        fputs(" (usable, and every verdict says so)", context->out);
    if (!isnan(check->slope_percent))
        fprintf(context->out, ": slope %.1f %%, offset %+.1f mV at pH 7", check->slope_percent,
                check->offset_mv);
    fputc('\n', context->out);
    if (check->reason != NULL)
        listing_paragraph(context->out, context->width, 0, check->reason);
    if (check->verdict == CALIBRATION_REFUSED)
        return;
    reach = text_format(
        "the buffers reach from pH %.2f to %.2f; readings up to 1 pH outside are marked extrapolated",
        check->low_ph, check->high_ph);
    listing_paragraph(context->out, context->width, 0, reach);
    free(reach);
    if (check->basis == METER_CHECK_LINE &&
        meter_check_correct(check, 10.0, check->temperature_c, &correction, &ignored) == STATUS_OK)
        fprintf(context->out, "a reading shown as 10.00 means pH %.2f, standard error %.3f\n", correction.ph,
                hypot(correction.u_line_ph, correction.u_buffer_ph));
}

/* The one that can be built on; its number is 0 when there is none. */
static enum status
load_in_force(struct store *store, int64_t meter_id, civil_time at, struct calibration *ret_calibration,
              struct failure *failure)
{
    enum status status = calibration_store_in_force(store, meter_id, at, ret_calibration, failure);

    if (status == STATUS_OK && ret_calibration->verdict == CALIBRATION_REFUSED)
        calibration_clear(ret_calibration);
    return status;
}

/* How far the meter has moved since it was calibrated before (reading_value.h, rule 4). */
static enum status
tell_drift(const struct context *context, const struct gear *meter, const struct calibration *calibration,
           const struct calibration *before, struct failure *failure)
{
    struct meter_check check = {0};
    struct failure ignored = {0}; /* without values there is nothing to tell */
    double drift_ph = NAN;
    char made_at[MOMENT_TEXT_SIZE];
    enum status status;

    if (before->id == 0 || before->declared || calibration->declared)
        return STATUS_OK;
    status = meter_check_judge(before, meter, &check, failure);
    if (status == STATUS_OK && meter_check_drift(&check, calibration, &drift_ph, &ignored) == STATUS_OK &&
        drift_ph > METER_CHECK_AGREEMENT_PH)
        fprintf(context->out,
                "%.2f pH from the calibration of %s: readings made between cannot be judged by that one\n",
                drift_ph, clock_moment_text(before->taken_at, made_at));
    meter_check_clear(&check);
    return status;
}

/* ret_check  owned by the caller, also on a failure: meter_check_clear() */
static enum status
keep_adjustment(struct store *store, const struct gear *meter, struct calibration *calibration,
                struct meter_check *ret_check, struct failure *failure)
{
    enum status status = meter_check_judge(calibration, meter, ret_check, failure);

    if (status != STATUS_OK)
        return status;
    meter_check_file(ret_check, calibration);
    return calibration_store_add(store, calibration, failure);
}

/* Rule 2. */
static enum status
keep_check(struct store *store, const struct gear *meter, struct calibration *later, struct failure *failure)
{
    struct calibration base = {0};
    struct meter_check check = {0};
    char made_at[MOMENT_TEXT_SIZE];
    double drift_ph = NAN;
    enum status status = load_in_force(store, meter->id, later->taken_at, &base, failure);

    if (status == STATUS_OK && base.id == 0)
        status =
            failure_set(failure, STATUS_MISSING, "%s has no calibration that this could check", meter->name);
    if (status == STATUS_OK)
        status = meter_check_judge(&base, meter, &check, failure);
    if (status == STATUS_OK)
        status = meter_check_drift(&check, later, &drift_ph, failure);
    if (status == STATUS_OK) {
        later->verdict = drift_ph <= METER_CHECK_AGREEMENT_PH ? CALIBRATION_ACCEPTED : CALIBRATION_MARGINAL;
        later->reason = text_format("%.3f pH from the calibration of %s", drift_ph,
                                    clock_moment_text(base.taken_at, made_at));
        status = calibration_store_add(store, later, failure);
    }
    meter_check_clear(&check);
    calibration_clear(&base);
    return status;
}

enum status
calibrate_keep(struct store *store, const struct gear *meter, struct calibration *calibration,
               struct failure *failure)
{
    struct meter_check check = {0};
    enum status status = calibration->purpose == CALIBRATION_CHECK
                             ? keep_check(store, meter, calibration, failure)
                             : keep_adjustment(store, meter, calibration, &check, failure);

    meter_check_clear(&check);
    return status;
}

/* Judge and file. */
static enum status
finish(struct context *context, const struct gear *meter, struct calibration *calibration,
       struct failure *failure)
{
    struct meter_check check = {0};
    struct calibration before = {0};
    enum status status = load_in_force(context->store, meter->id, calibration->taken_at, &before, failure);

    if (status == STATUS_OK)
        status = keep_adjustment(context->store, meter, calibration, &check, failure);
    if (status == STATUS_OK)
        print_outcome(context, calibration, &check);
    if (status == STATUS_OK)
        status = tell_drift(context, meter, calibration, &before, failure);
    calibration_clear(&before);
    meter_check_clear(&check);
    return status;
}

static enum status
finish_check(struct context *context, const struct gear *meter, struct calibration *later,
             struct failure *failure)
{
    enum status status = keep_check(context->store, meter, later, failure);
    bool holds = later->verdict == CALIBRATION_ACCEPTED;

    if (status == STATUS_OK)
        fprintf(context->out, "%s: %s%s\n", holds ? "holds" : "drifted", later->reason,
                holds ? "" : "; calibrate again and repeat what was read since");
    return status;
}

/* From when on readings may come out otherwise: it speaks of all since the calibration in force. */
static enum status
speaks_since(struct store *store, const struct calibration *calibration, civil_time *ret_since,
             struct failure *failure)
{
    struct calibration base = {0};
    enum status status = load_in_force(store, calibration->meter_id, calibration->taken_at, &base, failure);

    *ret_since = base.id == 0 ? calibration->taken_at : base.taken_at;
    calibration_clear(&base);
    return status;
}

/* Rule 4. */
static enum status
find_bottles(const struct context *context, struct calibration *calibration, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < calibration->point_count; i++) {
        struct calibration_point *point = &calibration->points[i];
        struct gear bottle = {0};
        size_t opened = 0;

        if (point->bottle_id != 0)
            continue;
        status = gear_store_bottle(context->store, point->buffer, calibration->taken_at, &bottle, &opened,
                                   failure);
        point->bottle_id = bottle.id;
        if (status == STATUS_OK && opened > 1) {
            char *visible = text_visible(bottle.name);

            fprintf(context->out, "%s: taken to be from the bottle %s\n", buffer_everyday_name(point->buffer),
                    visible);
            free(visible);
        }
        gear_clear(&bottle);
    }
    return status;
}

/* Judge, file, and hold what it makes worse (rule 5), in one transaction. */
static enum status
file_and_hold(struct context *context, const struct gear *meter, struct calibration *calibration,
              struct failure *failure)
{
    struct standings standings = {0};
    struct held_words held;
    civil_time since = MOMENT_NONE;
    char at[MOMENT_TEXT_SIZE];
    char *cause = text_format("a %s of %s on %s was kept",
                              calibration->purpose == CALIBRATION_CHECK ? "check" : "calibration",
                              meter->name, clock_day_text(clock_day_of(calibration->taken_at), at));
    enum status status = context_begin(context, &held, failure);

    if (status != STATUS_OK) {
        free(cause);
        return status;
    }
    status = speaks_since(context->store, calibration, &since, failure);
    if (status == STATUS_OK)
        status = standings_add_gear(context->store, meter->id, since, &standings, failure);
    if (status == STATUS_OK)
        status = find_bottles(context, calibration, failure);
    if (status == STATUS_OK)
        status = calibration->purpose == CALIBRATION_CHECK
                     ? finish_check(context, meter, calibration, failure)
                     : finish(context, meter, calibration, failure);
    if (status == STATUS_OK)
        status = batch_state_after_change(context, &standings, cause, failure);
    standings_clear(&standings);
    free(cause);
    return context_commit(context, &held, status, failure);
}

struct shown {
    struct store *store; /* lent */
    const struct buffer *buffer;
    struct calibration_point *point;
};

static enum status
take_buffer(const char *text, void *payload, struct failure *failure)
{
    struct shown *shown = payload;

    if (text_same(text, "done"))
        return STATUS_OK;
    return start_point(shown->store, text, shown->point, &shown->buffer, failure);
}

static enum status
take_temperature(const char *text, void *payload, struct failure *failure)
{
    struct shown *shown = payload;

    return parse_temperature(text, shown->buffer, shown->point, failure);
}

static enum status
take_shown(const char *text, void *payload, struct failure *failure)
{
    struct shown *shown = payload;

    return calibrate_parse_shown(text, shown->point, failure);
}

static enum status
take_origin(const char *text, void *payload, struct failure *failure)
{
    static char bought[] = "bought", made[] = "made";
    char *const choices[] = {bought, made};
    struct shown *shown = payload;
    size_t index;
    enum status status = answer_text_choice(text, choices, LENGTH(choices), &index, failure);

    if (status == STATUS_OK)
        shown->point->kitchen_made = index == 1;
    return status;
}

static enum reply
ask(struct prompt *prompt, const char *question, const char *help, prompt_parse parse, struct shown *shown)
{
    enum reply reply;

    do {
        char *text = NULL;

        reply = prompt_ask(prompt, question, help, parse, shown, &text);
        if (reply == REPLY_NOTE || reply == REPLY_SKIP)
            prompt_say(prompt,
                       "  no note and no skip here: back leaves this buffer out, quit leaves all of it");
        free(text);
    } while (reply == REPLY_NOTE || reply == REPLY_SKIP);
    return reply;
}

/* One buffer with all its questions: REPLY_VALUE with a buffer in `point`, or with none when there is no more;
 * REPLY_BACK when this buffer is to be left out. */
static enum reply
ask_point(struct store *store, struct prompt *prompt, struct calibration_point *point)
{
    struct shown shown = {.store = store, .point = point};
    enum reply reply =
        ask(prompt, "Which buffer? (done when there is no more)",
            "the buffer's name, as in borax, lime water, phosphate, 10.01, or your bottle's; then done",
            take_buffer, &shown);

    if (reply != REPLY_VALUE || point->buffer == NULL)
        return reply;
    if (shown.buffer->how_to != NULL)
        reply = ask(prompt, "Bought, or made in the kitchen? (bought, made)", "bought or made", take_origin,
                    &shown);
    if (reply == REPLY_VALUE)
        reply = ask(prompt, "Its temperature in degC?", "degrees Celsius, or with an F behind it",
                    take_temperature, &shown);
    if (reply == REPLY_VALUE)
        reply = ask(prompt, "What does the meter show? (a pH, or a potential with mV)",
                    "as in 9,21 or -128.4mV", take_shown, &shown);
    return reply;
}

/* All buffers. False: the person wants to leave. "back" at the name of a buffer, with none so far, leaves too. */
static bool
ask_points(struct store *store, struct prompt *prompt, struct calibration *calibration,
           enum calibrate_end *ret_end)
{
    for (;;) {
        struct calibration_point point = {.buffer = NULL};
        enum reply reply = ask_point(store, prompt, &point);
        bool named = point.buffer != NULL;

        if (reply == REPLY_VALUE && !named)
            return true;
        if (reply == REPLY_VALUE) {
            calibration_add_point(calibration, point);
            continue;
        }
        free(point.buffer);
        *ret_end = reply == REPLY_QUIT ? CALIBRATE_QUIT : CALIBRATE_NOTHING;
        if (reply == REPLY_QUIT || (!named && calibration->point_count == 0))
            return false;
        prompt_say(prompt, "  %s",
                   named ? "this buffer is left out"
                         : "the buffers read so far are kept together when you type done; quit drops them");
    }
}

enum status
calibrate_ask(struct context *context, struct prompt *prompt, const struct gear *meter,
              enum calibrate_end *ret_end, struct failure *failure)
{
    struct calibration calibration = {
        .meter_id = meter->id, .slope_percent = NAN, .offset_mv = NAN, .taken_at = prompt_now(prompt)};
    enum status status = STATUS_OK;

    *ret_end = CALIBRATE_NOTHING;
    prompt_say(prompt,
               "Put %s into two buffers or more that lie around what is to be read: borax or 10.01 below, "
               "lime water above. Rinse between them. Gloves and goggles with lime water.",
               meter->name);
    prompt_say(prompt, "The buffers are kept together at the end, when you type done: nothing before that.");
    if (!ask_points(context->store, prompt, &calibration, ret_end) || calibration.point_count == 0) {
        prompt_say(prompt, "%s, so nothing is filed.",
                   calibration.point_count == 0 ? "No buffer was read" : "Left before the end");
    } else {
        status = file_and_hold(context, meter, &calibration, failure);
        if (status == STATUS_OK)
            *ret_end = calibration.verdict == CALIBRATION_REFUSED ? CALIBRATE_REFUSED : CALIBRATE_GOOD;
    }
    calibration_clear(&calibration);
    return status;
}

static enum status
run_with_options(struct context *context, const struct options *options, const struct gear *meter,
                 struct failure *failure)
{
    struct calibration calibration = {.meter_id = meter->id,
                                      .slope_percent = NAN,
                                      .offset_mv = NAN,
                                      .declared = options_has(options, "own-routine"),
                                      .note = memory_copy(options_text(options, "note"))};
    enum status status = context_moment(context, options, "at", &calibration.taken_at, failure);

    calibration.purpose = options_has(options, "check") ? CALIBRATION_CHECK : CALIBRATION_ADJUST;
    if (status == STATUS_OK && calibration.declared && calibration.purpose == CALIBRATION_CHECK)
        status =
            failure_set(failure, STATUS_USAGE, "--check needs values, so it cannot go with --own-routine");
    for (size_t i = 0; status == STATUS_OK && i < options_count(options, "buffer"); i++) {
        struct calibration_point point = {0};

        status = parse_point(context->store, options_text_at(options, "buffer", i), calibration.declared,
                             &point, failure);
        if (status == STATUS_OK)
            calibration_add_point(&calibration, point);
    }
    if (status == STATUS_OK)
        status = mark_kitchen_made(options, &calibration, failure);
    if (status == STATUS_OK)
        status = file_and_hold(context, meter, &calibration, failure);
    calibration_clear(&calibration);
    return status;
}

static enum status
run_asking(struct context *context, const struct gear *meter, struct failure *failure)
{
    struct prompt prompt = prompt_at(context);
    enum calibrate_end end;
    enum status status;

    setvbuf(context->in, NULL, _IONBF, 0); /* interrupt_await() */
    interrupt_catch();
    status = calibrate_ask(context, &prompt, meter, &end, failure);
    interrupt_release();
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct gear meter = {0};
    enum status status;

    if (options_has(options, "how-to")) {
        print_how_to(context);
        return STATUS_OK;
    }
    status = options_name_count(options) == 0
                 ? gear_store_only(context->store, GEAR_METER, &meter, failure)
                 : gear_store_find(context->store, GEAR_METER, options_name(options, 0), &meter, failure);
    if (status == STATUS_OK)
        status =
            options_has(options, "buffer") ? run_with_options(context, options, &meter, failure)
            : options_has(options, "check") || options_has(options, "own-routine")
                ? failure_set(failure, STATUS_USAGE,
                              "which buffers? --buffer NAME@DEGC=SHOWN, or --buffer NAME with --own-routine")
                : run_asking(context, &meter, failure);
    gear_clear(&meter);
    return status;
}

const struct command calibrate_command = {
    .name = "calibrate",
    .names = "[METER]",
    .most = 1,
    .summary = "put a meter against buffers: is it good enough, and what does a reading mean?",
    .example = "curetrace calibrate bench --buffer borax@24.5=9.21 --buffer \"lime water@24.6=12.44\"",
    .options = calibrate_options,
    .needs = COMMAND_CHANGES_STORE,
    .needs_nothing_with = "how-to",
    .run = run,
};
