/* batch_state.c - "batch hold|release|discard", and the hold that a result brings by itself. */
#include "batch_state.h"

#include <stdlib.h>
#include <string.h>

#include "batch_store.h"
#include "caution.h"
#include "commands.h"
#include "conclusion.h"
#include "evidence.h"
#include "follow_batches.h"
#include "follow_store.h"
#include "judged.h"
#include "listing.h"
#include "memory.h"
#include "release.h"
#include "text.h"

static const struct option_spec why_options[] = {
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "the reason, kept in the record"},
    {.name = NULL},
};
static const struct option_spec release_options[] = {
    {.name = "why",
     .kind = OPTION_TEXT,
     .value = "TEXT",
     .help = "the reason, kept in the record; needed with --override"},
    {.name = "override",
     .kind = OPTION_FLAG,
     .help = "release in spite of what the policy asks; the record shows it for ever"},
    {.name = NULL},
};

enum status
batch_state_policy(struct store *store, struct policy *ret_policy, struct failure *failure)
{
    struct policy policy;
    enum status status = STATUS_OK;

    policy_init(&policy);
    for (size_t i = 0; status == STATUS_OK && i < POLICY_COUNT; i++) {
        char *name = text_format("policy %s", policy_name(i)), *value = NULL;

        status = setting_store_find(store, name, &value, failure);
        if (status == STATUS_OK && value != NULL)
            status = policy_set(&policy, policy_name(i), value, failure);
        free(value);
        free(name);
    }
    if (status == STATUS_OK)
        *ret_policy = policy;
    return status;
}

static const struct filed_sessions every_session = {1, INT64_MAX};

/* What a batch is held for: a word, and what that rests on. */
struct grounds {
    enum verdict_word verdict;
    char *rests_on; /* owned */
    bool news;      /* it has to do with what was filed just now, or may have */
};

static bool
was_filed(struct filed_sessions filed, int64_t session_id)
{
    return session_id >= filed.first && session_id <= filed.last;
}

/* Can a bar of these sessions be lye-heavy at all? */
static bool
may_be_lye_heavy(const struct dossier *dossier, struct filed_sessions filed)
{
    for (size_t i = 0; i < dossier->reading_count; i++) {
        const struct reading *reading = &dossier->readings[i];
        const struct specimen *specimen = dossier_specimen(dossier, reading->specimen_id);
        const struct session *session =
            specimen == NULL ? NULL : dossier_session(dossier, specimen->session_id);

        if (session != NULL && was_filed(filed, session->id) && reading->method == READING_METER &&
            reading_stands(reading) && reading_value_bound_ph(dossier, reading) > session->limit_ph)
            return true;
    }
    return false;
}

static bool
is_news(const struct conclusion *conclusion, struct filed_sessions filed)
{
    if (conclusion->basis != CONCLUSION_PH || filed.last == 0)
        return true;
    for (size_t i = 0; i < conclusion->ph.count; i++)
        if (was_filed(filed, conclusion->ph.verdicts[i].session->id))
            return true;
    return false;
}

/* The conclusion, or a lye-heavy bar of a session filed just now that it leaves standing. */
static enum status
find_grounds(const struct evidence *evidence, struct filed_sessions filed, struct grounds *ret_grounds,
             struct failure *failure)
{
    struct conclusion conclusion = {0};
    struct verdict_aid aid = evidence_aid(evidence);
    struct verdict_list all = {0};
    const struct verdict *worse = NULL;
    enum status status = conclusion_of(&evidence->dossier, &aid, &conclusion, failure);

    aid.ph_alone = true;
    if (status == STATUS_OK && conclusion.ph.count > 0 && may_be_lye_heavy(&evidence->dossier, filed))
        status = verdict_of_all(&evidence->dossier, &aid, &all, failure);
    if (status == STATUS_OK && conclusion.verdict != VERDICT_LYE_HEAVY)
        worse = conclusion_failure_among(&conclusion, &all, filed.first, filed.last);
    if (status == STATUS_OK)
        *ret_grounds = (struct grounds){.news = worse != NULL || is_news(&conclusion, filed),
                                        .verdict = worse == NULL ? conclusion.verdict : worse->verdict,
                                        .rests_on = worse == NULL ? conclusion_text(&conclusion)
                                                                  : conclusion_bar_text(worse)};
    verdict_list_clear(&all);
    conclusion_clear(&conclusion);
    return status;
}

