/* walk_prompt.c - a walk at the terminal. */
#include "walk_prompt.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "calibrate.h"
#include "guide.h"
#include "interrupt.h"
#include "memory.h"
#include "prompt.h"
#include "take.h"
#include "text.h"

struct face {
    struct context *context; /* lent, as after_resume */
    struct prompt prompt;
    struct walk walk;
    const char *after_resume;
    size_t here;                   /* the question asked last; WALK_NONE */
    const struct step *shown_step; /* what the screen shows, so that it is not said again */
    size_t shown_cup;
    bool opened, quit;
};

/* --- what is said ------------------------------------------------------------------------------------------ */

static void
say_next(const struct face *face, const struct sentence *next)
{
    char *notebook = context_notebook_typed(face->context);

    fprintf(face->prompt.out, "next%s%s: curetrace", *next->text == '\0' ? "" : ", ", next->text);
    for (size_t i = 0; i < next->word_count; i++) {
        char *typed = text_as_typed(next->words[i]);

        fprintf(face->prompt.out, " %s", typed);
        free(typed);
    }
    fprintf(face->prompt.out, "%s%s\n", strcmp(next->words[0], "resume") == 0 ? face->after_resume : "",
            notebook);
    free(notebook);
}

/* Say a list and be done with it. */
static void
say(struct face *face, struct sentences *said, int indent)
{
    const struct sentence *next = sentences_find(said, SENTENCE_NEXT);

    prompt_say_all(&face->prompt, said, indent);
    if (next != NULL)
        say_next(face, next);
    sentences_clear(said);
}

static bool
offers_calibration(const struct face *face, const struct question *question)
{
    return question->step->records == RECORDS_METER_CHECK && question->step->kind == STEP_CHOICE &&
           face->walk.bench.meter != NULL;
}

static void
show_cup(struct face *face, size_t cup)
{
    char *words = guide_cup(&face->walk.bench, cup);

    fputc('\n', face->prompt.out);
    prompt_say(&face->prompt, "== %s ==", words);
    free(words);
}

/* What stands above a question, unless it is on the screen. */
static enum status
show(struct face *face, const struct question *question, struct failure *failure)
{
    struct sentences said = {0};
    enum status status = STATUS_OK;

    if (!face->opened || face->shown_cup != question->cup)
        show_cup(face, question->cup);
    else if (face->shown_step == question->step)
        return STATUS_OK;
    else
        fputc('\n', face->prompt.out);
    face->opened = true;
    face->shown_cup = question->cup;
    face->shown_step = question->step;
    guide_step(&said, &face->walk.bench, question);
    if (offers_calibration(face, question)) {
        sentences_add(&said, SENTENCE_PLAIN, "Type calibrate to do it now.");
        status = guide_meter(&said, face->walk.store, &face->walk.bench, prompt_now(&face->prompt), failure);
    }
    say(face, &said, 4);
    return status;
}

/* In full before the first answer; in short with what was kept last. */
static void
introduce(struct face *face)
{
    size_t last = walk_last(&face->walk);
    const struct bench *bench = &face->walk.bench;
    const struct question *question = last == WALK_NONE ? NULL : &face->walk.questions[last];
    struct sentences said = {0};

    if (question != NULL)
        guide_reopening(&said, bench, question, walk_answer(&face->walk, question));
    else
        guide_opening(&said, bench);
    say(face, &said, 2);
    if (question == NULL)
        prompt_say(&face->prompt, "At every question: note WORDS, skip REASON, back, %squit, help.",
                   bench->specimen_count > 1 ? "cup 2, " : "");
}

/* --- one answer -------------------------------------------------------------------------------------------- */

static struct given
given_at(const struct face *face, const struct question *question, enum given_what what, const char *words)
{
    const struct answer *stands = walk_answer(&face->walk, question);

    return (struct given){.what = what,
                          .step = question->step->key,
                          .cup = question->cup,
                          .replicate = question->replicate,
                          .seen_id = stands == NULL ? 0 : stands->id,
                          .words = words,
                          .waited_s = question->step->duration_s,
                          .at = prompt_now(&face->prompt)};
}

static enum status
take(struct face *face, const struct given *given, bool *ret_refused, struct failure *failure)
{
    struct taken taken;
    enum status status = walk_take(&face->walk, given, &taken, failure);

    *ret_refused = taken.what == TAKEN_REFUSED;
    if (status == STATUS_OK)
        say(face, &taken.said, 2);
    taken_clear(&taken);
    return status;
}

