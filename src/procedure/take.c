/* take.c - one answer of a walk into the notebook, and what follows from it. */
#include "take.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "deviation.h"
#include "filing.h"
#include "guide.h"
#include "holding.h"
#include "memory.h"
#include "observing.h"
#include "session_store.h"
#include "text.h"
#include "titrating.h"
#include "typed.h"
#include "verdict_text.h"

static const char corrected[] = "corrected at once", warmed[] = "its temperature was measured",
                  looked[] = "looked at once more";

/* One answer on its way. */
struct taking {
    struct walk *walk;
    const struct given *given;
    struct question *question;
    struct answer answer; /* what is filed */
    bool unchanged;       /* a correction to what stands: nothing is filed */
    bool row_alone;       /* the answer is no weighing and no reading: a note, or the reason of a deviation */
    struct taken *taken;
};

static void refuse(struct taking *taking, const char *format, ...) __attribute__((format(printf, 2, 3)));

static void
refuse(struct taking *taking, const char *format, ...)
{
    va_list arguments;
    struct text text = {0};

    va_start(arguments, format);
    text_addv(&text, format, arguments);
    va_end(arguments);
    taking->taken->what = TAKEN_REFUSED;
    sentences_add(&taking->taken->said, SENTENCE_PLAIN, text_of(&text));
    text_clear(&text);
}

static bool
is_refused(const struct taking *taking)
{
    return taking->taken->what == TAKEN_REFUSED;
}

static struct answer
answer_copy(const struct answer *old)
{
    struct answer copy = *old;

    copy.step = memory_copy(old->step);
    copy.text = memory_copy(old->text);
    copy.deviation = memory_copy(old->deviation);
    copy.why = memory_copy(old->why);
    return copy;
}

/* The row with its place filled in and nothing else. */
static struct answer
new_answer(const struct taking *taking, enum answer_outcome outcome)
{
    struct answer answer;

    answer_init(&answer);
    answer.session_id = taking->walk->bench.session.id;
    answer.specimen_id = walk_specimen_id(taking->walk, taking->question);
    answer.step = memory_copy(taking->question->step->key);
    answer.replicate = taking->question->replicate;
    answer.outcome = outcome;
    answer.answered_at = taking->given->at;
    return answer;
}

/* What stands, once more, to be filed over itself with something added; its moment is the one of the bench. */
static struct answer
once_more(const struct answer *old)
{
    struct answer answer = answer_copy(old);

    answer.supersedes = old->id;
    return answer;
}

static char *
deviation_of(const struct taking *taking)
{
    const struct step *step = taking->question->step;
    const struct procedure *procedure = &taking->walk->bench.procedure;
    const struct answer *answer = &taking->answer;
    const double no_ph = NAN; /* NAN itself is a float to some compilers */

    if (answer->outcome != ANSWER_DONE)
        return NULL;
    if (step->kind == STEP_CHOICE)
        return deviation_of_choice(step, answer->text);
    if (question_has_temperature(taking->question))
        return deviation_of_reading(procedure, step, step->kind == STEP_PH ? answer->value : no_ph,
                                    answer->temperature_c);
    if (isnan(answer->value))
        return NULL;
    return deviation_of_value(procedure, step, answer->value,
                              taking->question->cup == QUESTION_SESSION
                                  ? NULL
                                  : &taking->walk->bench.specimens[taking->question->cup]);
}

static bool
same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool
says_the_same(const struct answer *a, const struct answer *b)
{
    return a->outcome == b->outcome && same(a->value, b->value) && same(a->value_high, b->value_high) &&
           same(a->temperature_c, b->temperature_c) &&
           (a->text == b->text || (a->text != NULL && b->text != NULL && strcmp(a->text, b->text) == 0));
}

static void
say_what_stands(struct taking *taking)
{
    const struct answer *stands = walk_answer(taking->walk, taking->question);
    char *place = guide_place(&taking->walk->bench, taking->question), at[MOMENT_TEXT_SIZE];
    char *words = stands == NULL ? NULL : guide_answer(&taking->walk->bench, taking->question, stands);

    if (words == NULL)
        refuse(taking, "%s is open again; nothing was changed", place);
    else
        refuse(taking,
               "%s was answered meanwhile, %s: %s. That stands; nothing was changed (back corrects it)",
               place, clock_moment_text(stands->answered_at, at), words);
    free(words);
    free(place);
}

