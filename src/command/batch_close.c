/* batch_close.c - "batch close": nothing of a batch is left in the workshop.
 *
 * Rules
 * (1) A released batch closes for any reason. Any other one closes as thrown away only, or is released by override first,
 *     with the reason on record for ever.
 * (2) Of several, those that rule 1 does not let go are listed and left; the others are closed all together.
 * (3) A closing that was a slip is taken back, and both stay on record. What was judged is judged as before. */
#include <stdlib.h>

#include "all_batches.h"
#include "batch_state.h"
#include "batch_store.h"
#include "caution.h"
#include "commands.h"
#include "follow_store.h"
#include "listing.h"
#include "memory.h"
#include "text.h"

static const struct option_spec close_options[] = {
    {.name = "reason",
     .kind = OPTION_TEXT,
     .value = "WORDS",
     .help = "\"used up\", sold, \"given away\" or \"thrown away\""},
    {.name = "all-before",
     .kind = OPTION_DAY,
     .value = "DATE",
     .help = "all batches poured before this day that are not closed, in place of one CODE"},
    {.name = "at", .kind = OPTION_DAY, .value = "DATE", .help = "the day; today when not said"},
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "more words, kept with it"},
    {.name = "override",
     .kind = OPTION_FLAG,
     .help = "release it first in spite of what the policy asks, with --why; the record shows it for ever"},
    {.name = "withdraw", .kind = OPTION_FLAG, .help = "it was a slip: the batch is still there; with --why"},
    {.name = NULL},
};

/* Does rule 1 let it go? */
static bool
may_close(const struct batch *batch, enum batch_end end)
{
    return batch->state == BATCH_RELEASED || end == BATCH_THROWN_AWAY;
}

static enum status
check_day(const struct batch *batch, civil_day day, civil_day today, struct failure *failure)
{
    char said[DAY_TEXT_SIZE], poured[DAY_TEXT_SIZE];

    if (day > today)
        return failure_set(failure, STATUS_RANGE, "--at: %s is in the future", clock_day_text(day, said));
    if (day < batch->made_on)
        return failure_set(failure, STATUS_RANGE, "--at: %s is before %s was poured (%s)",
                           clock_day_text(day, said), batch->code, clock_day_text(batch->made_on, poured));
    return STATUS_OK;
}

/* A closing as the options tell it. */
static enum status
read_close(const struct context *context, const struct options *options, struct batch_close *close,
           struct failure *failure)
{
    const char *reason = options_text(options, "reason");

    close->closed_on = options_has(options, "at") ? options_day(options, "at") : context_today(context);
    close->added_at = context_now(context);
    close->why = memory_copy(options_text(options, "why"));
    if (reason == NULL)
        return failure_set(failure, STATUS_USAGE,
                           "why is it gone? --reason \"used up\", sold, \"given away\" or \"thrown away\"");
    return batch_end_parse(reason, &close->end, failure);
}

static enum status
check_open(const struct batch *batch, const struct batch_close *closed, struct failure *failure)
{
    char day[DAY_TEXT_SIZE];

    if (closed->end == BATCH_NOT_CLOSED)
        return STATUS_OK;
    return failure_set(failure, STATUS_CONFLICT, "%s is closed since %s: %s (--withdraw takes that back)",
                       batch->code, clock_day_text(closed->closed_on, day), batch_end_text(closed->end));
}

static void
tell_closed(const struct context *context, const struct batch *batch, const struct batch_close *close)
{
    char day[DAY_TEXT_SIZE];

    fprintf(context->out, "%s is closed since %s: %s\n", batch->code, clock_day_text(close->closed_on, day),
            batch_end_text(close->end));
}

static enum status
close_one(struct context *context, const struct options *options, const struct batch *batch,
          struct batch_close *close, struct failure *failure)
{
    struct batch_close closed = {0};
    bool override = options_has(options, "override") && !may_close(batch, close->end);
    enum status status = batch_close_store_find(context->store, batch->id, &closed, failure);

    if (status == STATUS_OK)
        status = check_open(batch, &closed, failure);
    if (status == STATUS_OK)
        status = check_day(batch, close->closed_on, context_today(context), failure);
    if (status == STATUS_OK && override)
        status = batch_state_release(context, batch->code, true, close->why, 0, failure);
    else if (status == STATUS_OK && !may_close(batch, close->end))
        status = failure_set(failure, STATUS_CONFLICT,
                             "%s is %s, not released: it closes as thrown away only, or with --override and "
                             "--why, which releases it first and stays on record",
                             batch->code, batch_state_word(batch->state));
    close->batch_id = batch->id;
    if (status == STATUS_OK)
        status = batch_close_store_add(context->store, close, failure);
    if (status == STATUS_OK)
        tell_closed(context, batch, close);
    batch_close_clear(&closed);
    return status;
}

static enum status
withdraw(struct context *context, const struct options *options, const struct batch *batch,
         struct failure *failure)
{
    const char *why = options_text(options, "why");
    struct batch_close closed = {0};
    struct batch_close back = {.batch_id = batch->id,
                               .closed_on = DAY_NONE,
                               .added_at = context_now(context),
                               .why = (char *)(uintptr_t)why};
    enum status status;

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "why? the record keeps the reason (--why \"...\")");
    status = batch_close_store_find(context->store, batch->id, &closed, failure);
    back.supersedes = closed.id;
    if (status == STATUS_OK && closed.end == BATCH_NOT_CLOSED)
        status = failure_set(failure, STATUS_MISSING, "%s is not closed", batch->code);
    if (status == STATUS_OK)
        status = batch_close_store_add(context->store, &back, failure);
    if (status == STATUS_OK)
        fprintf(context->out, "%s is not closed any more: %s\n", batch->code, why);
    batch_close_clear(&closed);
    return status;
}

