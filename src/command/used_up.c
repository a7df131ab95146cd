/* used_up.c - "batch used-up": a bar of which nothing is left to test (conclusion.h, rule 1). */
#include "bar_standing.h"
#include "batch_state.h"
#include "commands.h"
#include "dossier_store.h"
#include "observation_store.h"

static const struct option_spec used_up_options[] = {
    {.name = "bar",
     .kind = OPTION_TEXT,
     .value = "LABEL",
     .help = "which bar of the batch, as it was tested"},
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "where it went; needed, and kept"},
    {.name = "at",
     .kind = OPTION_DAY,
     .value = "DATE",
     .help = "the day from which nothing of it was left; today when not said"},
    {.name = "withdraw", .kind = OPTION_FLAG, .help = "it was a slip: the bar is still there"},
    {.name = NULL},
};

/* Was it read or titrated? A bar that nothing speaks of could not be told from a slip of the pen. */
static bool
has_bar(const struct dossier *dossier, const char *bar)
{
    bool found = false;

    for (size_t i = 0; i < dossier->specimen_count && !found; i++)
        found = bar_label_same(dossier->specimens[i].bar, bar);
    for (size_t i = 0; i < dossier->titration_count && !found; i++)
        found = bar_label_same(dossier->titrations[i].bar, bar);
    return found;
}

static enum status
check_bar(const struct dossier *dossier, const char *bar, struct failure *failure)
{
    char day[DAY_TEXT_SIZE];

    if (!has_bar(dossier, bar))
        return failure_set(failure, STATUS_MISSING,
                           "no bar '%.60s' of %s was tested (verdict lists its bars)", bar,
                           dossier->batch.code);
    for (size_t i = 0; i < dossier->used_up_count; i++)
        if (used_up_stands(&dossier->used_up[i]) && bar_label_same(dossier->used_up[i].bar, bar))
            return failure_set(failure, STATUS_CONFLICT, "bar %.60s of %s is used up since %s already", bar,
                               dossier->batch.code, clock_day_text(dossier->used_up[i].used_up_on, day));
    return STATUS_OK;
}

static enum status
check_day(const struct dossier *dossier, civil_day day, civil_day today, struct failure *failure)
{
    char said[DAY_TEXT_SIZE], poured[DAY_TEXT_SIZE];

    if (day > today)
        return failure_set(failure, STATUS_RANGE, "--at: %s is in the future", clock_day_text(day, said));
    if (day < dossier->batch.made_on)
        return failure_set(failure, STATUS_RANGE, "--at: %s is before %s was poured (%s)",
                           clock_day_text(day, said), dossier->batch.code,
                           clock_day_text(dossier->batch.made_on, poured));
    return STATUS_OK;
}

static enum status
file(struct context *context, const struct options *options, const struct dossier *dossier,
     struct failure *failure)
{
    struct used_up used_up = {.batch_id = dossier->batch.id,
                              .bar = (char *)(uintptr_t)options_text(options, "bar"),
                              .used_up_on = options_day(options, "at"),
                              .added_at = context_now(context),
                              .why = (char *)(uintptr_t)options_text(options, "why")};
    enum status status = check_bar(dossier, used_up.bar, failure);
    char day[DAY_TEXT_SIZE];

    if (used_up.used_up_on == DAY_NONE)
        used_up.used_up_on = context_today(context);
    if (status == STATUS_OK)
        status = check_day(dossier, used_up.used_up_on, context_today(context), failure);
    if (status == STATUS_OK)
        status = used_up_store_add(context->store, &used_up, failure);
    if (status == STATUS_OK)
        fprintf(context->out, "bar %s of %s is used up since %s: %s\n", used_up.bar, dossier->batch.code,
                clock_day_text(used_up.used_up_on, day), used_up.why);
    return status;
}

/* Over the row that stands for this bar. */
static enum status
withdraw(struct context *context, const struct options *options, const struct dossier *dossier,
         struct failure *failure)
{
    const char *bar = options_text(options, "bar");
    struct used_up back = {.batch_id = dossier->batch.id,
                           .bar = (char *)(uintptr_t)bar,
                           .used_up_on = DAY_NONE,
                           .added_at = context_now(context),
                           .why = (char *)(uintptr_t)options_text(options, "why")};
    enum status status;

    for (size_t i = 0; i < dossier->used_up_count; i++)
        if (used_up_stands(&dossier->used_up[i]) && bar_label_same(dossier->used_up[i].bar, bar))
            back.supersedes = dossier->used_up[i].id;
    if (back.supersedes == 0)
        return failure_set(failure, STATUS_MISSING, "bar '%.60s' of %s is not on record as used up", bar,
                           dossier->batch.code);
    status = used_up_store_add(context->store, &back, failure);
    if (status == STATUS_OK) {
        fprintf(context->out, "bar %s of %s is there again: %s\n", bar, dossier->batch.code, back.why);
        status = batch_state_after_results(context, (const char *const[]){dossier->batch.code}, 1,
                                           (struct filed_sessions){1, INT64_MAX}, failure);
    }
    return status;
}

/* In one transaction: a bar that is there again may hold its batch again. */
static enum status
run_withdraw(struct context *context, const struct options *options, const struct dossier *dossier,
             struct failure *failure)
{
    struct held_words held;
    enum status status;

    if (options_has(options, "at"))
        return failure_set(failure, STATUS_USAGE, "--at does not go with --withdraw");
    status = context_begin(context, &held, failure);
    if (status == STATUS_OK)
        status = context_commit(context, &held, withdraw(context, options, dossier, failure), failure);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    const char *bar = options_text(options, "bar"), *why = options_text(options, "why");
    struct dossier dossier = {0};
    enum status status;

    if (bar == NULL || *bar == '\0')
        return failure_set(failure, STATUS_USAGE, "which bar? --bar LABEL, as it was tested");
    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "say where it went: --why \"given to the testers\"");
    status = dossier_store_load(context->store, options_name(options, 0), &dossier, failure);
    if (status != STATUS_OK)
        return status;
    status = options_has(options, "withdraw") ? run_withdraw(context, options, &dossier, failure)
                                              : file(context, options, &dossier, failure);
    if (status == STATUS_OK)
        context_next(context, "verdict", dossier.batch.code, NULL);
    dossier_clear(&dossier);
    return status;
}

const struct command batch_used_up_command = {
    .name = "batch used-up",
    .names = "CODE --bar LABEL --why TEXT",
    .fewest = 1,
    .most = 1,
    .summary = "note that nothing is left of a bar, so that two others may settle what it showed",
    .example = "curetrace batch used-up W-07 --bar A --why \"cut up for titration\"",
    .options = used_up_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run,
};
