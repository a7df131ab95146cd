/* test_question.c - the row of questions, and which answer stands. */
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
parse(struct procedure *procedure)
{
    struct failure failure = {0};
    struct text mistakes = {0};

    check_ok(step_file_parse("try.ini", text, procedure, &mistakes, &failure), &failure);
}

static char *
row_of(const struct question *questions, size_t count)
{
    struct text row = {0};

    for (size_t i = 0; i < count; i++) {
        char *key = question_key(&questions[i]);

        text_addf(&row, "%s/%d", key, questions[i].replicate);
        if (questions[i].specimen != QUESTION_SESSION)
            text_addf(&row, "@%zu", questions[i].specimen);
        if (questions[i].reading != 0)
            text_addf(&row, "#%d", questions[i].reading);
        text_add(&row, " ");
        free(key);
    }
    return text_take(&row);
}

static void
check_row(size_t specimens, bool has_paper, const char *expected)
{
    struct procedure procedure = {0};
    struct question *questions;
    size_t count = 0;
    char *row;

    parse(&procedure);
    questions = question_list(&procedure, specimens, true, has_paper, &count);
    row = row_of(questions, count);
    assert_string_equal(row, expected);
    free(row);
    free(questions);
    procedure_clear(&procedure);
}

static void
session_steps_stand_around_the_specimens(void **state)
{
    (void)state;
    check_row(1, true,
              "first/1 ph/1@0#1 ph.temperature/1@0#1 ph/2@0#2 ph.temperature/2@0#2 paper/1@0#1 "
              "paper.temperature/1@0#1 again/1@0#3 again.temperature/1@0#3 last/1 ");
}

static void
specimens_come_one_after_the_other_and_optional_gear_may_lack(void **state)
{
    (void)state;
    check_row(
        2, false,
        "first/1 ph/1@0#1 ph.temperature/1@0#1 ph/2@0#2 ph.temperature/2@0#2 again/1@0#3 "
        "again.temperature/1@0#3 ph/1@1#1 ph.temperature/1@1#1 ph/2@1#2 ph.temperature/2@1#2 again/1@1#3 "
        "again.temperature/1@1#3 last/1 ");
}

static void
notes_and_superseded_answers_do_not_stand(void **state)
{
    struct procedure procedure = {0};
    struct question *questions;
    size_t count = 0;
    char key[] = "ph", half[] = "ph.temperature";
    struct answer answers[] = {
        {.id = 1, .specimen_id = 5, .step = key, .replicate = 1, .superseded_by = 3},
        {.id = 2, .specimen_id = 5, .step = key, .replicate = 1, .outcome = ANSWER_NOTED},
        {.id = 3, .specimen_id = 5, .step = key, .replicate = 1},
        {.id = 4, .specimen_id = 6, .step = key, .replicate = 1},
        {.id = 5, .specimen_id = 5, .step = half, .replicate = 1},
    };

    (void)state;
    parse(&procedure);
    questions = question_list(&procedure, 1, true, true, &count);
    assert_ptr_equal(question_answer(&questions[1], 5, answers, LENGTH(answers)), &answers[2]);
    assert_ptr_equal(question_answer(&questions[2], 5, answers, LENGTH(answers)), &answers[4]);
    assert_null(question_answer(&questions[3], 5, answers, LENGTH(answers)));
    assert_null(question_answer(&questions[1], 7, answers, LENGTH(answers)));
    free(questions);
    procedure_clear(&procedure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(session_steps_stand_around_the_specimens),
    cmocka_unit_test(specimens_come_one_after_the_other_and_optional_gear_may_lack),
    cmocka_unit_test(notes_and_superseded_answers_do_not_stand),
};

const struct check_module test_procedure_question = CHECK_MODULE("procedure/question", tests);
