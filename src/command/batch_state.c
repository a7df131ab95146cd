/* batch_state.c - "batch hold|release|discard", and the hold that a result brings by itself. */
#include "batch_state.h"

#include <stdlib.h>
#include <string.h>

#include "caution.h"
#include "commands.h"
#include "conclusion.h"
#include "follow_store.h"
#include "listing.h"
#include "release.h"
#include "say.h"
#include "standing.h"
#include "text.h"

static const struct option_spec why_options[] = {
    {.name = "at",
     .kind = OPTION_TIME,
     .value = "TIME",
     .help = "since when, as in yesterday or 2026-03-04T10:00; now when not said"},
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "the reason, kept in the record"},
    {.name = NULL},
};
static const struct option_spec release_options[] = {
    {.name = "at",
     .kind = OPTION_TIME,
     .value = "TIME",
     .help = "since when, as in yesterday or 2026-03-04T10:00; now when not said"},
    {.name = "why",
     .kind = OPTION_TEXT,
     .value = "TEXT",
     .help = "the reason, kept in the record; needed with --override"},
    {.name = "override",
     .kind = OPTION_FLAG,
     .help = "release in spite of what the policy asks; the record shows it for ever"},
    {.name = NULL},
};

/* Tells of batches that are held, the first of them by name. */
struct telling {
    const struct context *context;
    size_t told, held;
};

static void
tell_moved(const char *code, enum batch_state state, const char *why, void *data)
{
    struct telling *telling = data;
    const struct context *context = telling->context;

    telling->held += state == BATCH_HELD ? 1U : 0U;
    if (telling->told++ < BATCH_STATE_TOLD)
        fprintf(context->out, "%s%s is %s now%s (%s)\n",
                context_tone(context, state == BATCH_HELD ? TONE_BAD : TONE_PLAIN), code,
                batch_state_word(state), context_tone(context, TONE_PLAIN), why);
}

static void
tell_turned(const char *code, const char *before, const char *now, void *data)
{
    const struct telling *telling = data;

    fprintf(telling->context->out, "%s was %s, and is %s now\n", code, before, now);
}

static void
tell_rest(const struct telling *telling)
{
    if (telling->told > BATCH_STATE_TOLD)
        fprintf(telling->context->out, "and %zu more %s: see curetrace batch list\n",
                telling->told - BATCH_STATE_TOLD,
                telling->held == telling->told ? "are held now" : "are in another state now");
}

enum status
batch_state_after_results(struct context *context, const char *const *codes, size_t count,
                          struct filed_sessions filed, struct failure *failure)
{
    struct telling telling = {.context = context};
    const struct holding holding = {context->store, context_now(context), tell_moved, NULL, &telling};
    enum status status = hold_after_results(&holding, codes, count, filed, failure);

    tell_rest(&telling);
    return status;
}

enum status
batch_state_after_change(struct context *context, const struct standings *before, const char *cause,
                         struct failure *failure)
{
    struct telling telling = {.context = context};
    const struct holding holding = {context->store, context_now(context), tell_moved, tell_turned, &telling};
    enum status status = standings_settle(&holding, before, cause, failure);

    tell_rest(&telling);
    return status;
}

enum status
batch_state_next(struct context *context, const char *code, struct failure *failure)
{
    struct batch_case batch = {0};
    struct sentences said = {0};
    enum status status = batch_case_open(context->store, code, &batch, failure);

    if (status == STATUS_OK) {
        standing_say_next(&batch.conclusion, &said);
        say(context, &said);
    }
    sentences_clear(&said);
    batch_case_clear(&batch);
    return status;
}

/* A reference bar whose hold ended speaks again for those that are held against it. */
static enum status
hold_beside(struct context *context, const char *code, struct failure *failure)
{
    struct telling telling = {.context = context};
    const struct holding holding = {context->store, context_now(context), tell_moved, NULL, &telling};
    enum status status = hold_beside_reference(&holding, &code, 1, failure);

    tell_rest(&telling);
    return status;
}

void
batch_state_print(const struct context *context, const struct dossier *dossier)
{
    for (size_t i = 0; i < dossier->state_change_count; i++) {
        const struct state_change *change = &dossier->state_changes[i];
        char since[MOMENT_TEXT_SIZE], at[MOMENT_TEXT_SIZE];
        bool later = clock_day_of(state_change_since(change)) != clock_day_of(change->at);
        char *line = text_format(
            "%s%s%s%s %s%s: %s%s%s%s", clock_moment_text(state_change_since(change), since),
            later ? " (kept on " : "", later ? clock_moment_text(change->at, at) : "", later ? ")" : "",
            batch_state_word(change->state),
            change->overridden  ? " BY OVERRIDE"
            : change->automatic ? " by the rule"
                                : "",
            change->why, change->evidence == NULL ? "" : " (",
            change->evidence == NULL ? "" : change->evidence, change->evidence == NULL ? "" : ")");

        fputs(i == 0 ? "\nstates\n  " : "  ", context->out);
        listing_paragraph(context->out, context->width > 40 ? context->width - 4 : 36, 4, line);
        free(line);
    }
}

