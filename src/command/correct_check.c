/* correct_check.c - what a correction touches, and whether the record still makes sense. */
#include "correct_check.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_store.h"
#include "correct_calibration.h"
#include "dossier_store.h"
#include "gear_store.h"
#include "memory.h"
#include "number.h"
#include "recipe_lines.h"
#include "session_store.h"
#include "text.h"

static bool
is(const struct correct_target *target, const char *word)
{
    return strcmp(target->record->word, word) == 0;
}

static enum status
link(struct context *context, const struct correct_target *target, const char *column, int64_t *ret_id,
     struct failure *failure)
{
    return correction_store_link(context->store, target->record, target->number, column, ret_id, failure);
}

/* -- the row -- */

/* It knows what was typed there, and would file that again over a correction made behind its back. */
static enum status
check_finished(struct context *context, const struct correct_target *target, struct failure *failure)
{
    struct specimen specimen = {0};
    struct session session = {0};
    int64_t specimen_id = 0, session_id = 0;
    enum status status = link(context, target, "specimen", &specimen_id, failure);

    if (status == STATUS_OK)
        status = link(context, target, "session", &session_id, failure);
    if (status == STATUS_OK && specimen_id != 0) {
        status = specimen_store_find(context->store, specimen_id, &specimen, failure);
        session_id = specimen.session_id;
    }
    if (status == STATUS_OK && session_id != 0)
        status = session_store_find(context->store, session_id, &session, failure);
    if (status == STATUS_OK && session.procedure_id != 0 && session.finished_at == MOMENT_NONE)
        status =
            failure_set(failure, STATUS_CONFLICT,
                        "session %lld is not finished: curetrace resume %lld, and back corrects it there",
                        (long long)session.id, (long long)session.id);
    specimen_clear(&specimen);
    session_clear(&session);
    return status;
}

enum status
correct_check_find(struct context *context, struct correct_target *target, struct failure *failure)
{
    enum status status =
        link(context, target, is(target, "calibration") ? "meter" : "gear", &target->gear_id, failure);

    return status == STATUS_OK ? check_finished(context, target, failure) : status;
}

enum status
correct_check_portion_of(struct context *context, struct correct_target *target, struct failure *failure)
{
    int64_t specimen_id = 0;
    enum status status = link(context, target, "specimen", &specimen_id, failure);

    if (status == STATUS_OK)
        fprintf(context->out,
                "the batch and the bar of a reading are those of its portion, %lld, with all its readings\n",
                (long long)specimen_id);
    *target = (struct correct_target){.record = correctable_find("portion"), .number = specimen_id};
    return status;
}

/* -- the batches that rest on it -- */

static enum status
add_code(struct context *context, char *code, struct standings *standings, struct failure *failure)
{
    enum status status = standings_add(context->store, (const char *const[]){code}, 1, standings, failure);

    free(code);
    return status;
}

static enum status
add_batch(struct context *context, int64_t id, struct standings *standings, struct failure *failure)
{
    char *code = NULL;
    enum status status = id == 0 ? STATUS_OK : batch_store_code(context->store, id, &code, failure);

    return status == STATUS_OK && code != NULL ? add_code(context, code, standings, failure) : status;
}

static enum status
add_portion(struct context *context, int64_t specimen_id, struct standings *standings,
            struct failure *failure)
{
    char *code = NULL;
    enum status status =
        specimen_id == 0 ? STATUS_OK : batch_store_of_portion(context->store, specimen_id, &code, failure);

    return status == STATUS_OK && code != NULL ? add_code(context, code, standings, failure) : status;
}

/* Those of a whole sitting, as for the water. */
static enum status
add_sitting(struct context *context, int64_t session_id, struct standings *standings, struct failure *failure)
{
    struct specimen *specimens = NULL;
    size_t count = 0;
    enum status status = specimen_store_of_session(context->store, session_id, &specimens, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK)
            status = add_portion(context, specimens[i].id, standings, failure);
        specimen_clear(&specimens[i]);
    }
    free(specimens);
    return status;
}

