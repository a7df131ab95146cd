/* test_question.c - the table of questions, and what each still asks for. */
#include "check.h"
#include "question.h"
#include "step_file.h"
#include "text.h"

static const char text[] = "[procedure]\ntitle=a\nsummary=b\napplies=soap-solution\ncautions=c\n"
                           "[step first]\nscope=session\nkind=do\ntext=t\n"
                           "[step ph]\nkind=ph\nrecords=reading\nreplicates=2\ntext=t\n"
                           "[step paper]\nkind=paper\nrecords=reading\noptional=yes\ntext=t\n"
                           "[step again]\nkind=ph\nrecords=reading\ntext=t\n"
                           "[step last]\nscope=session\nkind=do\ntext=t\n";

static void
parse(const char *file, struct procedure *procedure)
{
    struct failure failure = {0};
    struct text mistakes = {0};

    check_ok(step_file_parse("try.ini", file, procedure, &mistakes, &failure), &failure);
}

static char *
row_of(const struct question *questions, size_t count)
{
    struct text row = {0};

    for (size_t i = 0; i < count; i++) {
        text_addf(&row, "%s/%d", questions[i].step->key, questions[i].replicate);
        if (questions[i].cup != QUESTION_SESSION)
            text_addf(&row, "@%zu", questions[i].cup);
        if (questions[i].reading != 0)
            text_addf(&row, "#%d", questions[i].reading);
        text_add(&row, " ");
        assert_int_equal(questions[i].standing, STANDING_OPEN);
    }
    return text_take(&row);
}

static void
check_row(const char *file, size_t cups, bool has_paper, const char *expected)
{
    struct procedure procedure = {0};
    struct question *questions;
    size_t count = 0;
    char *row;

    parse(file, &procedure);
    questions = question_list(&procedure, cups, true, has_paper, &count);
    row = row_of(questions, count);
    assert_string_equal(row, expected);
    free(row);
    free(questions);
    procedure_clear(&procedure);
}

static void
session_steps_stand_around_the_cups(void **state)
{
    (void)state;
    check_row(text, 1, true, "first/1 ph/1@0#1 ph/2@0#2 paper/1@0#1 again/1@0#3 last/1 ");
}

static void
without_rounds_cups_come_one_after_the_other_and_optional_gear_may_lack(void **state)
{
    (void)state;
    check_row(text, 2, false, "first/1 ph/1@0#1 ph/2@0#2 again/1@0#3 ph/1@1#1 ph/2@1#2 again/1@1#3 last/1 ");
}

static void
in_rounds_cups_go_side_by_side(void **state)
{
    static const char rounds[] = "[procedure]\ntitle=a\nsummary=b\napplies=soap-solution\ncautions=c\n"
                                 "[step cut]\nkind=do\ntext=t\nround=weigh\n"
                                 "[step weigh]\nkind=mass\ntext=t\nround=weigh\n"
                                 "[step swirl]\nkind=do\ntext=t\n"
                                 "[step look]\nkind=note\ntext=t\n"
                                 "[step rinse]\nkind=do\ntext=t\nround=read\n"
                                 "[step ph]\nkind=ph\nrecords=reading\nreplicates=2\ntext=t\nround=read\n";

    (void)state;
    check_row(rounds, 2, true,
              "cut/1@0 weigh/1@0 cut/1@1 weigh/1@1 swirl/1@0 swirl/1@1 look/1@0 look/1@1 "
              "rinse/1@0 ph/1@0#1 ph/2@0#2 rinse/1@1 ph/1@1#1 ph/2@1#2 ");
}

static const struct answer *
stands(struct question *question, int64_t specimen_id, const struct answer *answers, size_t count)
{
    question_stand(question, specimen_id, answers, count);
    return question->answer == QUESTION_OPEN ? NULL : &answers[question->answer];
}

static void
notes_and_superseded_answers_do_not_stand(void **state)
{
    struct procedure procedure = {0};
    struct question *questions;
    size_t count = 0;
    char key[] = "ph";
    const struct answer answers[] = {
        {.id = 1, .specimen_id = 5, .step = key, .replicate = 1, .superseded_by = 3},
        {.id = 2, .specimen_id = 5, .step = key, .replicate = 1, .outcome = ANSWER_NOTED},
        {.id = 3, .specimen_id = 5, .step = key, .replicate = 1},
        {.id = 4, .specimen_id = 6, .step = key, .replicate = 1},
    };

    (void)state;
    parse(text, &procedure);
    questions = question_list(&procedure, 1, true, true, &count);
    assert_ptr_equal(stands(&questions[1], 5, answers, LENGTH(answers)), &answers[2]);
    assert_null(stands(&questions[2], 5, answers, LENGTH(answers)));
    assert_null(stands(&questions[1], 7, answers, LENGTH(answers)));
    free(questions);
    procedure_clear(&procedure);
}

static void
check_standing(struct answer answer, const struct answer *old, enum standing expected)
{
    static const struct step step = {.key = (char *)(uintptr_t) "ph", .kind = STEP_PH};
    struct question question = {.step = &step, .replicate = 1};
    struct answer answers[2] = {answer};

    answers[0].step = step.key;
    answers[0].replicate = 1;
    if (old != NULL)
        answers[1] = *old;
    answers[1].superseded_by = 9;
    question_stand(&question, 0, answers, old == NULL ? 1 : 2);
    assert_int_equal(question.standing, expected);
}

static void
a_question_asks_until_all_of_it_is_answered(void **state)
{
    static char outside[] = "5 pH is outside", why[] = "in air", none[] = "no temperature";
    const struct answer alone = {
        .id = 1, .step = none, .value = 5, .temperature_c = NAN, .deviation = outside};
    struct answer warm = {
        .id = 2, .value = 5, .temperature_c = 25, .deviation = outside, .supersedes = 1, .why = why};

    (void)state;
    check_standing(alone, NULL, STANDING_TEMPERATURE);
    check_standing((struct answer){.value = 7, .temperature_c = 25}, NULL, STANDING_ANSWERED);
    check_standing((struct answer){.value = 7, .temperature_c = NAN, .text = none}, NULL, STANDING_ANSWERED);
    check_standing((struct answer){.outcome = ANSWER_SKIPPED, .temperature_c = NAN}, NULL, STANDING_LEFT_OUT);
    check_standing(warm, &alone, STANDING_REASON); /* the reason speaks of the temperature */
    warm.supersedes = 3;
    check_standing(warm, &(struct answer){.id = 3, .step = none, .value = 5, .temperature_c = 25},
                   STANDING_ANSWERED);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(session_steps_stand_around_the_cups),
    cmocka_unit_test(without_rounds_cups_come_one_after_the_other_and_optional_gear_may_lack),
    cmocka_unit_test(in_rounds_cups_go_side_by_side),
    cmocka_unit_test(notes_and_superseded_answers_do_not_stand),
    cmocka_unit_test(a_question_asks_until_all_of_it_is_answered),
};

const struct check_module test_procedure_question = CHECK_MODULE("procedure/question", tests);
