/* runner.c - the walk-through. */
#include "runner.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "guide.h"
#include "memory.h"
#include "session_store.h"
#include "text.h"
#include "walk.h"

struct run {
    struct runner *runner; /* lent */
    struct prompt *prompt; /* the runner's */
    struct walk walk;
    const struct step *shown_step; /* what the screen shows, so that it is not said again */
    size_t shown_specimen;
    bool opened;
    const struct question
        *waited_for; /* a wait that something was typed into, and how long it lasted so far */
    int waited_s;
};

/* What became of a question. */
enum outcome { OUTCOME_AGAIN, OUTCOME_FILED, OUTCOME_BACK, OUTCOME_QUIT };

/* What was typed, before it is an answer. */
struct typed {
    const struct question *question;
    const struct gear *paper;
    bool correcting, can_calibrate;
    bool keep, calibrate; /* Enter alone at a correction; "calibrate" at a meter check */
    double value, value_high, temperature_c;
    size_t choice;
};

static enum status
file_note(struct run *run, const struct question *question, const char *words, struct failure *failure)
{
    struct answer answer = walk_new_answer(&run->walk, question, ANSWER_NOTED, prompt_now(run->prompt));
    enum status status;

    answer.text = memory_copy(words);
    status = walk_file_row(&run->walk, &answer, failure);
    if (status == STATUS_OK)
        prompt_say(run->prompt, "  noted");
    answer_clear(&answer);
    return status;
}

static enum status
take_done(const char *text, struct failure *failure)
{
    static const char *const done[] = {"", "done", "ok", "yes", "y"};

    for (size_t i = 0; i < LENGTH(done); i++)
        if (text_same(text, done[i]))
            return STATUS_OK;
    return failure_set(failure, STATUS_FORMAT, "'%.60s' is no answer here: press Enter when it is done",
                       text);
}

static enum status
take_choice(const char *text, struct typed *typed, struct failure *failure)
{
    const struct words *choices = &typed->question->step->choices;

    if (!typed->can_calibrate || !text_same(text, "calibrate"))
        return answer_text_choice(text, choices->items, choices->count, &typed->choice, failure);
    typed->calibrate = true;
    return STATUS_OK;
}

/* What prompt_ask() parses with. */
static enum status
take(const char *text, void *payload, struct failure *failure)
{
    struct typed *typed = payload;

    if (typed->correcting && *text == '\0') {
        typed->keep = true;
        return STATUS_OK;
    }
    if (typed->question->part == QUESTION_TEMPERATURE)
        return answer_text_temperature(text, &typed->value, failure);
    switch (typed->question->step->kind) {
    case STEP_MASS:
        return answer_text_mass(text, &typed->value, failure);
    case STEP_VOLUME:
        return answer_text_volume(text, &typed->value, failure);
    case STEP_CONCENTRATION:
        return answer_text_concentration(text, &typed->value, failure);
    case STEP_TEMPERATURE:
        return answer_text_temperature(text, &typed->value, failure);
    case STEP_PH:
        return answer_text_ph(text, &typed->value, &typed->temperature_c, failure);
    case STEP_PAPER:
        return answer_text_range(text, typed->paper, &typed->value, &typed->value_high, &typed->temperature_c,
                                 failure);
    case STEP_CHOICE:
        return take_choice(text, typed, failure);
    case STEP_DO:
    case STEP_WAIT:
        return take_done(text, failure);
    case STEP_NOTE:
        break; /* any words will do */
    }
    return STATUS_OK;
}

static void
say_kept(struct run *run, const struct question *question, const struct answer *answer)
{
    char *words = guide_answer(question, answer);

    if (question->step->kind != STEP_DO && question->step->kind != STEP_NOTE)
        prompt_say(run->prompt, "  kept: %s", words);
    if (question->reading != 0 && question->step->kind == STEP_PH && question->part == QUESTION_VALUE &&
        answer->value > run->walk.bench.session.limit_ph)
        prompt_say(
            run->prompt,
            "  ! Above the limit of %g: handle bar and solution as lye, with gloves and goggles, and keep "
            "the batch held.",
            run->walk.bench.session.limit_ph);
    free(words);
}