/* Rule 3: is the question still as it was seen, and is it its turn? */
static void
check_turn(struct taking *taking)
{
    const struct answer *stands = walk_answer(taking->walk, taking->question);
    const struct question *first = walk_first_needed(taking->walk, taking->question);

    if (taking->given->what == GIVEN_NOTE)
        return;
    if ((stands == NULL ? 0 : stands->id) != taking->given->seen_id) {
        say_what_stands(taking);
    } else if (stands == NULL && first != NULL) {
        char *place = guide_place(&taking->walk->bench, first);

        refuse(taking, "first: %s", place);
        free(place);
    }
}

static char *
wait_text(int duration_s, int waited_s)
{
    if (waited_s < 0)
        return text_format("%d s, not timed here", duration_s);
    if (waited_s >= duration_s)
        return text_format("waited %d s", duration_s);
    return text_format("cut short after %d of %d s", waited_s, duration_s);
}

/* The size of a drop, where the burette's question was answered with one; NAN. */
static double
drop_of(const struct walk *walk)
{
    for (size_t i = 0; i < walk->answer_count; i++) {
        const struct answer *answer = &walk->answers[i];
        const struct step *step = procedure_step(&walk->bench.procedure, answer->step);

        if (step != NULL && step_is_burette(step) && answer->superseded_by == 0 &&
            answer->outcome == ANSWER_DONE && (answer->text != NULL || step->kind == STEP_MASS))
            return answer->value;
    }
    return (double)NAN;
}

static void
take_value(struct taking *taking)
{
    const struct answer *stands = walk_answer(taking->walk, taking->question);
    const struct given *given = taking->given;
    struct question asked = *taking->question;
    struct failure failure = {0};
    bool more = given->what == GIVEN_ANSWER && stands != NULL; /* the temperature, or a yes or no */
    const struct typed_beside beside = {taking->walk->bench.paper,
                                        walk_temperature_before(taking->walk, taking->question),
                                        drop_of(taking->walk)};

    if (!more)
        asked.standing = STANDING_OPEN;
    taking->answer = more ? once_more(stands) : new_answer(taking, ANSWER_DONE);
    if (typed_take(&asked, &beside, given->words, &taking->answer, &failure) != STATUS_OK) {
        refuse(taking, "%s", failure.text);
        return;
    }
    if (stands != NULL && !more) {
        taking->answer.supersedes = stands->id;
        if (question_has_temperature(&asked) && isnan(taking->answer.temperature_c))
            taking->answer.temperature_c = stands->temperature_c; /* only the pH is corrected */
    }
    if (taking->answer.supersedes != 0) {
        free(taking->answer.why);
        taking->answer.why = memory_copy(!more                                    ? corrected
                                         : asked.standing == STANDING_TEMPERATURE ? warmed
                                                                                  : looked);
    }
    if (asked.step->kind == STEP_WAIT)
        taking->answer.text = wait_text(asked.step->duration_s, given->waited_s);
    free(taking->answer.deviation);
    taking->answer.deviation = deviation_of(taking);
    taking->unchanged = stands != NULL && says_the_same(&taking->answer, stands);
}

/* The answer that stands, once more, with the reason behind what it says already. */
static void
take_reason(struct taking *taking)
{
    const struct answer *stands = walk_answer(taking->walk, taking->question);
    const char *why = stands->why;

    if (!answer_text_says_something(taking->given->words)) {
        refuse(taking,
               answer_text_is_value(taking->given->words)
                   ? "'%.20s' is a value: words are needed here, or back to the question"
                   : "a few words are needed here; back returns to the question, quit stops",
               taking->given->words);
        return;
    }
    taking->answer = once_more(stands);
    taking->row_alone = true;
    free(taking->answer.why);
    taking->answer.why = why == NULL || strcmp(why, warmed) == 0
                             ? memory_copy(taking->given->words)
                             : text_format("%s; %s", why, taking->given->words);
}

