/* runner.c - the walk-through. */
#include "runner.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "guide.h"
#include "memory.h"
#include "session_store.h"
#include "text.h"
#include "typed.h"
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

/* A number with a unit behind it: what was typed is shown beside what it became. */
static bool
has_unit(const struct answer *answer, const char *typed)
{
    return typed != NULL && !isnan(answer->value) && text_is_digit(*typed) &&
           strpbrk(typed, "FfOoLlKkMm") != NULL;
}

/* `typed` is NULL where nothing was. */
static void
say_kept(struct run *run, const struct question *question, const struct answer *answer, const char *typed)
{
    char *words = guide_answer(&run->walk.bench, question, answer);
    bool unit = has_unit(answer, typed);

    if ((question->step->kind != STEP_DO && question->step->kind != STEP_NOTE) ||
        answer->outcome == ANSWER_SKIPPED)
        prompt_say(run->prompt, "  kept: %s%s%s%s", words, unit ? " (" : "", unit ? typed : "",
                   unit ? ")" : "");
    if (question->reading != 0 && question->step->kind == STEP_PH && question->part == QUESTION_VALUE &&
        answer->value > run->walk.bench.session.limit_ph)
        prompt_say(
            run->prompt,
            "  ! Above the limit of %g: handle bar and solution as lye, with gloves and goggles, and keep "
            "the batch held.",
            run->walk.bench.session.limit_ph);
    free(words);
}

/* What follows from a reading that was filed, in the transaction that filed it (runner.h). */
static enum status
after_reading(struct run *run, const struct question *question, char **ret_words, struct failure *failure)
{
    const struct bench *bench = &run->walk.bench;

    if (question->reading == 0 || run->runner->after_reading == NULL)
        return STATUS_OK;
    return run->runner->after_reading(run->runner->data, bench->specimens[question->specimen].batch_id,
                                      ret_words, failure);
}

/* File an answer, the temperature typed behind it unless that is NULL, and what follows: all or nothing. Only
 * what is on disk is said. */
static enum status
file_answer(struct run *run, const struct question *question, struct answer *answer,
            struct answer *temperature, const char *typed, const char *why, struct failure *failure)
{
    const struct answer *other = temperature != NULL ? temperature : walk_other_half(&run->walk, question);
    char *words = NULL;
    enum status status = store_begin(run->runner->store, failure);

    if (status != STATUS_OK)
        return status;
    status = walk_file(&run->walk, question, answer, why, other, failure);
    if (status == STATUS_OK && temperature != NULL)
        status = walk_file(&run->walk, question + 1, temperature, why, answer, failure);
    if (status == STATUS_OK)
        status = after_reading(run, question, &words, failure);
    status = store_end(run->runner->store, status, failure);
    if (status == STATUS_OK) {
        say_kept(run, question, answer, temperature != NULL ? NULL : typed);
        if (temperature != NULL)
            say_kept(run, question + 1, temperature, NULL);
        if (words != NULL)
            prompt_say(run->prompt, "  ! %s", words);
    }
    free(words);
    return status;
}

static enum status
file_typed(struct run *run, const struct typed *typed, const char *text, const char *why,
           struct failure *failure)
{
    const struct question *question = typed->question;
    struct answer answer = walk_new_answer(&run->walk, question, ANSWER_DONE, prompt_now(run->prompt));
    struct answer temperature = {.step = NULL};
    enum status status;

    if (!isnan(typed->temperature_c)) {
        temperature = walk_new_answer(&run->walk, question + 1, ANSWER_DONE, answer.answered_at);
        temperature.value = typed->temperature_c;
    }
    answer.value = typed->value;
    answer.value_high = typed->value_high;
    if (question->step->kind == STEP_CHOICE)
        answer.text = memory_copy(question->step->choices.items[typed->choice]);
    if (question->step->kind == STEP_NOTE && *text != '\0')
        answer.text = memory_copy(text);
    if (question == run->waited_for)
        answer.text = text_format("cut short after %d of %d s", run->waited_s, question->step->duration_s);
    status = file_answer(run, question, &answer, isnan(typed->temperature_c) ? NULL : &temperature, text, why,
                         failure);
    answer_clear(&temperature);
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
    status = file_answer(run, question, &answer, NULL, NULL, words, failure);
    *ret_outcome = OUTCOME_FILED;
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

/* Calibrate the meter; done well, the question whether it is checked is answered by that, where the procedure
 * says which answer is the good one. */
static enum status
calibrate_now(struct run *run, const struct question *question, const char *why, enum outcome *ret_outcome,
              struct failure *failure)
{
    struct failure refused = {0};
    enum runner_calibrated calibrated = RUNNER_CALIBRATED_NOT;
    struct answer answer;
    enum status status;