static void
print_item(const struct context *context, FILE *out, const char *mark, const struct release_item *item)
{
    char *line = text_format("%s (%s)", item->asked, item->found);
    size_t indent = strlen(mark) + 3;

    fprintf(out, "  %s ", mark);
    listing_paragraph(out, context->width > 40 ? context->width - indent : 40 - indent, indent, line);
    free(line);
}

static void
print_check(const struct context *context, const struct release_check *check)
{
    fputs("The policy asks\n", context->out);
    for (size_t i = 0; i < check->count; i++)
        print_item(context, context->out, check->items[i].met ? "yes " : "NO  ", &check->items[i]);
}

/* What a change rested on, as one text: the conclusion, each thing asked, and what had to be settled. Given: free() it. */
static char *
evidence_text(const struct conclusion *conclusion, const struct release_check *check)
{
    struct text text = {0};
    char *words = conclusion_text(conclusion);

    text_add(&text, words);
    for (size_t i = 0; i < check->count; i++)
        text_addf(&text, "; %s: %s (%s)", check->items[i].asked, check->items[i].met ? "yes" : "no",
                  check->items[i].found);
    for (size_t i = 0; i < conclusion->settled.count; i++)
        text_addf(&text, "; %s", conclusion->settled.items[i].text);
    free(words);
    return text_take(&text);
}

/* A state is not older than its batch. */
static enum status
check_since(const struct batch *batch, civil_time since_at, struct failure *failure)
{
    char poured[DAY_TEXT_SIZE];

    if (since_at == 0 || clock_day_of(since_at) >= batch->made_on)
        return STATUS_OK;
    return failure_set(failure, STATUS_RANGE, "--at: batch %s was poured later, on %s", batch->code,
                       clock_day_text(batch->made_on, poured));
}

static enum status
file_row(struct context *context, const struct batch_case *batch, struct state_change *row,
         struct failure *failure)
{
    const char *code = batch->dossier.batch.code;
    enum status status = state_change_store_add(context->store, row, failure);

    if (status == STATUS_OK)
        fprintf(context->out, "%s is %s now%s: %s\n", code, batch_state_word(row->state),
                row->overridden ? ", by override" : "", row->why);
    if (status == STATUS_OK && row->state == BATCH_RELEASED)
        status = hold_beside(context, code, failure);
    return status;
}

static enum status
file(struct context *context, const struct batch_case *batch, civil_time since_at,
     const struct state_request *request, const char *why, struct failure *failure)
{
    char *evidence = request->cause == STATE_BY_RELEASE
                         ? evidence_text(&batch->conclusion, &batch->conclusion.release)
                         : conclusion_text(&batch->conclusion);
    struct state_change row = {.batch_id = batch->dossier.batch.id,
                               .at = context_now(context),
                               .since_at = since_at,
                               .why = (char *)(uintptr_t)why,
                               .evidence = evidence,
                               .overridden = request->cause == STATE_BY_RELEASE && !request->evidence_met};
    enum status status = release_next_state(batch->dossier.batch.state, request, &row.state, failure);

    if (status == STATUS_OK)
        status = check_since(&batch->dossier.batch, since_at, failure);
    if (status == STATUS_OK)
        status = file_row(context, batch, &row, failure);
    free(evidence);
    return status;
}

/* What a change of state rests on is judged and the change filed in one transaction: nothing is filed between the two. */
static enum status
run_simple(struct context *context, const struct options *options, enum state_cause cause,
           struct failure *failure)
{
    struct batch_case batch = {0};
    struct held_words held;
    struct state_request request = {.cause = cause};
    const char *why = options_text(options, "why");
    civil_time since_at = 0;
    enum status status;

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "why? the record keeps the reason (--why \"...\")");
    status = context_moment(context, options, "at", &since_at, failure);
    if (status == STATUS_OK)
        status = context_begin(context, &held, failure);
    if (status != STATUS_OK)
        return status;
    status = batch_case_open(context->store, options_name(options, 0), &batch, failure);
    if (status == STATUS_OK)
        status = file(context, &batch, since_at, &request, why, failure);
    status = context_commit(context, &held, status, failure);
    if (status == STATUS_OK)
        caution_print(context, CAUTION_BAR);
    batch_case_clear(&batch);
    return status;
}

static enum status
run_hold(struct context *context, const struct options *options, struct failure *failure)
{
    return run_simple(context, options, STATE_BY_HOLD, failure);
}