static void
take_left_out(struct taking *taking)
{
    const struct answer *stands = walk_answer(taking->walk, taking->question);
    enum step_records records = taking->question->step->records;
    bool warmth = taking->question->standing == STANDING_TEMPERATURE;

    if (stands != NULL && stands->outcome == ANSWER_DONE &&
        (records == RECORDS_SOAP || records == RECORDS_WATER || records == RECORDS_ACID ||
         records == RECORDS_TITRANT || records == RECORDS_CITRIC || records == RECORDS_ACID_WATER)) {
        refuse(taking, "what was %s can be corrected, but not left out any more",
               records == RECORDS_ACID || records == RECORDS_TITRANT ? "titrated with" : "weighed");
        return;
    }
    assert(!warmth || stands != NULL); /* a temperature is asked for behind a pH that stands */
    taking->answer = warmth ? once_more(stands) : new_answer(taking, ANSWER_SKIPPED);
    if (warmth)
        taking->answer.text = memory_copy(guide_no_temperature);
    else if (stands != NULL)
        taking->answer.supersedes = stands->id;
    taking->row_alone = warmth;
    free(taking->answer.why);
    taking->answer.why = memory_copy(taking->given->words);
}

static void
take_words(struct taking *taking)
{
    if (taking->given->what == GIVEN_NOTE) {
        taking->answer = new_answer(taking, ANSWER_NOTED);
        taking->answer.text = memory_copy(taking->given->words);
        taking->row_alone = true;
    } else if (taking->given->what == GIVEN_LEFT_OUT) {
        take_left_out(taking);
    } else if (taking->given->what == GIVEN_ANSWER && taking->question->standing == STANDING_REASON) {
        take_reason(taking);
    } else {
        take_value(taking);
    }
}

static struct titrating
titrating_of(const struct taking *taking)
{
    const struct walk *walk = taking->walk;

    return (struct titrating){walk->store, &walk->bench, walk->answers, walk->answer_count, &taking->answer};
}

static bool
is_titrated_by(const struct taking *taking)
{
    return !taking->row_alone && taking->walk->bench.procedure.subject == PROCEDURE_TITRATION &&
           titrating_takes(taking->question->step);
}

/* May the answer change what is known of the batch of a cup? */
static bool
is_judged_by(const struct taking *taking, size_t cup)
{
    const struct question *question = taking->question;
    const struct titrating titrating = titrating_of(taking);

    if (taking->row_alone || (question->cup != QUESTION_SESSION && question->cup != cup))
        return false;
    if (taking->walk->bench.procedure.subject == PROCEDURE_TITRATION && !titrating_may_judge(&titrating, cup))
        return false;
    return is_titrated_by(taking) || (question->cup != QUESTION_SESSION &&
                                      (question->reading != 0 || observing_records(question->step)));
}

static void
say_moved(const char *code, enum batch_state state, const char *why, void *data)
{
    sentences_addf(data, SENTENCE_CAUTION, "%s is %s now (%s)", code, batch_state_word(state), why);
}

/* The rows, and the hold that follows from them, which is told in `held`. */
static enum status
file_all(struct taking *taking, struct sentences *held, struct failure *failure)
{
    const struct walk *walk = taking->walk;
    const struct bench *bench = &walk->bench;
    const struct holding holding = {walk->store, taking->given->at, say_moved, NULL, held};
    const struct titrating titrating = titrating_of(taking);
    /* A titration that is put right may no longer clear what was read before it. */
    const struct filed_sessions filed = is_titrated_by(taking) && taking->answer.supersedes != 0
                                            ? (struct filed_sessions){1, INT64_MAX}
                                            : (struct filed_sessions){bench->session.id, bench->session.id};
    enum status status = taking->row_alone ? answer_store_add(walk->store, &taking->answer, failure)
                                           : filing_add(walk->store, &bench->session, taking->question,
                                                        &taking->answer, failure);

    if (status == STATUS_OK && is_titrated_by(taking))
        status = titrating_file(&titrating, failure);
    for (size_t cup = 0; status == STATUS_OK && cup < bench->specimen_count; cup++)
        if (is_judged_by(taking, cup))
            status = hold_after_results(&holding, (const char *const *)&bench->codes[cup], 1, filed, failure);
    return status;
}