/* --- all of them -------------------------------------------------------------------------------------------- */

struct closing_all {
    struct store *store;
    civil_day before;
    struct batch_close *close;
    struct batch_codes closed, left;
    struct text states; /* of those that are left: "W-07 (held), ..." */
};

/* Sorts a batch: closed already, to be closed, or left. */
static enum status
sort_one(const struct batch *batch, void *payload, struct failure *failure)
{
    struct closing_all *all = payload;
    struct batch_close closed = {0};
    bool open;
    enum status status;

    if (batch->made_on >= all->before)
        return STATUS_OK;
    status = batch_close_store_find(all->store, batch->id, &closed, failure);
    open = closed.end == BATCH_NOT_CLOSED && all->close->closed_on >= batch->made_on;
    batch_close_clear(&closed);
    if (status != STATUS_OK || !open ||
        (batch->state == BATCH_DISCARDED && all->close->end != BATCH_THROWN_AWAY))
        return status;
    if (may_close(batch, all->close->end)) {
        batch_codes_add(&all->closed, batch->code);
    } else {
        text_addf(&all->states, "%s%s (%s)", all->left.count == 0 ? "" : ", ", batch->code,
                  batch_state_word(batch->state));
        batch_codes_add(&all->left, batch->code);
    }
    return STATUS_OK;
}

static enum status
close_sorted(struct context *context, struct closing_all *all, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < all->closed.count; i++) {
        struct batch batch = {0};

        status = batch_store_find(context->store, all->closed.codes[i], &batch, failure);
        all->close->batch_id = batch.id;
        if (status == STATUS_OK)
            status = batch_close_store_add(context->store, all->close, failure);
        if (status == STATUS_OK)
            tell_closed(context, &batch, all->close);
        batch_clear(&batch);
    }
    return status;
}

static void
tell_left(const struct context *context, const struct closing_all *all)
{
    char *line;

    if (all->closed.count == 0)
        fputs("nothing to close\n", context->out);
    if (all->left.count == 0)
        return;
    line = text_format("left as they are, because they were never released: %s", text_of(&all->states));
    listing_paragraph(context->out, context->width, 2, line);
    free(line);
    caution_print(context, CAUTION_BAR);
}

static enum status
close_all(struct context *context, const struct options *options, struct batch_close *close,
          struct failure *failure)
{
    struct closing_all all = {
        .store = context->store, .before = options_day(options, "all-before"), .close = close};
    enum status status = STATUS_OK;

    if (options_has(options, "override"))
        return failure_set(failure, STATUS_USAGE, "an override is for one batch, with its own reason");
    if (close->closed_on > context_today(context))
        return failure_set(failure, STATUS_RANGE, "--at is in the future");
    status = batch_store_list(context->store, sort_one, &all, failure);
    if (status == STATUS_OK)
        status = close_sorted(context, &all, failure);
    if (status == STATUS_OK)
        tell_left(context, &all);
    batch_codes_clear(&all.closed);
    batch_codes_clear(&all.left);
    text_clear(&all.states);
    return status;
}

/* ------------------------------------------------------------------------------------------------------------ */

static enum status
close_or_withdraw(struct context *context, const struct options *options, struct failure *failure)
{
    struct batch batch = {0};
    struct batch_close close = {0};
    bool back = options_has(options, "withdraw"), several = options_has(options, "all-before");
    enum status status = STATUS_OK;

    if (!several)
        status = batch_store_find(context->store, options_name(options, 0), &batch, failure);
    if (status == STATUS_OK && !back)
        status = read_close(context, options, &close, failure);
    if (status == STATUS_OK)
        status = back      ? withdraw(context, options, &batch, failure)
                 : several ? close_all(context, options, &close, failure)
                           : close_one(context, options, &batch, &close, failure);
    batch_close_clear(&close);
    batch_clear(&batch);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    bool several = options_has(options, "all-before"), back = options_has(options, "withdraw");
    struct held_words held;
    enum status status;

    if (several == (options_name_count(options) == 1))
        return failure_set(failure, STATUS_USAGE,
                           "name one batch, or --all-before DATE for all that are older");
    if (back && (several || options_has(options, "reason") || options_has(options, "at") ||
                 options_has(options, "override")))
        return failure_set(failure, STATUS_USAGE,
                           "--withdraw takes back what one batch was closed for: --why only");
    status = context_begin(context, &held, failure);
    if (status == STATUS_OK)
        status = context_commit(context, &held, close_or_withdraw(context, options, failure), failure);
    return status;
}

const struct command batch_close_command = {
    .name = "batch close",
    .names = "CODE --reason WORDS",
    .fewest = 0,
    .most = 1,
    .summary = "note that nothing of a batch is left: used up, sold, given away or thrown away",
    .example = "curetrace batch close W-07 --reason sold",
    .options = close_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run,
};