/* Words that stand behind note or skip, or are asked for; NULL when the maker went back or left. Given. */
static char *
words_for(struct face *face, const char *words, const char *question, const char *usual)
{
    char *asked = NULL;

    if (*words != '\0')
        return memory_copy(words);
    face->quit = prompt_ask_words(&face->prompt, question, usual, &asked) == REPLY_QUIT;
    return asked;
}

static enum status
take_beside(struct face *face, const struct question *question, enum given_what what, const char *rest,
            struct failure *failure)
{
    char *words = what == GIVEN_NOTE ? words_for(face, rest, "note:", NULL)
                                     : words_for(face, rest, "why is it left out?",
                                                 question->step->optional != 0 ? "optional" : NULL);
    struct given given = given_at(face, question, what, words);
    enum status status = STATUS_OK;
    bool refused;

    if (words != NULL)
        status = take(face, &given, &refused, failure);
    free(words);
    return status;
}

/* Where the cups stand, a line each. */
static void
show_cups(struct face *face)
{
    for (size_t cup = 0; cup < face->walk.bench.specimen_count; cup++) {
        size_t next = walk_next_of_cup(&face->walk, cup);
        char *words = guide_cup(&face->walk.bench, cup);

        prompt_say(&face->prompt, "  %s: %s", words,
                   next == WALK_NONE ? "nothing is open" : face->walk.questions[next].step->text);
        free(words);
    }
    prompt_say(&face->prompt, "  cup 1 goes to the first, and so on.");
}

/* Rule 2. */
static void
go_to_cup(struct face *face, const char *number)
{
    size_t cup = (size_t)strtoul(number, NULL, 10), next;
    const struct question *first;

    if (*number == '\0' || cup == 0 || cup > face->walk.bench.specimen_count) {
        show_cups(face);
        return;
    }
    next = walk_next_of_cup(&face->walk, cup - 1);
    first = next == WALK_NONE ? NULL : walk_first_needed(&face->walk, &face->walk.questions[next]);
    if (next == WALK_NONE) {
        prompt_say(&face->prompt, "  nothing is open in that cup");
    } else if (first != NULL) {
        char *place = guide_place(&face->walk.bench, first);

        prompt_say(&face->prompt, "  first: %s", place);
        free(place);
    } else {
        face->here = next;
    }
}

/* --- calibrating on the way -------------------------------------------------------------------------------- */

/* True when "calibrate" or a beginning that no choice shares was typed where that is on offer. */
static bool
wants_to_calibrate(const struct face *face, const struct question *question, const char *words)
{
    static const char calibrate[] = "calibrate";
    size_t length = strlen(words);

    if (!offers_calibration(face, question) || length == 0 || !text_same_start(words, calibrate, length))
        return false;
    for (size_t i = 0; i < question->step->choices.count; i++)
        if (text_same_start(words, question->step->choices.items[i], length))
            return false;
    return true;
}

/* Done well, the question whether the meter is checked is answered by that, where the procedure says which answer
 * is the good one. */
static enum status
calibrate(struct face *face, const struct question *question, enum given_what what, bool *ret_filed,
          struct failure *failure)
{
    const struct words *expected = &question->step->expected;
    struct failure refused = {0};
    enum calibrate_end end = CALIBRATE_NOTHING;
    struct given given = given_at(face, question, what, expected->count == 0 ? "" : expected->items[0]);
    bool kept;

    *ret_filed = false;
    if (calibrate_ask(face->context, &face->prompt, face->walk.bench.meter, &end, &refused) != STATUS_OK)
        prompt_say(&face->prompt, "  %s", refused.text);
    face->quit = end == CALIBRATE_QUIT;
    if (end != CALIBRATE_GOOD || expected->count == 0)
        return STATUS_OK;
    *ret_filed = true;
    return take(face, &given, &kept, failure);
}

/* --- asking ------------------------------------------------------------------------------------------------ */