/* A number with a unit behind it: what was typed is shown beside what it became. */
static bool
has_unit(const struct answer *answer, const char *words)
{
    return !isnan(answer->value) && text_is_digit(*words) && strpbrk(words, "FfOoLlKkMm") != NULL;
}

/* The pH answers of the cup that stand in this step and its like, together with the new one. */
static void
say_apart(const struct taking *taking, struct sentences *said)
{
    const struct walk *walk = taking->walk;
    double low_ph = taking->answer.value, high_ph = low_ph;
    char *text;

    for (size_t i = 0; i < walk->question_count; i++) {
        const struct question *other = &walk->questions[i];
        const struct answer *stands = walk_answer(walk, other);

        if (other == taking->question || other->cup != taking->question->cup || other->reading == 0 ||
            other->step->kind != STEP_PH || stands == NULL || stands->outcome != ANSWER_DONE)
            continue;
        low_ph = fmin(low_ph, stands->value);
        high_ph = fmax(high_ph, stands->value);
    }
    text = verdict_text_apart(low_ph, high_ph);
    if (text != NULL)
        sentences_add(said, SENTENCE_PLAIN, text);
    free(text);
}

static void
say_kept(struct taking *taking, struct sentences *held)
{
    const struct bench *bench = &taking->walk->bench;
    const struct question *question = taking->question;
    struct sentences *said = &taking->taken->said;
    bool unit = has_unit(&taking->answer, taking->given->words) && !question_has_temperature(question);
    const struct titrating titrating = titrating_of(taking);
    char *words = guide_answer(bench, question, &taking->answer), *follows = NULL;

    if (taking->given->what == GIVEN_NOTE)
        sentences_add(said, SENTENCE_PLAIN, "noted");
    else if (!taking->row_alone && ((question->step->kind != STEP_DO && question->step->kind != STEP_NOTE) ||
                                    taking->answer.outcome == ANSWER_SKIPPED))
        sentences_addf(said, SENTENCE_PLAIN, "kept: %s%s%s%s", words, unit ? " (" : "",
                       unit ? taking->given->words : "", unit ? ")" : "");
    if (question->reading != 0 && !taking->row_alone && question->step->kind == STEP_PH &&
        taking->answer.outcome == ANSWER_DONE) {
        say_apart(taking, said);
        if (taking->answer.value > bench->session.limit_ph) {
            char *above = verdict_text_above_limit(bench->session.limit_ph);

            sentences_add(said, SENTENCE_CAUTION, above);
            free(above);
        }
    }
    if (is_titrated_by(taking) && (follows = titrating_says(&titrating, question)) != NULL)
        sentences_add(said, SENTENCE_PLAIN, follows);
    sentences_append(said, held);
    free(follows);
    free(words);
}

/* The walk behind the answer that is on disk now, as walk_refresh() would read it. */
static void
stand_behind(struct taking *taking)
{
    struct walk *walk = taking->walk;
    struct question *question = taking->question;
    struct answer *answer = &taking->answer;
    struct specimen *specimen =
        question->cup == QUESTION_SESSION ? NULL : &walk->bench.specimens[question->cup];

    for (size_t i = 0; i < walk->answer_count; i++)
        if (walk->answers[i].id == answer->supersedes)
            walk->answers[i].superseded_by = answer->id;
    walk->answers = memory_resize(walk->answers, walk->answer_count + 1, sizeof *walk->answers);
    walk->answers[walk->answer_count++] = answer_copy(answer);
    if (specimen != NULL && answer->outcome == ANSWER_DONE && question->step->records == RECORDS_SOAP)
        specimen->soap_mass_g = answer->value;
    if (specimen != NULL && answer->outcome == ANSWER_DONE && question->step->records == RECORDS_WATER)
        specimen->water_mass_g = answer->value;
    question_stand(question, walk_specimen_id(walk, question), walk->answers, walk->answer_count);
}