static enum status
add_meter_of(struct context *context, const struct correct_target *target, struct standings *standings,
             struct failure *failure)
{
    bool whole = is(target, "calibration");
    struct calibration calibration = {0};
    struct gear meter = {0};
    enum status status = correct_calibration_find(context, whole ? target->number : 0,
                                                  whole ? 0 : target->number, &calibration, &meter, failure);

    if (status == STATUS_OK)
        status = standings_add_gear(context->store, meter.id, MOMENT_NONE, standings, failure);
    calibration_clear(&calibration);
    gear_clear(&meter);
    return status;
}

/* What the row itself rests on: its portion, its sitting, its batch. */
static enum status
add_own(struct context *context, const struct correct_target *target, struct standings *standings,
        struct failure *failure)
{
    int64_t specimen_id = 0, session_id = 0, batch_id = 0;
    enum status status = link(context, target, "specimen", &specimen_id, failure);

    if (status == STATUS_OK)
        status = link(context, target, "session", &session_id, failure);
    if (status == STATUS_OK)
        status = link(context, target, "batch", &batch_id, failure);
    if (status == STATUS_OK)
        status =
            add_portion(context, is(target, "portion") ? target->number : specimen_id, standings, failure);
    if (status == STATUS_OK && is(target, "observation") && specimen_id == 0)
        status = add_sitting(context, session_id, standings, failure);
    if (status == STATUS_OK && !is(target, "portion"))
        status = add_batch(context, is(target, "batch") ? target->number : batch_id, standings, failure);
    return status;
}

/* And what it will: another batch, another meter, another portion. */
static enum status
add_coming(struct context *context, const struct put_right_value *value, struct standings *standings,
           struct failure *failure)
{
    int64_t id = value->value == NULL ? 0 : strtoll(value->value, NULL, 10);

    if (id == 0)
        return STATUS_OK;
    if (value->field->kind == CORRECT_BATCH && strcmp(value->field->column, "batch") == 0)
        return add_batch(context, id, standings, failure);
    if (strcmp(value->field->column, "specimen") == 0)
        return add_portion(context, id, standings, failure);
    if (strcmp(value->field->column, "meter") == 0)
        return standings_add_gear(context->store, id, MOMENT_NONE, standings, failure);
    return STATUS_OK;
}

enum status
correct_check_batches(struct context *context, const struct correct_target *target,
                      const struct put_right_value *values, size_t count, struct standings *standings,
                      struct failure *failure)
{
    enum status status;

    if (is(target, "plan") || is(target, "sitting"))
        return STATUS_OK;
    if (is(target, "gear"))
        status = standings_add_gear(context->store, target->number, MOMENT_NONE, standings, failure);
    else if (is(target, "calibration") || is(target, "buffer"))
        status = add_meter_of(context, target, standings, failure);
    else
        status = add_own(context, target, standings, failure);
    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        status = add_coming(context, &values[i], standings, failure);
    return status;
}

/* -- before -- */

static enum status
check_code(struct context *context, const struct correct_target *target, const char *code,
           struct failure *failure)
{
    struct batch same = {0};
    bool found = false;
    enum status status = batch_store_look(context->store, code, &same, &found, failure);

    if (status == STATUS_OK && found && same.id != target->number)
        status = failure_set(failure, STATUS_CONFLICT,
                             "'%s' is the code of batch %s already, now or before; codes are unique", code,
                             same.code);
    batch_clear(&same);
    return status;
}

static enum status
check_name(struct context *context, const struct correct_target *target, const char *name,
           struct failure *failure)
{
    struct gear *all = NULL;
    size_t count = 0;
    enum status status = gear_store_list(context->store, &all, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK && all[i].id != target->number && text_same(all[i].name, name))
            status = failure_set(failure, STATUS_CONFLICT, "there is gear named '%s' already (a %s)",
                                 all[i].name, gear_kind_word(all[i].kind));
        gear_clear(&all[i]);
    }
    free(all);
    return status;
}