/* One line, and what it means. *ret_stay: the same question is asked again. */
static enum status
deal_with(struct face *face, const struct question *question, enum given_what what, const char *line,
          bool *ret_stay, bool *ret_back, char **ret_value, struct failure *failure)
{
    const char *rest;
    struct given given = given_at(face, question, what, line);
    enum answer_word word = answer_text_word(line, &rest);
    struct sentences help = {0};
    enum status status;

    *ret_stay = true;
    switch (word) {
    case ANSWER_WORD_NOTE:
        return take_beside(face, question, GIVEN_NOTE, rest, failure);
    case ANSWER_WORD_SKIP:
        *ret_stay = false;
        return take_beside(face, question, GIVEN_LEFT_OUT, rest, failure);
    case ANSWER_WORD_BACK:
        *ret_back = true;
        *ret_value = *rest == '\0' ? NULL : memory_copy(rest);
        return STATUS_OK;
    case ANSWER_WORD_QUIT:
        face->quit = true;
        return STATUS_OK;
    case ANSWER_WORD_HELP:
        guide_help(&help, question, &face->walk.bench);
        say(face, &help, 2);
        prompt_say_words(&face->prompt);
        return STATUS_OK;
    case ANSWER_WORD_CUP:
        go_to_cup(face, rest);
        *ret_stay = false;
        return STATUS_OK;
    case ANSWER_WORD_NONE:
    default:
        break;
    }
    if (wants_to_calibrate(face, question, line)) {
        status = calibrate(face, question, what, ret_stay, failure);
        *ret_stay = !*ret_stay;
        return status;
    }
    return take(face, &given, ret_stay, failure);
}

/* Let a wait pass, or what is left of it; when it is over that is the answer. Gives false when something was typed. */
static bool
wait_over(struct face *face, const struct question *question, int *ret_waited_s)
{
    int duration_s = question->step->duration_s, elapsed_s = 0;
    int left_s = walk_wait_left_s(&face->walk, question, prompt_now(&face->prompt));
    bool typed;

    if (!face->prompt.terminal)
        prompt_say(&face->prompt, "  %d s: taken as done, because nobody waits at a pipe", duration_s);
    typed = prompt_wait(&face->prompt, left_s, &elapsed_s);
    *ret_waited_s = !face->prompt.terminal ? -1 : duration_s - left_s + elapsed_s;
    return !typed;
}

/* A yes behind a temperature that was asked back means that one in degF. Takes `line`; gives what is meant. */
static char *
or_fahrenheit(char *line, const char *refused)
{
    char *meant;

    if (refused == NULL || answer_text_yes(line) != 1)
        return line;
    meant = text_format("%sF", refused);
    free(line);
    return meant;
}

/* Remember a line that was refused because it may be degF. */
static void
remember_refused(struct face *face, const char *line, bool stay, char **refused)
{
    free(*refused);
    *refused = stay && answer_text_may_be_fahrenheit(line) ? memory_copy(line) : NULL;
    if (*refused != NULL)
        prompt_say(&face->prompt, "  (yes takes it as %sF)", line);
}

/* Ask until the question is answered as it stands, or left by a word. `first` is typed already; NULL: nothing. */
static enum status
ask(struct face *face, struct question *question, enum given_what what, const char *first, bool *ret_back,
    char **ret_value, struct failure *failure)
{
    enum status status = STATUS_OK;
    char *refused = NULL;
    bool stay = true;

    *ret_back = false;
    while (status == STATUS_OK && stay && !*ret_back && !face->quit) {
        const struct answer *stands = walk_answer(&face->walk, question);
        struct question asked = *question;
        char *words, *line;

        if (what == GIVEN_CORRECTION)
            asked.standing = STANDING_OPEN;
        words = guide_question(&asked, stands == NULL ? NULL : stands->text,
                               walk_temperature_before(&face->walk, question));
        line = first != NULL ? memory_copy(first) : prompt_line(&face->prompt, words);
        first = NULL;
        face->quit = line == NULL;
        if (line != NULL && what == GIVEN_CORRECTION && *line == '\0') {
            stay = false; /* kept as it was */
        } else if (line != NULL) {
            line = or_fahrenheit(line, refused);
            status = deal_with(face, question, what, line, &stay, ret_back, ret_value, failure);
            remember_refused(face, line, stay && question_asks_temperature(&asked), &refused);
        }
        free(line);
        free(words);
    }
    free(refused);
    return status;
}

static enum status
wait_or_ask(struct face *face, struct question *question, bool *ret_back, char **ret_value,
            struct failure *failure)
{
    struct given given = given_at(face, question, GIVEN_ANSWER, "");
    bool refused;