    assert(run->runner->calibrate != NULL && run->walk.bench.meter != NULL); /* typed.can_calibrate */
    *ret_outcome = OUTCOME_AGAIN;
    if (run->runner->calibrate(run->runner->data, run->walk.bench.meter->id, &calibrated, &refused) !=
        STATUS_OK) {
        prompt_say(run->prompt, "  %s", refused.text);
        return STATUS_OK;
    }
    if (calibrated == RUNNER_CALIBRATED_QUIT)
        *ret_outcome = OUTCOME_QUIT;
    if (calibrated != RUNNER_CALIBRATED_WELL || question->step->expected == NULL)
        return STATUS_OK;
    answer = walk_new_answer(&run->walk, question, ANSWER_DONE, prompt_now(run->prompt));
    answer.text = memory_copy(question->step->expected);
    status = file_answer(run, question, &answer, NULL, NULL, why, failure);
    answer_clear(&answer);
    *ret_outcome = OUTCOME_FILED;
    return status;
}

/* Ask, and deal with the reply. `why` is the reason of a correction, or NULL. */
static enum status
ask(struct run *run, const struct question *question, const char *why, enum outcome *ret_outcome,
    struct failure *failure)
{
    struct typed typed = {.question = question,
                          .paper = run->walk.bench.paper,
                          .correcting = why != NULL,
                          .before_c = NAN,
                          .value = NAN,
                          .value_high = NAN,
                          .temperature_c = NAN};
    char *words, *help = guide_help(question, &run->walk.bench), *text = NULL;
    enum status status = STATUS_OK;
    enum reply reply;

    if (why == NULL)
        typed.before_c = walk_temperature_before(&run->walk, question);
    words = guide_question(question, typed.before_c);
    typed.can_calibrate = run->runner->calibrate != NULL && run->walk.bench.meter != NULL &&
                          question->step->records == RECORDS_METER_CHECK;
    reply = prompt_ask(run->prompt, words, help, typed_take, &typed, &text);
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
        status = calibrate_now(run, question, why, ret_outcome, failure);
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
    else
        fputc('\n', run->prompt->out);
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

/* What an answered question says now, a reading with its temperature; given. */
static char *
standing(struct run *run, const struct question *question)
{
    const struct answer *half = walk_other_half(&run->walk, question);
    char *value = guide_answer(&run->walk.bench, question, walk_answer(&run->walk, question)), *other, *both;

    if (half == NULL || question->part != QUESTION_VALUE)
        return value;
    other = guide_answer(&run->walk.bench, question + 1, half);
    both = text_format("%s at %s", value, other);
    free(other);
    free(value);
    return both;
}

/* True when the temperature behind a pH that was asked again is still the one numbered `half_id`, so that it is
 * asked again too. */
static bool
half_is_left(struct run *run, const struct question *question, int64_t half_id)
{
    const struct answer *half = walk_other_half(&run->walk, question);

    return question->part == QUESTION_VALUE && half != NULL && half->id == half_id &&
           walk_answer(&run->walk, question)->outcome == ANSWER_DONE;
}

/* One question until there is an outcome. */
static enum status
insist(struct run *run, const struct question *question, const char *why, enum outcome *ret_outcome,
       struct failure *failure)
{
    enum status status;

    do {
        status = ask(run, question, why, ret_outcome, failure);
    } while (status == STATUS_OK && *ret_outcome == OUTCOME_AGAIN);
    return status;
}

/* Ask an answered question again, a reading with its temperature; the reason first, so that the new answer is
 * filed with it at once. */
static enum status
go_back(struct run *run, const struct question *question, enum outcome *ret_outcome, struct failure *failure)
{
    const struct answer *half = walk_other_half(&run->walk, question);
    int64_t half_id = half == NULL ? 0 : half->id;
    char *was, *place, *why = NULL;
    enum status status = show(run, question, failure);
    enum reply reply;

    if (status != STATUS_OK)
        return status;
    was = standing(run, question);
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
    status = insist(run, question, why, ret_outcome, failure);
    if (status == STATUS_OK && *ret_outcome == OUTCOME_FILED && half_is_left(run, question, half_id))
        status = insist(run, question + 1, why, ret_outcome, failure);
    free(why);
    return status;
}

static const char *
or_nothing(const char *words)
{
    return words == NULL ? "" : words;
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
        guide_finished(run->prompt, &run->walk.bench, open, or_nothing(run->runner->after_next));
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
            guide_left(run->prompt, &run->walk.bench, or_nothing(run->runner->after_resume));
            return STATUS_OK;
        }
        if (outcome == OUTCOME_BACK)
            back_to = back_from(run, index, back_to != WALK_NONE);
        else if (outcome == OUTCOME_FILED)
            back_to = WALK_NONE;
    }
}

/* In full before the first answer; in short with what was kept last, a reading with its temperature. */
static void
introduce(struct run *run)
{
    size_t last = walk_last(&run->walk);
    char *kept;

    if (last == WALK_NONE) {
        guide_opening(run->prompt, &run->walk.bench);
        return;
    }
    kept = standing(run, &run->walk.questions[last]);
    guide_reopening(run->prompt, &run->walk.bench, &run->walk.questions[last], kept);
    free(kept);
}

enum status
runner_walk(struct runner *runner, int64_t session_id, bool *ret_finished, struct failure *failure)
{
    struct run run = {.runner = runner, .prompt = runner->prompt};
    enum status status = walk_open(runner->store, session_id, &run.walk, failure);

    if (status != STATUS_OK)
        return status;
    introduce(&run);
    status = walk_on(&run, ret_finished, failure);
    walk_close(&run.walk);
    return status;
}