/* pH and temperature from one line: both in one transaction, and one reading. */
static enum status
file_both(struct run *run, const struct question *question, struct answer *value, double temperature_c,
          const char *why, struct failure *failure)
{
    struct answer temperature =
        walk_new_answer(&run->walk, question + 1, ANSWER_DONE, prompt_now(run->prompt));
    enum status status = store_begin(run->runner->store, failure);

    if (status == STATUS_OK) {
        temperature.value = temperature_c;
        status = walk_file(&run->walk, question, value, why, NULL, failure);
        if (status == STATUS_OK)
            status = walk_file(&run->walk, question + 1, &temperature, why, value, failure);
        status = store_end(run->runner->store, status, failure);
    }
    if (status == STATUS_OK) {
        say_kept(run, question, value);
        say_kept(run, question + 1, &temperature);
    }
    answer_clear(&temperature);
    return status;
}

static enum status
file_typed(struct run *run, const struct typed *typed, const char *text, const char *why,
           struct failure *failure)
{
    const struct question *question = typed->question;
    struct answer answer = walk_new_answer(&run->walk, question, ANSWER_DONE, prompt_now(run->prompt));
    enum status status;

    answer.value = typed->value;
    answer.value_high = typed->value_high;
    if (question->step->kind == STEP_CHOICE)
        answer.text = memory_copy(question->step->choices.items[typed->choice]);
    if (question->step->kind == STEP_NOTE && *text != '\0')
        answer.text = memory_copy(text);
    if (question == run->waited_for)
        answer.text = text_format("cut short after %d of %d s", run->waited_s, question->step->duration_s);
    if (!isnan(typed->temperature_c)) {
        status = file_both(run, question, &answer, typed->temperature_c, why, failure);
    } else {
        status =
            walk_file(&run->walk, question, &answer, why, walk_other_half(&run->walk, question), failure);
        if (status == STATUS_OK)
            say_kept(run, question, &answer);
    }
    answer_clear(&answer);
    return status;
}

/* Words that stand behind note or skip, or are asked for. NULL: none were given; *ret_outcome says what then.
 */
static char *
words_for(struct run *run, char *words, const char *question, const char *usual, enum outcome *ret_outcome)
{
    enum reply reply;

    if (*words != '\0')
        return words;
    free(words);
    words = NULL;
    reply = prompt_ask_words(run->prompt, question, usual, &words);
    *ret_outcome = reply == REPLY_QUIT ? OUTCOME_QUIT : OUTCOME_AGAIN;
    return words;
}

static enum status
leave_out(struct run *run, const struct question *question, char *words, enum outcome *ret_outcome,
          struct failure *failure)
{
    const char *usual = question->step->optional != 0 ? "optional" : NULL;
    struct answer answer;
    enum status status;

    words = words_for(run, words, "why is it left out?", usual, ret_outcome);
    if (words == NULL)
        return STATUS_OK;
    answer = walk_new_answer(&run->walk, question, ANSWER_SKIPPED, prompt_now(run->prompt));
    status = walk_file(&run->walk, question, &answer, words, walk_other_half(&run->walk, question), failure);
    *ret_outcome = OUTCOME_FILED;
    if (status == STATUS_OK)
        say_kept(run, question, &answer);
    if (status == STATUS_CONFLICT) { /* a mass that is weighed already; nothing was written */
        prompt_say(run->prompt, "  %s", failure->text);
        *ret_outcome = OUTCOME_AGAIN;
        status = STATUS_OK;
    }
    answer_clear(&answer);
    free(words);
    return status;
}

static enum status
keep_note(struct run *run, const struct question *question, char *words, enum outcome *ret_outcome,
          struct failure *failure)
{
    enum status status = STATUS_OK;

    *ret_outcome = OUTCOME_AGAIN;
    words = words_for(run, words, "note:", NULL, ret_outcome);
    if (words != NULL)
        status = file_note(run, question, words, failure);
    free(words);
    return status;
}

static void
calibrate_now(struct run *run)
{
    struct failure failure = {0};

    assert(run->runner->calibrate != NULL && run->walk.bench.meter != NULL); /* typed.can_calibrate */
    if (run->runner->calibrate(run->runner->calibrate_data, run->walk.bench.meter->id, &failure) != STATUS_OK)
        prompt_say(run->prompt, "  %s", failure.text);
}

/* Ask, and deal with the reply. `why` is the reason of a correction, or NULL. */
static enum status
ask(struct run *run, const struct question *question, const char *why, enum outcome *ret_outcome,
    struct failure *failure)
{
    struct typed typed = {.question = question,
                          .paper = run->walk.bench.paper,
                          .correcting = why != NULL,
                          .value = NAN,
                          .value_high = NAN,
                          .temperature_c = NAN};
    char *words = guide_question(question), *help = guide_help(question, &run->walk.bench), *text = NULL;
    enum status status = STATUS_OK;
    enum reply reply;