enum status
correct_check_before(struct context *context, const struct correct_target *target,
                     const struct put_right_value *values, size_t count, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < count; i++) {
        const char *column = values[i].field->column;

        if (is(target, "batch") && strcmp(column, "code") == 0 && values[i].value != NULL)
            status = check_code(context, target, values[i].value, failure);
        if (is(target, "gear") && strcmp(column, "name") == 0 && values[i].value != NULL)
            status = check_name(context, target, values[i].value, failure);
        if (is(target, "batch") && strcmp(column, "reference") == 0 && values[i].value != NULL &&
            strtoll(values[i].value, NULL, 10) == target->number)
            status = failure_set(failure, STATUS_CONFLICT, "a batch is not its own reference");
    }
    return status;
}

/* -- after -- */

/* "a reading of 2026-03-01 is of before the batch was poured, on 2026-03-02" */
static enum status
check_poured(const struct dossier *dossier, struct failure *failure)
{
    civil_day poured = dossier->batch.made_on, first = INT32_MAX;
    const char *what = "reading";
    char day[DAY_TEXT_SIZE], poured_text[DAY_TEXT_SIZE];

    for (size_t i = 0; i < dossier->reading_count; i++)
        if (reading_stands(&dossier->readings[i]) && clock_day_of(dossier->readings[i].taken_at) < first)
            first = clock_day_of(dossier->readings[i].taken_at);
    for (size_t i = 0; i < dossier->titration_count; i++) {
        if (titration_stands(&dossier->titrations[i]) &&
            clock_day_of(dossier->titrations[i].taken_at) < first) {
            first = clock_day_of(dossier->titrations[i].taken_at);
            what = "titration";
        }
    }
    if (first >= poured)
        return STATUS_OK;
    return failure_set(failure, STATUS_CONFLICT,
                       "a %s of %s would be of before the day batch %s was poured, %s", what,
                       clock_day_text(first, day), dossier->batch.code, clock_day_text(poured, poured_text));
}

/* What is there of it in the dossier passes its own check. */
static enum status
check_rows(const struct dossier *dossier, const struct correct_target *target, int64_t now,
           struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < dossier->reading_count; i++)
        if (is(target, "reading") && dossier->readings[i].id == now)
            status = reading_check(&dossier->readings[i], failure);
    for (size_t i = 0; status == STATUS_OK && i < dossier->titration_count; i++)
        if (is(target, "titration") && dossier->titrations[i].id == now)
            status = titration_check(&dossier->titrations[i], failure);
    for (size_t i = 0; status == STATUS_OK && i < dossier->observation_count; i++)
        if (is(target, "observation") && dossier->observations[i].id == now)
            status = observation_check(&dossier->observations[i], failure);
    return status;
}

/* A named calibration that does not count, or is of another meter, is not what the reading rests on. */
static enum status
check_named(const struct dossier *dossier, int64_t reading_id, int64_t named_id, struct failure *failure)
{
    const struct calibration *calibration = dossier_calibration(dossier, named_id);

    for (size_t i = 0; named_id != 0 && i < dossier->reading_count; i++) {
        const struct reading *reading = &dossier->readings[i];

        if (reading->id == reading_id && (reading->calibration_id != named_id || calibration == NULL ||
                                          calibration->taken_at > reading->taken_at))
            return failure_set(failure, STATUS_CONFLICT,
                               "calibration %lld is not one of its meter from before that reading (gear show "
                               "lists them)",
                               (long long)named_id);
    }
    return STATUS_OK;
}

static enum status
check_batch(struct context *context, const struct correct_target *target, int64_t now, const char *code,
            struct failure *failure)
{
    struct dossier dossier = {0};
    int64_t named = 0, is_named = 0;
    enum status status = dossier_store_load(context->store, code, &dossier, failure);

    if (status == STATUS_OK && is(target, "batch"))
        status = batch_check(&dossier.batch, context_today(context), failure);
    if (status == STATUS_OK)
        status = check_poured(&dossier, failure);
    if (status == STATUS_OK)
        status = check_rows(&dossier, target, now, failure);
    if (status == STATUS_OK && is(target, "reading")) {
        status = correction_store_link(context->store, target->record, now, "calibration", &named, failure);
        if (status == STATUS_OK)
            status = correction_store_link(context->store, target->record, now, "calibration_named",
                                           &is_named, failure);
        if (status == STATUS_OK && is_named != 0)
            status = check_named(&dossier, now, named, failure);
    }
    dossier_clear(&dossier);
    return status;
}