static enum status
run_discard(struct context *context, const struct options *options, struct failure *failure)
{
    return run_simple(context, options, STATE_BY_DISCARD, failure);
}

/* What is missing, a line each, before the failure. */
static enum status
refuse(const struct context *context, const struct batch_case *batch, struct failure *failure)
{
    const struct release_check *check = &batch->conclusion.release;
    size_t missing = 0;

    for (size_t i = 0; i < check->count; i++)
        missing += check->items[i].met ? 0U : 1U;
    fprintf(context->err, "Missing of what the policy asks (%zu of %zu):\n", missing, check->count);
    for (size_t i = 0; i < check->count; i++)
        if (!check->items[i].met)
            print_item(context, context->err, "-", &check->items[i]);
    if (batch->conclusion.verdict == VERDICT_LYE_HEAVY)
        return failure_set(failure, STATUS_CONFLICT, "%s is not released, for it burns skin: %s",
                           batch->dossier.batch.code,
                           sentences_find(&batch->conclusion.next, SENTENCE_NEXT)->text);
    return failure_set(failure, STATUS_CONFLICT,
                       "%s is not released; --override with --why releases it in spite of that, on record",
                       batch->dossier.batch.code);
}

/* What was asked and found, what speaks for each bar, and what against it all the same: a recipe, a correction. */
static void
print_evidence(const struct context *context, const struct batch_case *batch)
{
    struct sentences said = {0};

    print_check(context, &batch->conclusion.release);
    standing_say_reasons(&batch->conclusion, &said);
    say(context, &said);
    sentences_clear(&said);
}

static enum status
release(struct context *context, const struct batch_case *batch, civil_time since_at, bool overridden,
        const char *why, struct failure *failure)
{
    struct state_request request = {.cause = STATE_BY_RELEASE,
                                    .overridden = overridden,
                                    .evidence_met = batch->conclusion.release.met,
                                    .by_old_rule = batch->conclusion.by_old_rule};
    struct state_request met = request;
    enum batch_state next;
    enum status status;

    met.evidence_met = true; /* first, so that a state that cannot be released says so itself */
    status = release_next_state(batch->dossier.batch.state, &met, &next, failure);
    if (status != STATUS_OK)
        return status;
    if (!request.evidence_met && !overridden)
        return refuse(context, batch, failure);
    print_evidence(context, batch);
    return file(context, batch, since_at, &request,
                why != NULL && *why != '\0' ? why : "the evidence that the policy asks for is there",
                failure);
}

enum status
batch_state_release(struct context *context, const char *code, bool overridden, const char *why,
                    civil_time since_at, struct failure *failure)
{
    struct batch_case batch = {0};
    struct held_words held;
    enum status status = STATUS_OK;

    if (overridden && (why == NULL || *why == '\0'))
        return failure_set(
            failure, STATUS_USAGE,
            "why? an override needs a reason, which the record shows for ever (--why \"...\")");
    status = context_begin(context, &held, failure);
    if (status != STATUS_OK)
        return status;
    status = batch_case_open(context->store, code, &batch, failure);
    if (status == STATUS_OK)
        status = release(context, &batch, since_at, overridden, why, failure);
    status = context_commit(context, &held, status, failure);
    if (status == STATUS_OK)
        caution_print(context, batch.conclusion.release.met ? 0u : (unsigned)CAUTION_BAR);
    batch_case_clear(&batch);
    return status;
}

static enum status
run_release(struct context *context, const struct options *options, struct failure *failure)
{
    civil_time since_at = 0;
    enum status status = context_moment(context, options, "at", &since_at, failure);

    if (status != STATUS_OK)
        return status;
    return batch_state_release(context, options_name(options, 0), options_has(options, "override"),
                               options_text(options, "why"), since_at, failure);
}

const struct command batch_hold_command = {
    .name = "batch hold",
    .names = "CODE --why TEXT",
    .fewest = 1,
    .most = 1,
    .summary = "keep a batch back",
    .example = "curetrace batch hold W-07 --why \"white crystals on two bars\"",
    .options = why_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run_hold,
};
const struct command batch_release_command = {
    .name = "batch release",
    .names = "CODE",
    .fewest = 1,
    .most = 1,
    .summary = "release a batch when the evidence the policy asks for is there",
    .example = "curetrace batch release W-07",
    .options = release_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run_release,
};
const struct command batch_discard_command = {
    .name = "batch discard",
    .names = "CODE --why TEXT",
    .fewest = 1,
    .most = 1,
    .summary = "note that a batch was thrown away or reworked",
    .example = "curetrace batch discard W-07 --why \"reworked into W-07R\"",
    .options = why_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run_discard,
};
