/* correct_portion.c - say afterwards how strong the solution of a test portion was. */
#include "correct_portion.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "session_store.h"
#include "text.h"

bool
correct_portion_asked(const struct options *options)
{
    return options_has(options, "percent") || options_has(options, "soap-g") ||
           options_has(options, "water-g");
}

enum status
correct_portion_check(const struct options *options, struct failure *failure)
{
    static const char *const others[] = {"ph", "between", "temperature-c", "withdraw", "weighing", "mass-g"};

    for (size_t i = 0; i < LENGTH(others); i++)
        if (options_has(options, others[i]))
            return failure_set(failure, STATUS_USAGE,
                               "--percent, --soap-g and --water-g are of the whole portion: without --%s",
                               others[i]);
    if (options_has(options, "percent") &&
        (options_has(options, "soap-g") || options_has(options, "water-g")))
        return failure_set(failure, STATUS_USAGE, "give --percent or the masses, not both");
    if (options_number_or(options, "soap-g", 1.0) <= 0.0 || options_number_or(options, "water-g", 1.0) <= 0.0)
        return failure_set(failure, STATUS_USAGE, "a mass is above 0");
    return STATUS_OK;
}

/* Rule 1. */
static enum status
add_mass(struct context *context, const struct options *options, const struct reading *reading,
         enum weighing_of of, double there_g, struct failure *failure)
{
    const char *option = of == WEIGHING_SOAP ? "soap-g" : "water-g";
    struct weighing weighing = {.specimen_id = reading->specimen_id,
                                .of = of,
                                .mass_g = options_number(options, option),
                                .taken_at = reading->taken_at,
                                .why = (char *)(uintptr_t)options_text(options, "why")};
    enum status status;

    if (isnan(weighing.mass_g))
        return STATUS_OK;
    if (!isnan(there_g))
        return failure_set(failure, STATUS_CONFLICT,
                           "the %s was weighed, %g g: correct that weighing (batch show has its number)",
                           weighing_of_word(of), there_g);
    status = weighing_store_add(context->store, &weighing, failure);
    if (status == STATUS_OK)
        fprintf(context->out, "weighing %lld: %g g of %s\n", (long long)weighing.id, weighing.mass_g,
                weighing_of_word(of));
    return status;
}

static void
add_number(struct text *list, int64_t number)
{
    text_addf(list, "%s%lld", list->length == 0 ? "" : ", ", (long long)number);
}

/* File a standing reading again, of the portion numbered `specimen_id`. */
static enum status
move_reading(struct store *store, struct reading *reading, int64_t specimen_id, const char *why,
             struct failure *failure)
{
    reading->supersedes = reading->id;
    reading->specimen_id = specimen_id;
    free(reading->why);
    reading->why = memory_copy(why);
    return reading_store_add(store, reading, failure);
}

/* Rule 2. */
static enum status
move_readings(struct context *context, int64_t from_id, int64_t to_id, const char *why, double percent,
              struct failure *failure)
{
    struct reading *readings = NULL;
    struct text old = {0}, new = {0};
    size_t count = 0;
    enum status status = reading_store_of_specimen(context->store, from_id, &readings, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK && reading_stands(&readings[i])) {
            add_number(&old, readings[i].id);
            status = move_reading(context->store, &readings[i], to_id, why, failure);
            add_number(&new, readings[i].id);
        }
        reading_clear(&readings[i]);
    }
    free(readings);
    if (status == STATUS_OK)
        fprintf(context->out, "at %g %%: %s superseded by %s; the old rows stay on record\n", percent,
                text_of(&old), text_of(&new));
    text_clear(&old);
    text_clear(&new);
    return status;
}

static enum status
state_percent(struct context *context, const struct options *options, struct specimen *specimen,
              struct failure *failure)
{
    struct session session = {0};
    int64_t from_id = specimen->id;
    enum status status = session_store_find(context->store, specimen->session_id, &session, failure);

    if (status == STATUS_OK && !(isnan(specimen->soap_mass_g) && isnan(specimen->water_mass_g)))
        status =
            failure_set(failure, STATUS_CONFLICT,
                        "the portion was weighed: --soap-g or --water-g adds what is missing, --weighing "
                        "corrects what is there");
    else if (status == STATUS_OK && session.procedure_id != 0)
        status = failure_set(failure, STATUS_CONFLICT,
                             "the portion is of a walk-through: say its masses, --soap-g and --water-g");
    session_clear(&session);
    specimen->stated_concentration_pct = options_number(options, "percent");
    if (status == STATUS_OK)
        status = specimen_store_add(context->store, specimen, failure);
    if (status == STATUS_OK)
        status = move_readings(context, from_id, specimen->id, options_text(options, "why"),
                               specimen->stated_concentration_pct, failure);
    return status;
}

enum status
correct_portion(struct context *context, const struct options *options, const struct reading *reading,
                struct failure *failure)
{
    struct specimen specimen = {0};
    enum status status = specimen_store_find(context->store, reading->specimen_id, &specimen, failure);

    if (status == STATUS_OK && options_has(options, "percent"))
        status = state_percent(context, options, &specimen, failure);
    else if (status == STATUS_OK)
        status = add_mass(context, options, reading, WEIGHING_SOAP, specimen.soap_mass_g, failure);
    if (status == STATUS_OK && !options_has(options, "percent"))
        status = add_mass(context, options, reading, WEIGHING_WATER, specimen.water_mass_g, failure);
    specimen_clear(&specimen);
    return status;
}