    if (question->step->kind == STEP_WAIT && wait_over(face, question, &given.waited_s))
        return take(face, &given, &refused, failure);
    if (question->step->kind == STEP_WAIT) {
        char *line = prompt_line(&face->prompt, "");
        enum status status = STATUS_OK;
        const char *rest;

        face->quit = line == NULL;
        if (line != NULL && answer_text_word(line, &rest) == ANSWER_WORD_NONE)
            status = take(face, &given, &refused, failure);
        else if (line != NULL)
            status = deal_with(face, question, GIVEN_ANSWER, line, &refused, ret_back, ret_value, failure);
        free(line);
        return status;
    }
    return ask(face, question, GIVEN_ANSWER, NULL, ret_back, ret_value, failure);
}

static enum status
ask_open(struct face *face, struct question *question, bool *ret_back, char **ret_value,
         struct failure *failure)
{
    enum status status = show(face, question, failure);

    if (status != STATUS_OK)
        return status;
    if (question->standing == STANDING_REASON)
        prompt_say(&face->prompt, "  %s. It is kept as it is.",
                   walk_answer(&face->walk, question)->deviation);
    return wait_or_ask(face, question, ret_back, ret_value, failure);
}

/* Rule 3. */
static enum status
ask_again(struct face *face, struct question *question, const char *value, bool *ret_back, char **ret_value,
          struct failure *failure)
{
    char *was, *place;
    enum status status = show(face, question, failure);

    if (status != STATUS_OK)
        return status;
    was = guide_answer(&face->walk.bench, question, walk_answer(&face->walk, question));
    place = guide_place(&face->walk.bench, question);
    prompt_say(&face->prompt, "  Back at %s, which was: %s. Enter alone keeps it.", place, was);
    free(place);
    free(was);
    return ask(face, question, GIVEN_CORRECTION, value, ret_back, ret_value, failure);
}

/* Where "back" leads from a question; the question itself, where its answer is only asked back. */
static size_t
back_from(struct face *face, size_t index, bool going_back)
{
    size_t before = index;

    if (going_back || face->walk.questions[index].standing == STANDING_OPEN)
        before = walk_before(&face->walk, index);
    if (before != WALK_NONE)
        return before;
    prompt_say(&face->prompt, "  there is no answer before this one");
    return going_back ? index : WALK_NONE;
}

static enum status
walk_on(struct face *face, bool *ret_finished, struct failure *failure)
{
    struct sentences said = {0};
    size_t back_to = WALK_NONE;
    char *value = NULL;
    enum status status = STATUS_OK;

    while (status == STATUS_OK && !face->quit) {
        size_t next = walk_next(&face->walk, face->here), index = back_to == WALK_NONE ? next : back_to;
        char *given = value;
        bool back = false;

        if (index == WALK_NONE) {
            *ret_finished = true;
            status = walk_finish(&face->walk, prompt_now(&face->prompt), &said, failure);
            break;
        }
        face->here = back_to == WALK_NONE ? next : face->here;
        value = NULL;
        status = back_to == WALK_NONE
                     ? ask_open(face, &face->walk.questions[index], &back, &value, failure)
                     : ask_again(face, &face->walk.questions[index], given, &back, &value, failure);
        free(given);
        back_to = status == STATUS_OK && back ? back_from(face, index, back_to != WALK_NONE) : WALK_NONE;
    }
    free(value);
    if (status == STATUS_OK && face->quit)
        guide_left(&said, &face->walk.bench);
    if (said.count > 0)
        fputc('\n', face->prompt.out);
    say(face, &said, 2);
    return status;
}

/* ----------------------------------------------------------------------------------------------------------- */

enum status
walk_prompt(struct context *context, int64_t session_id, const char *after_resume, bool *ret_finished,
            struct failure *failure)
{
    struct face face = {
        .context = context, .prompt = prompt_at(context), .after_resume = after_resume, .here = WALK_NONE};
    enum status status = walk_standing(context->store, session_id, &face.walk, failure);

    *ret_finished = false;
    if (status != STATUS_OK)
        return status;
    setvbuf(context->in, NULL, _IONBF, 0); /* interrupt_await() */
    interrupt_catch();
    introduce(&face);
    status = walk_on(&face, ret_finished, failure);
    interrupt_release();
    walk_clear(&face.walk);
    return status;
}