/* Do they hold the batch? A maker who released it in spite of what stood on record need not do so again for what did
 * not change it. */
static bool
holds(const struct grounds *grounds, const struct dossier *dossier)
{
    struct state_request request = {.cause = STATE_BY_RESULT, .verdict = grounds->verdict};
    enum batch_state from = dossier->batch.state, next = from;
    struct failure none = {0}; /* a result is never refused */

    return release_next_state(from, &request, &next, &none) == STATUS_OK && next != from &&
           (grounds->news || !dossier_released_by_override(dossier));
}

static enum status
file_hold(struct context *context, const struct batch *batch, enum verdict_word verdict, char *rests_on,
          struct failure *failure)
{
    char *why = text_format("the result is %s", verdict_word(verdict));
    struct state_change change = {.batch_id = batch->id,
                                  .state = BATCH_HELD,
                                  .at = context_now(context),
                                  .why = why,
                                  .evidence = rests_on,
                                  .automatic = true};
    enum status status = state_change_store_add(context->store, &change, failure);

    free(why);
    return status;
}

static void
say_held(const struct context *context, const char *code, const char *rests_on)
{
    fprintf(context->out, "%s%s is %s now%s (%s)\n", context_tone(context, TONE_BAD), code,
            batch_state_word(BATCH_HELD), context_tone(context, TONE_PLAIN), rests_on);
}

enum status
batch_state_after_result(struct context *context, const char *code, struct filed_sessions filed,
                         struct failure *failure)
{
    struct evidence evidence = {0};
    const struct batch *batch = &evidence.dossier.batch;
    struct grounds grounds = {0};
    enum status status = evidence_load(context->store, code, &evidence, failure);

    if (status == STATUS_OK)
        status = find_grounds(&evidence, filed, &grounds, failure);
    if (status == STATUS_OK && holds(&grounds, &evidence.dossier)) {
        status = file_hold(context, batch, grounds.verdict, grounds.rests_on, failure);
        if (status == STATUS_OK)
            say_held(context, batch->code, grounds.rests_on);
    }
    free(grounds.rests_on);
    evidence_clear(&evidence);
    return status;
}

/* --- after many ------------------------------------------------------------------------------------------ */

/* What goes on while many batches are judged. */
struct holding {
    struct context *context;
    struct filed_sessions filed;
    size_t held;
};

/* In the thread that works a batch out: the word and what it rests on, when it holds the batch. */
static enum status
write_grounds(const struct followed *followed, const void *data, FILE *rows, struct failure *failure)
{
    const struct holding *holding = data;
    struct grounds grounds = {0};
    enum status status = find_grounds(&followed->evidence, holding->filed, &grounds, failure);

    if (status == STATUS_OK && holds(&grounds, &followed->evidence.dossier))
        fprintf(rows, "%d %s", (int)grounds.verdict, grounds.rests_on);
    free(grounds.rests_on);
    return status;
}

/* In the thread that owns the notebook. */
static enum status
take_grounds(struct followed *followed, void *payload, struct failure *failure)
{
    struct holding *holding = payload;
    const struct batch *batch = &followed->evidence.dossier.batch;
    enum status status = STATUS_OK;

    if (followed->rows_length > 0) {
        char *rests_on = NULL;
        enum verdict_word verdict = (enum verdict_word)strtol(followed->rows, &rests_on, 10);

        status = file_hold(holding->context, batch, verdict, rests_on + 1, failure);
        if (status == STATUS_OK && holding->held++ < BATCH_STATE_TOLD)
            say_held(holding->context, batch->code, rests_on + 1);
    }
    followed_free(followed);
    return status;
}