    typed.can_calibrate = run->runner->calibrate != NULL && run->walk.bench.meter != NULL &&
                          question->step->records == RECORDS_METER_CHECK;
    reply = prompt_ask(run->prompt, words, help, take, &typed, &text);
    *ret_outcome = OUTCOME_FILED;
    if (reply == REPLY_NOTE) {
        status = keep_note(run, question, text, ret_outcome, failure);
        text = NULL;
    } else if (reply == REPLY_SKIP) {
        status = leave_out(run, question, text, ret_outcome, failure);
        text = NULL;
    } else if (reply != REPLY_VALUE) {
        *ret_outcome = reply == REPLY_BACK ? OUTCOME_BACK : OUTCOME_QUIT;
    } else if (typed.calibrate) {
        calibrate_now(run);
        *ret_outcome = OUTCOME_AGAIN;
    } else if (!typed.keep) {
        status = file_typed(run, &typed, text, why, failure);
    }
    free(text);
    free(words);
    free(help);
    return status;
}

/* Let a step's time pass, or what is left of it; when it is over that is the answer. Gives false when
 * something was typed. */
static bool
wait_over(struct run *run, const struct question *question, enum status *ret_status, struct failure *failure)
{
    int duration_s = question->step->duration_s, elapsed_s;
    struct answer answer;

    if (run->waited_for != question)
        run->waited_s = 0;
    run->waited_for = question;
    if (!run->prompt->terminal)
        prompt_say(run->prompt, "  %d s: taken as done, because nobody waits at a pipe", duration_s);
    if (prompt_wait(run->prompt, duration_s - run->waited_s, &elapsed_s)) {
        run->waited_s += elapsed_s;
        return false;
    }
    answer = walk_new_answer(&run->walk, question, ANSWER_DONE, prompt_now(run->prompt));
    answer.text = text_format(run->prompt->terminal ? "waited %d s" : "%d s, not timed here", duration_s);
    *ret_status = walk_file(&run->walk, question, &answer, NULL, NULL, failure);
    answer_clear(&answer);
    return true;
}

/* The answer that stands, once more, with `reason` behind what it says already. */
static enum status
file_reason(struct run *run, const struct question *question, const char *reason, struct failure *failure)
{
    const struct answer *old = walk_answer(&run->walk, question);
    struct answer answer = walk_new_answer(&run->walk, question, ANSWER_DONE, old->answered_at);
    enum status status;

    answer.value = old->value;
    answer.value_high = old->value_high;
    answer.temperature_c = old->temperature_c;
    answer.text = memory_copy(old->text);
    answer.deviation = memory_copy(old->deviation);
    answer.why = old->why == NULL ? memory_copy(reason) : text_format("%s; %s", old->why, reason);
    answer.supersedes = old->id;
    status = walk_file_row(&run->walk, &answer, failure);
    answer_clear(&answer);
    return status;
}

static enum status
ask_reason(struct run *run, const struct question *question, enum outcome *ret_outcome,
           struct failure *failure)
{
    enum status status = STATUS_OK;
    char *reason = NULL;
    enum reply reply;

    prompt_say(run->prompt, "  %s. It is kept as it is.", walk_answer(&run->walk, question)->deviation);
    reply = prompt_ask_words(run->prompt, "why (or back, to type it again)?", NULL, &reason);
    *ret_outcome = reply == REPLY_BACK ? OUTCOME_BACK : (reply == REPLY_QUIT ? OUTCOME_QUIT : OUTCOME_FILED);
    if (reply == REPLY_VALUE)
        status = file_reason(run, question, reason, failure);
    free(reason);
    return status;
}

/* Show what stands above a question, unless it is on the screen. */
static enum status
show(struct run *run, const struct question *question, struct failure *failure)
{
    if (!run->opened || run->shown_specimen != question->specimen)
        guide_specimen(run->prompt, &run->walk.bench, question->specimen);
    else if (run->shown_step == question->step)
        return STATUS_OK;
    run->opened = true;
    run->shown_specimen = question->specimen;
    run->shown_step = question->step;
    guide_step(run->prompt, &run->walk.bench, question);
    guide_mass(run->prompt, &run->walk.bench, question);
    if (question->step->records == RECORDS_METER_CHECK && question->step->kind == STEP_CHOICE) {
        if (run->runner->calibrate != NULL && run->walk.bench.meter != NULL)
            prompt_say(run->prompt, "    Type calibrate to do it now.");
        return guide_meter(run->prompt, run->runner->store, &run->walk.bench, failure);
    }
    return STATUS_OK;
}