/* Did another terminal file or finish something? */
static enum status
look_again(struct walk *walk, struct failure *failure)
{
    int64_t latest_id = 0, seen_id = 0;
    bool finished = false;
    enum status status =
        session_store_latest(walk->store, walk->bench.session.id, &latest_id, &finished, failure);

    for (size_t i = 0; i < walk->answer_count; i++)
        seen_id = walk->answers[i].id > seen_id ? walk->answers[i].id : seen_id;
    if (status == STATUS_OK && finished)
        return failure_set(failure, STATUS_CONFLICT, "session %lld was finished meanwhile",
                           (long long)walk->bench.session.id);
    return status == STATUS_OK && latest_id != seen_id ? walk_refresh(walk, failure) : status;
}

static enum status
take(struct taking *taking, struct sentences *held, struct failure *failure)
{
    enum status status = look_again(taking->walk, failure);

    if (status == STATUS_OK)
        check_turn(taking);
    if (status == STATUS_OK && !is_refused(taking))
        take_words(taking);
    if (status != STATUS_OK || is_refused(taking) || taking->unchanged)
        return status;
    return file_all(taking, held, failure);
}

/* The moments of a record are the clock's; one that went back is asked about, and the answer is kept as it is. */
static void
say_clock(struct taking *taking, civil_time before)
{
    char now[MOMENT_TEXT_SIZE], then[MOMENT_TEXT_SIZE];

    if (before == MOMENT_NONE || taking->given->at >= before)
        return;
    sentences_addf(&taking->taken->said, SENTENCE_CAUTION,
                   "this answer is dated %s, before the one filed last (%s): is the clock right?",
                   clock_moment_text(taking->given->at, now), clock_moment_text(before, then));
}

enum status
walk_take(struct walk *walk, const struct given *given, struct taken *ret_taken, struct failure *failure)
{
    struct taking taking = {.walk = walk,
                            .given = given,
                            .question = walk_question(walk, given->step, given->cup, given->replicate),
                            .taken = ret_taken};
    struct sentences held = {0};
    civil_time before =
        walk->answer_count == 0 ? MOMENT_NONE : walk->answers[walk->answer_count - 1].answered_at;
    enum status status;

    *ret_taken = (struct taken){.what = TAKEN_KEPT};
    answer_init(&taking.answer);
    if (taking.question == NULL)
        return failure_set(failure, STATUS_MISSING, "session %lld does not ask '%.60s' there",
                           (long long)walk->bench.session.id, given->step);
    status = store_begin(walk->store, failure);
    if (status != STATUS_OK)
        return status;
    status = store_end(walk->store, take(&taking, &held, failure), failure);
    if (status == STATUS_OK && !is_refused(&taking)) {
        if (!taking.unchanged)
            stand_behind(&taking);
        ret_taken->what =
            walk_asks(taking.question) && given->what != GIVEN_NOTE ? TAKEN_ASKED_BACK : TAKEN_KEPT;
        say_kept(&taking, &held);
        if (!taking.unchanged)
            say_clock(&taking, before);
    }
    sentences_clear(&held);
    answer_clear(&taking.answer);
    return status;
}

void
taken_clear(struct taken *taken)
{
    sentences_clear(&taken->said);
}

enum status
walk_finish(struct walk *walk, civil_time now, struct sentences *said, struct failure *failure)
{
    char *open = walk_left_open(walk);
    enum status status = store_begin(walk->store, failure);

    if (status == STATUS_OK) {
        status = look_again(walk, failure);
        if (status == STATUS_OK && walk_next(walk, WALK_NONE) != WALK_NONE)
            status = failure_set(failure, STATUS_CONFLICT, "session %lld still asks something",
                                 (long long)walk->bench.session.id);
        if (status == STATUS_OK)
            status = session_store_close(walk->store, walk->bench.session.id, now, open, failure);
        status = store_end(walk->store, status, failure);
    }
    if (status == STATUS_OK)
        guide_finished(said, &walk->bench, open);
    free(open);
    return status;
}