enum status
batch_state_after_many(struct context *context, const char *const *codes, size_t count,
                       struct filed_sessions filed, struct failure *failure)
{
    struct holding holding = {.context = context, .filed = filed};
    struct follow_request request = {
        .codes = codes, .count = count, .verdicts = true, .write = write_grounds, .write_data = &holding};
    enum status status = follow_batches(context->store, &request, take_grounds, &holding, failure);

    if (status == STATUS_OK && holding.held > BATCH_STATE_TOLD)
        fprintf(context->out, "and %zu more are held now: see curetrace batch list\n",
                holding.held - BATCH_STATE_TOLD);
    return status;
}

/* The word of the conclusion, or lye-heavy while an earlier test that was stands. */
static enum status
verdict_now(struct context *context, const char *code, enum verdict_word *ret_verdict,
            struct failure *failure)
{
    struct judged judged = {0};
    enum status status = judged_load(context->store, code, &judged, failure);

    if (status == STATUS_OK)
        status = judged_add_all(&judged, true, failure);
    if (status == STATUS_OK)
        *ret_verdict = conclusion_earlier_failure(&judged.conclusion, &judged.all) != NULL
                           ? VERDICT_LYE_HEAVY
                           : judged.conclusion.verdict;
    judged_clear(&judged);
    return status;
}

enum status
batch_standings_of_meter(struct context *context, int64_t meter_id, civil_time since,
                         struct batch_standings *ret_standings, struct failure *failure)
{
    struct batch_standings standings = {0};
    enum status status =
        batch_store_of_meter(context->store, meter_id, since, &standings.codes, &standings.count, failure);

    standings.verdicts = memory_new(standings.count + 1, sizeof *standings.verdicts);
    for (size_t i = 0; status == STATUS_OK && i < standings.count; i++)
        status = verdict_now(context, standings.codes[i], &standings.verdicts[i], failure);
    if (status == STATUS_OK)
        *ret_standings = standings;
    else
        batch_standings_clear(&standings);
    return status;
}

enum status
batch_standings_hold_worse(struct context *context, const struct batch_standings *standings,
                           struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < standings->count; i++) {
        enum verdict_word now = VERDICT_NOT_JUDGED;

        status = verdict_now(context, standings->codes[i], &now, failure);
        if (status == STATUS_OK && now > standings->verdicts[i])
            status = batch_state_after_result(context, standings->codes[i], every_session, failure);
    }
    return status;
}

void
batch_standings_clear(struct batch_standings *standings)
{
    for (size_t i = 0; i < standings->count; i++)
        free(standings->codes[i]);
    free(standings->codes);
    free(standings->verdicts);
    *standings = (struct batch_standings){0};
}