/* Ask an open question. */
static enum status
go_on(struct run *run, const struct question *question, enum outcome *ret_outcome, struct failure *failure)
{
    enum status status = show(run, question, failure);

    *ret_outcome = OUTCOME_FILED;
    if (status != STATUS_OK)
        return status;
    if (walk_answer(&run->walk, question) != NULL)
        return ask_reason(run, question, ret_outcome, failure);
    if (question->step->kind == STEP_WAIT && wait_over(run, question, &status, failure))
        return status;
    return ask(run, question, NULL, ret_outcome, failure);
}

/* Ask an answered question again; the reason first, so that the new answer is filed with it at once. */
static enum status
go_back(struct run *run, const struct question *question, enum outcome *ret_outcome, struct failure *failure)
{
    char *was, *place, *why = NULL;
    enum status status = show(run, question, failure);
    enum reply reply;

    if (status != STATUS_OK)
        return status;
    was = guide_answer(question, walk_answer(&run->walk, question));
    place = guide_place(&run->walk.bench, question);
    prompt_say(run->prompt, "  Back at %s, which was: %s", place, was);
    free(place);
    free(was);
    reply = prompt_ask_words(run->prompt, "why is it changed (Enter: typed wrongly)?", "typed wrongly", &why);
    if (reply != REPLY_VALUE) {
        *ret_outcome = reply == REPLY_BACK ? OUTCOME_BACK : OUTCOME_QUIT;
        return STATUS_OK;
    }
    prompt_say(run->prompt, "  Enter alone keeps what it was.");
    do {
        status = ask(run, question, why, ret_outcome, failure);
    } while (status == STATUS_OK && *ret_outcome == OUTCOME_AGAIN);
    free(why);
    return status;
}

static enum status
finish(struct run *run, struct failure *failure)
{
    struct store *store = run->runner->store;
    char *open = walk_left_open(&run->walk);
    enum status status = store_begin(store, failure);

    if (status == STATUS_OK)
        status = store_end(
            store,
            session_store_close(store, run->walk.bench.session.id, prompt_now(run->prompt), open, failure),
            failure);
    if (status == STATUS_OK)
        guide_finished(run->prompt, &run->walk.bench, open);
    free(open);
    return status;
}

/* Where "back" leads from `index`; `index` itself, where a reason was asked for its deviation. */
static size_t
back_from(struct run *run, size_t index, bool going_back)
{
    size_t before = index;

    if (going_back || walk_answer(&run->walk, &run->walk.questions[index]) == NULL)
        before = walk_before(&run->walk, index);
    if (before != WALK_NONE)
        return before;
    prompt_say(run->prompt, "  there is no answer before this one");
    return going_back ? index : WALK_NONE;
}

static enum status
walk_on(struct run *run, bool *ret_finished, struct failure *failure)
{
    size_t back_to = WALK_NONE;

    for (;;) {
        size_t index = back_to != WALK_NONE ? back_to : walk_next(&run->walk);
        enum outcome outcome;
        enum status status;

        *ret_finished = index == WALK_NONE;
        if (index == WALK_NONE)
            return finish(run, failure);
        status = back_to != WALK_NONE ? go_back(run, &run->walk.questions[index], &outcome, failure)
                                      : go_on(run, &run->walk.questions[index], &outcome, failure);
        if (status != STATUS_OK)
            return status;
        if (outcome == OUTCOME_QUIT) {
            guide_left(run->prompt, &run->walk.bench);
            return STATUS_OK;
        }
        if (outcome == OUTCOME_BACK)
            back_to = back_from(run, index, back_to != WALK_NONE);
        else if (outcome == OUTCOME_FILED)
            back_to = WALK_NONE;
    }
}

enum status
runner_walk(struct runner *runner, int64_t session_id, bool *ret_finished, struct failure *failure)
{
    struct run run = {.runner = runner, .prompt = runner->prompt};
    enum status status = walk_open(runner->store, session_id, &run.walk, failure);

    if (status != STATUS_OK)
        return status;
    guide_opening(run.prompt, &run.walk.bench);
    status = walk_on(&run, ret_finished, failure);
    walk_close(&run.walk);
    return status;
}