static enum status
check_gear_after(struct context *context, int64_t id, struct failure *failure)
{
    struct gear *all = NULL;
    size_t count = 0;
    enum status status = gear_store_list(context->store, &all, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK && all[i].id == id)
            status = gear_check(&all[i], failure);
        gear_clear(&all[i]);
    }
    free(all);
    return status;
}

enum status
correct_check_after(struct context *context, const struct correct_target *target, int64_t now,
                    struct failure *failure)
{
    const struct correct_target standing = {.record = target->record, .number = now};
    int64_t specimen_id = is(target, "portion") ? now : 0, batch_id = is(target, "batch") ? now : 0;
    char *code = NULL;
    enum status status = STATUS_OK;

    if (is(target, "gear"))
        return check_gear_after(context, now, failure);
    if (is(target, "line"))
        return STATUS_OK;
    if (specimen_id == 0)
        status = link(context, &standing, "specimen", &specimen_id, failure);
    if (status == STATUS_OK && batch_id == 0 && !is(target, "portion"))
        status = link(context, &standing, "batch", &batch_id, failure);
    if (status == STATUS_OK && specimen_id != 0)
        status = batch_store_of_portion(context->store, specimen_id, &code, failure);
    else if (status == STATUS_OK && batch_id != 0)
        status = batch_store_code(context->store, batch_id, &code, failure);
    if (status == STATUS_OK && code != NULL)
        status = check_batch(context, target, now, code, failure);
    free(code);
    return status;
}

/* -- a line of a recipe -- */

static void
change_line(struct recipe_line *line, const struct put_right_value *values, size_t count)
{
    struct failure ignored = {0};

    for (size_t i = 0; i < count; i++) {
        const char *column = values[i].field->column;

        if (strcmp(column, "name") == 0 && values[i].value != NULL) {
            free(line->name);
            line->name = memory_copy(values[i].value);
        } else {
            double *number = strcmp(column, "mass_g") == 0 ? &line->mass_g : &line->purity_fraction;

            *number = NAN;
            if (values[i].value != NULL)
                number_parse(values[i].value, NUMBER_POINT, number, &ignored);
        }
    }
}

/* False: the line is not of the recipe in force. */
static bool
change_recipe(struct batch *batch, int64_t line_id, const struct put_right_value *values, size_t count,
              bool withdrawn)
{
    bool found = false;
    size_t kept = 0;

    for (size_t i = 0; i < batch->line_count; i++) {
        bool mine = batch->lines[i].id == line_id;

        found = found || mine;
        if (mine && !withdrawn)
            change_line(&batch->lines[i], values, count);
        if (mine && withdrawn)
            recipe_line_clear(&batch->lines[i]);
        else
            batch->lines[kept++] = batch->lines[i];
    }
    batch->line_count = kept;
    return found;
}

enum status
correct_check_line(struct context *context, const struct correct_target *target,
                   const struct put_right_value *values, size_t count, bool withdrawn,
                   const struct put_right_reason *reason, struct failure *failure)
{
    struct batch batch = {0};
    int64_t batch_id = 0;
    char *code = NULL;
    enum status status = link(context, target, "batch", &batch_id, failure);

    if (status == STATUS_OK)
        status = batch_store_code(context->store, batch_id, &code, failure);
    if (status == STATUS_OK)
        status = batch_store_find(context->store, code, &batch, failure);
    if (status == STATUS_OK && !change_recipe(&batch, target->number, values, count, withdrawn))
        status = failure_set(failure, STATUS_CONFLICT,
                             "line %lld is of an earlier recipe of %s (batch show lists those in force)",
                             (long long)target->number, code);
    if (status == STATUS_OK)
        status = batch_check(&batch, context_today(context), failure);
    if (status == STATUS_OK)
        status = recipe_lines_check(&batch, failure);
    if (status == STATUS_OK)
        status = batch_store_revise(context->store, batch_id, batch.lines, batch.line_count, reason->why,
                                    reason->at, failure);
    batch_clear(&batch);
    free(code);
    return status;
}