void
batch_state_print(const struct context *context, const struct dossier *dossier)
{
    for (size_t i = 0; i < dossier->state_change_count; i++) {
        const struct state_change *change = &dossier->state_changes[i];
        char at[MOMENT_TEXT_SIZE];
        char *line = text_format(
            "%s %s%s: %s%s%s%s", clock_moment_text(change->at, at), batch_state_word(change->state),
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

/* What a change rested on, as one text: the conclusion and each thing asked. Given: free() it. */
static char *
evidence_text(const struct conclusion *conclusion, const struct release_check *check)
{
    struct text text = {0};
    char *words = conclusion_text(conclusion);

    text_add(&text, words);
    for (size_t i = 0; i < check->count; i++)
        text_addf(&text, "; %s: %s (%s)", check->items[i].asked, check->items[i].met ? "yes" : "no",
                  check->items[i].found);
    free(words);
    return text_take(&text);
}

/* A maker's change, all read and judged but not filed yet. */
struct change {
    struct judged judged;
    struct release_check check;
};

static enum status
load(struct context *context, const struct options *options, struct change *change, struct failure *failure)
{
    struct policy policy;
    enum status status = batch_state_policy(context->store, &policy, failure);

    if (status == STATUS_OK)
        status = judged_load(context->store, options_name(options, 0), &change->judged, failure);
    if (status == STATUS_OK) {
        struct verdict_aid aid = evidence_aid(&change->judged.evidence);

        status = release_check_of(&change->judged.evidence.dossier, &change->judged.conclusion, &aid, &policy,
                                  context_today(context), &change->check, failure);
    }
    return status;
}

static void
change_clear(struct change *change)
{
    release_check_clear(&change->check);
    judged_clear(&change->judged);
}

static enum status
file(struct context *context, const struct change *change, const struct state_request *request,
     const char *why, struct failure *failure)
{
    char *evidence = request->cause == STATE_BY_RELEASE
                         ? evidence_text(&change->judged.conclusion, &change->check)
                         : conclusion_text(&change->judged.conclusion);
    struct state_change row = {.batch_id = change->judged.evidence.dossier.batch.id,
                               .at = context_now(context),
                               .why = (char *)(uintptr_t)why,
                               .evidence = evidence,
                               .overridden = request->cause == STATE_BY_RELEASE && !request->evidence_met};
    enum status status =
        release_next_state(change->judged.evidence.dossier.batch.state, request, &row.state, failure);

    if (status == STATUS_OK)
        status = state_change_store_add(context->store, &row, failure);
    if (status == STATUS_OK)
        fprintf(context->out, "%s is %s now%s: %s\n", change->judged.evidence.dossier.batch.code,
                batch_state_word(row.state), row.overridden ? ", by override" : "", why);
    free(evidence);
    return status;
}

static enum status
run_simple(struct context *context, const struct options *options, enum state_cause cause,
           struct failure *failure)
{
    struct change change = {0};
    struct state_request request = {.cause = cause};
    const char *why = options_text(options, "why");
    enum status status = STATUS_OK;

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "why? the record keeps the reason (--why \"...\")");
    status = load(context, options, &change, failure);
    if (status == STATUS_OK)
        status = file(context, &change, &request, why, failure);
    if (status == STATUS_OK)
        caution_print(context, CAUTION_BAR);
    change_clear(&change);
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
refuse(const struct context *context, const struct change *change, struct failure *failure)
{
    const struct release_check *check = &change->check;
    size_t missing = 0;

    for (size_t i = 0; i < check->count; i++)
        missing += check->items[i].met ? 0U : 1U;
    fprintf(context->err, "Missing of what the policy asks (%zu of %zu):\n", missing, check->count);
    for (size_t i = 0; i < check->count; i++)
        if (!check->items[i].met)
            print_item(context, context->err, "-", &check->items[i]);
    return failure_set(failure, STATUS_CONFLICT,
                       "%s is not released; --override with --why releases it in spite of that, on record",
                       change->judged.evidence.dossier.batch.code);
}

static enum status
run_release(struct context *context, const struct options *options, struct failure *failure)
{
    struct change change = {0};
    struct state_request request = {.cause = STATE_BY_RELEASE,
                                    .overridden = options_has(options, "override")};
    const char *why = options_text(options, "why");
    enum batch_state next;
    enum status status = STATUS_OK;

    if (request.overridden && (why == NULL || *why == '\0'))
        return failure_set(
            failure, STATUS_USAGE,
            "why? an override needs a reason, which the record shows for ever (--why \"...\")");
    status = load(context, options, &change, failure);
    request.evidence_met = change.check.met;
    if (status == STATUS_OK) /* first, so that a state that cannot be released says so itself */
        status = release_next_state(change.judged.evidence.dossier.batch.state,
                                    &(struct state_request){.cause = STATE_BY_RELEASE, .evidence_met = true},
                                    &next, failure);
    if (status == STATUS_OK && !request.evidence_met && !request.overridden)
        status = refuse(context, &change, failure);
    else if (status == STATUS_OK)
        print_check(context, &change.check);
    if (status == STATUS_OK)
        status = file(context, &change, &request,
                      why != NULL && *why != '\0' ? why : "the evidence that the policy asks for is there",
                      failure);
    if (status == STATUS_OK)
        caution_print(context, change.check.met ? 0u : (unsigned)CAUTION_BAR);
    change_clear(&change);
    return status;
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
