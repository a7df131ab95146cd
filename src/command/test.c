/* test.c - "test" and "resume": the guided walk-through.
 *
 * Rules
 * (1) CODE/BAR names one bar of a batch; a code that holds a slash itself is taken whole first.
 * (2) Gear that is not named is the only one of its kind, if the procedure uses that kind; with several
 *     the person is asked to name it.
 * (3) A procedure without specimens (meter-check) takes no batch.
 * (4) A test that was written down on paper is filed with --at: all of it has that time. */
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "batches_named.h"
#include "bench.h"
#include "commands.h"
#include "file.h"
#include "gear_store.h"
#include "memory.h"
#include "number.h"
#include "prompt.h"
#include "session_store.h"
#include "shelf.h"
#include "sitting.h"
#include "step_file.h"
#include "test.h"
#include "text.h"
#include "unfinished.h"
#include "walk_prompt.h"

static const struct option_spec test_options[] = {
    {.name = "procedure",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "soap-1pct-40c when not said; a name or the path of your own file"},
    {.name = "procedures", .kind = OPTION_FLAG, .help = "list the procedures there are"},
    {.name = "meter",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which meter; the only one when not said"},
    {.name = "paper",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which paper; the only one when not said"},
    {.name = "balance",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which balance; the only one when not said"},
    {.name = "thermometer",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which thermometer; the only one when not said"},
    {.name = "at",
     .kind = OPTION_TIME,
     .value = "TIME",
     .help = "when it was made, for a test written down on paper and filed later; now"},
    {.name = "by", .kind = OPTION_TEXT, .value = "NAME", .help = "who read"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "kept with the session"},
    {.name = NULL},
};
static const struct option_spec resume_options[] = {
    {.name = "close",
     .kind = OPTION_FLAG,
     .help = "do not go on: close it as it is, with --why; what was read stays and counts"},
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "with --close: the reason, kept"},
    {.name = "at",
     .kind = OPTION_TIME,
     .value = "TIME",
     .help = "when the rest was done, for a test written down on paper and filed later; now"},
    {.name = NULL},
};

/* What a session is begun with, owned. */
struct kit {
    civil_time at; /* when the session began */
    struct procedure procedure;
    struct gear meter, paper, balance, thermometer;
    struct bench_bar *bars;
    char **codes, **labels; /* of each bar; a label is NULL when none was named */
    size_t bar_count;
};

static void
kit_clear(struct kit *kit)
{
    procedure_clear(&kit->procedure);
    gear_clear(&kit->meter);
    gear_clear(&kit->paper);
    gear_clear(&kit->balance);
    gear_clear(&kit->thermometer);
    for (size_t i = 0; i < kit->bar_count; i++) {
        free(kit->codes[i]);
        free(kit->labels[i]);
    }
    free(kit->codes);
    free(kit->labels);
    free(kit->bars);
}

/* Every mistake of a procedure file, a line each, before the failure. */
static enum status
read_procedure(struct context *context, const char *name, struct procedure *procedure,
               struct failure *failure)
{
    struct shelf shelf;
    struct text mistakes = {0};
    enum status status;

    shelf_init(&shelf, context->procedures);
    status = shelf_read(&shelf, name, procedure, &mistakes, failure);
    if (status != STATUS_OK)
        fputs(text_of(&mistakes), context->err);
    text_clear(&mistakes);
    shelf_clear(&shelf);
    return status;
}

/* Rule 1. */
static enum status
find_bar(struct store *store, const char *name, struct kit *kit, struct failure *failure)
{
    struct batch batch = {0};
    size_t i = kit->bar_count;
    enum status status = batch_named(store, name, &batch, &kit->labels[i], failure);

    if (status == STATUS_OK && clock_day_of(kit->at) < batch.made_on)
        status = failure_set(failure, STATUS_RANGE, "--at is before batch %s was poured", batch.code);
    kit->bars[i] = (struct bench_bar){.batch_id = batch.id, .bar = kit->labels[i]};
    kit->codes[i] = memory_copy(batch.code);
    batch_clear(&batch);
    return status;
}

static enum status
find_bars(struct store *store, const struct options *options, size_t portions, struct kit *kit,
          struct failure *failure)
{
    size_t count = options_name_count(options) * portions;
    enum status status = STATUS_OK;

    kit->bars = memory_new(count, sizeof *kit->bars);
    kit->codes = memory_new(count, sizeof *kit->codes);
    kit->labels = memory_new(count, sizeof *kit->labels);
    for (; status == STATUS_OK && kit->bar_count < count; kit->bar_count++)
        status = find_bar(store, options_name(options, kit->bar_count / portions), kit, failure);
    return status;
}

/* Is there a step that this kind of gear is for? */
static bool
is_used(const struct procedure *procedure, enum gear_kind kind)
{
    bool ph = procedure_uses(procedure, STEP_PH), paper = procedure_uses(procedure, STEP_PAPER);

    switch (kind) {
    case GEAR_METER:
        return ph;
    case GEAR_PAPER:
        return paper;
    case GEAR_BALANCE:
        return procedure_uses(procedure, STEP_MASS);
    case GEAR_THERMOMETER:
        return ph || paper || procedure_uses(procedure, STEP_TEMPERATURE);
    case GEAR_BUFFER:
    default:
        return false;
    }
}

/* Which of several, asked at a terminal; the session keeps it, so that it is asked once in a sitting. */
struct several {
    const char *names[16]; /* lent */
    size_t count;
    size_t chosen;
};

static enum status
take_name(const char *text, void *payload, struct failure *failure)
{
    struct several *several = payload;

    return answer_text_choice(text, (char *const *)(uintptr_t)several->names, several->count,
                              &several->chosen, failure);
}

static enum status
ask_which(struct context *context, enum gear_kind kind, struct gear *gear, struct failure *failure)
{
    struct prompt prompt = prompt_at(context);
    struct several several = {.count = 0};
    struct text question = {0};
    struct gear *all = NULL;
    size_t count = 0;
    char *typed = NULL;
    enum status status = gear_store_list(context->store, &all, &count, failure);

    text_addf(&question, "Which %s?", gear_kind_word(kind));
    for (size_t i = 0; i < count && several.count < LENGTH(several.names); i++) {
        if (all[i].kind != kind || all[i].retired)
            continue;
        text_addf(&question, "%s %s", several.count == 0 ? "" : ",", all[i].name);
        several.names[several.count++] = all[i].name;
    }
    text_add(&question, ":");
    setvbuf(context->in, NULL, _IONBF, 0); /* interrupt_await() */
    if (status == STATUS_OK && prompt_ask(&prompt, text_of(&question),
                                          "The first letters will do; gear default makes one the usual one.",
                                          take_name, &several, &typed) == REPLY_VALUE)
        status = gear_store_find(context->store, kind, several.names[several.chosen], gear, failure);
    else if (status == STATUS_OK)
        status = failure_set(failure, STATUS_USAGE, "nothing was begun");
    for (size_t i = 0; i < count; i++)
        gear_clear(&all[i]);
    free(all);
    free(typed);
    text_clear(&question);
    return status;
}

/* Rule 2. None at all is no failure here; the procedure says what it needs. */
static enum status
find_gear(struct context *context, const struct options *options, const struct procedure *procedure,
          enum gear_kind kind, struct gear *gear, struct failure *failure)
{
    struct store *store = context->store;
    const char *name = options_text(options, gear_kind_word(kind));
    struct failure none = {0};
    enum status status;

    if (name != NULL)
        return gear_store_find(store, kind, name, gear, failure);
    if (!is_used(procedure, kind))
        return STATUS_OK;
    status = gear_store_only(store, kind, gear, &none);
    if (status == STATUS_OK || status == STATUS_MISSING)
        return STATUS_OK;
    if (status == STATUS_CONFLICT && context->terminal_in && context->terminal_out)
        return ask_which(context, kind, gear, failure);
    *failure = none;
    return status;
}

static enum status
collect(struct context *context, const struct options *options, const char *procedure, size_t portions,
        struct kit *kit, struct failure *failure)
{
    struct store *store = context->store;
    enum status status = context_moment(context, options, "at", &kit->at, failure);

    if (status == STATUS_OK)
        status = read_procedure(context, procedure, &kit->procedure, failure);
    if (status == STATUS_OK)
        status = find_bars(store, options, portions, kit, failure);
    if (status == STATUS_OK)
        status = find_gear(context, options, &kit->procedure, GEAR_METER, &kit->meter, failure);
    if (status == STATUS_OK)
        status = find_gear(context, options, &kit->procedure, GEAR_PAPER, &kit->paper, failure);
    if (status == STATUS_OK)
        status = find_gear(context, options, &kit->procedure, GEAR_BALANCE, &kit->balance, failure);
    if (status == STATUS_OK)
        status = find_gear(context, options, &kit->procedure, GEAR_THERMOMETER, &kit->thermometer, failure);
    return status;
}

static const struct gear *
or_none(const struct gear *gear)
{
    return gear->id == 0 ? NULL : gear;
}

static enum status
list_procedures(struct context *context)
{
    struct shelf shelf;
    struct words names = {0};

    shelf_init(&shelf, context->procedures);
    shelf_names(&shelf, &names);
    for (size_t i = 0; i < names.count; i++) {
        struct procedure procedure = {0};
        struct failure failure = {0};

        if (shelf_read(&shelf, names.items[i], &procedure, NULL, &failure) == STATUS_OK)
            fprintf(context->out, "%-22s %s\n", names.items[i], procedure.title);
        else
            fprintf(context->out, "%-22s cannot be used: %s\n", names.items[i], failure.text);
        procedure_clear(&procedure);
    }
    words_clear(&names);
    shelf_clear(&shelf);
    return STATUS_OK;
}

/* Rule 4: the time of the bench, which typing it in later does not move. */
static civil_time
bench_now(void *data)
{
    const civil_time *at = data;

    return *at;
}

/* Walk with the bench's clock when --at was written. */
static enum status
walk_at(struct context *context, const struct options *options, civil_time at, int64_t session_id,
        struct failure *failure)
{
    struct context bench = *context;
    char *after_resume = NULL, moment[MOMENT_TEXT_SIZE];
    bool finished = false;
    enum status status;

    if (options_has(options, "at")) {
        bench.clock = bench_now;
        bench.clock_data = &at;
        after_resume = text_format(" --at %s", clock_moment_text(at, moment));
    }
    status = walk_prompt(&bench, session_id, after_resume == NULL ? "" : after_resume, &finished, failure);
    free(after_resume);
    return status == STATUS_OK ? sitting_after(&bench, session_id, finished, failure) : status;
}

static enum status
begin_and_walk(struct context *context, const struct kit *kit, const struct options *options,
               struct failure *failure)
{
    const struct bench_setup setup = {.procedure = &kit->procedure,
                                      .meter = or_none(&kit->meter),
                                      .paper = or_none(&kit->paper),
                                      .balance = or_none(&kit->balance),
                                      .thermometer = or_none(&kit->thermometer),
                                      .bars = kit->bars,
                                      .bar_count = kit->bar_count,
                                      .note = options_text(options, "note"),
                                      .by = options_text(options, "by")};
    int64_t session_id = 0;
    enum status status = bench_begin(context->store, &setup, kit->at, &session_id, failure);

    return status == STATUS_OK ? walk_at(context, options, kit->at, session_id, failure) : status;
}

/* A second walk-through of a batch whose first one waits is rarely meant. */
static enum status
warn_of_unfinished(const struct context *context, const struct kit *kit, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < kit->bar_count; i++) {
        int64_t session_id = 0;
        bool told = false;

        for (size_t k = 0; k < i; k++)
            told = told || kit->bars[k].batch_id == kit->bars[i].batch_id;
        if (!told)
            status = unfinished_of_batch(context->store, kit->bars[i].batch_id, &session_id, failure);
        if (session_id != 0)
            fprintf(context->out,
                    "%s has a session that is not finished: curetrace resume %lld goes on with it\n",
                    kit->codes[i], (long long)session_id);
    }
    return status;
}

enum status
test_walk_procedure(struct context *context, const struct options *options, const char *procedure,
                    size_t portions, struct failure *failure)
{
    struct kit kit = {.bar_count = 0};
    enum status status = collect(context, options, procedure, portions, &kit, failure);

    if (status == STATUS_OK)
        status = warn_of_unfinished(context, &kit, failure);
    if (status == STATUS_OK)
        status = begin_and_walk(context, &kit, options, failure);
    kit_clear(&kit);
    return status;
}

static enum status
run_test(struct context *context, const struct options *options, struct failure *failure)
{
    const char *procedure = options_text(options, "procedure");

    if (options_has(options, "procedures"))
        return list_procedures(context);
    return test_walk_procedure(context, options, procedure == NULL ? PROCEDURE_USUAL : procedure, 1, failure);
}

/* The rest of a session cannot be older than its beginning. */
static enum status
check_not_before(struct store *store, int64_t session_id, civil_time at, struct failure *failure)
{
    struct bench bench = {0};
    enum status status = bench_lay_out(store, session_id, &bench, failure);

    if (status != STATUS_OK)
        return status;
    if (at < bench.session.started_at)
        status =
            failure_set(failure, STATUS_RANGE, "--at is before session %lld began", (long long)session_id);
    bench_clear(&bench);
    return status;
}

/* By a clock that was put back, readings would stand before the weighing they belong to. */
static enum status
check_clock(struct store *store, int64_t session_id, civil_time now, struct failure *failure)
{
    char says[MOMENT_TEXT_SIZE], stands[MOMENT_TEXT_SIZE];
    struct answer *answers = NULL;
    civil_time latest = now;
    size_t count = 0;
    enum status status = answer_store_of_session(store, session_id, &answers, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (answers[i].answered_at > latest)
            latest = answers[i].answered_at;
        answer_clear(&answers[i]);
    }
    free(answers);
    if (status != STATUS_OK || latest == now)
        return status;
    return failure_set(
        failure, STATUS_RANGE,
        "the computer's clock went back: it says %s, and session %lld has an answer of %s; put it right, or "
        "say when the rest was done with --at",
        clock_moment_text(now, says), (long long)session_id, clock_moment_text(latest, stands));
}

/* The only one that is unfinished; with several the person is asked to name it. */
static enum status
find_unfinished(struct store *store, int64_t *ret_id, struct failure *failure)
{
    enum { SHOWN = 8 };
    struct unfinished *sessions = NULL;
    size_t count = 0;
    enum status status = unfinished_list(store, &sessions, &count, failure);

    if (status == STATUS_OK && count == 0)
        status = failure_set(failure, STATUS_MISSING, "there is no unfinished session to go on with");
    if (status == STATUS_OK && count == 1)
        *ret_id = sessions[0].id;
    if (status == STATUS_OK && count > 1) {
        struct text list = {0};

        for (size_t i = 0; i < count && i < SHOWN; i++) {
            char begun[MOMENT_TEXT_SIZE];

            text_addf(&list, "%s%lld (%s%sbegun %s)", i == 0 ? "" : ", ", (long long)sessions[i].id,
                      sessions[i].codes, *sessions[i].codes == '\0' ? "" : "; ",
                      clock_moment_text(sessions[i].begun, begun));
        }
        status = failure_set(failure, STATUS_USAGE,
                             "%zu sessions are unfinished: %.700s%s; say which, as in curetrace resume %lld",
                             count, text_of(&list), count > SHOWN ? " and older ones" : "",
                             (long long)sessions[0].id);
        text_clear(&list);
    }
    unfinished_free(sessions, count);
    return status;
}

static enum status
run_resume(struct context *context, const struct options *options, struct failure *failure)
{
    double number = 0.0;
    int64_t session_id = 0;
    civil_time at;
    enum status status = context_moment(context, options, "at", &at, failure);

    if (status != STATUS_OK)
        return status;
    if (options_name_count(options) == 0) {
        status = find_unfinished(context->store, &session_id, failure);
    } else {
        status = number_parse_in(options_name(options, 0), NUMBER_POINT, "the session's number", 1, 1e15,
                                 &number, failure);
        session_id = (int64_t)number;
    }
    if (status == STATUS_OK)
        status = options_has(options, "at") ? check_not_before(context->store, session_id, at, failure)
                                            : check_clock(context->store, session_id, at, failure);
    if (status == STATUS_OK && options_has(options, "close"))
        return sitting_close_early(context, session_id, at, options_text(options, "why"), failure);
    if (status == STATUS_OK && options_has(options, "why"))
        status = failure_set(failure, STATUS_USAGE, "--why goes with --close");
    if (status == STATUS_OK) /* whatever stopped it, what was read is judged before more is asked */
        status = sitting_after(context, session_id, false, failure);
    return status == STATUS_OK ? walk_at(context, options, at, session_id, failure) : status;
}

const struct command test_command = {
    .name = "test",
    .names = "CODE[/BAR] [CODE[/BAR] ...]",
    .fewest = 0,
    .most = -1,
    .summary = "be guided through a test of one or several bars; every answer is kept at once",
    .example = "curetrace test W-07 W-08",
    .options = test_options,
    .needs = COMMAND_CHANGES_STORE,
    .needs_nothing_with = "procedures",
    .run = run_test,
};
const struct command resume_command = {
    .name = "resume",
    .names = "[SESSION]",
    .most = 1,
    .summary = "go on with a test that was left, where it stopped, or close it as it is",
    .example = "curetrace resume 3 --close --why \"the solution went cold\"",
    .options = resume_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run_resume,
};
