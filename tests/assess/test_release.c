/* test_release.c - states of a batch: every state, every evidence, every command; and each thing the policy
 * asks for. The tables restate release.h, rules 1 to 4, which are the job's own (issue 5). */
#include "bench.h"
#include "release.h"

enum { REFUSED = -1 };

static int
next_state(enum batch_state from, struct state_request request)
{
    struct failure failure = {0};
    enum batch_state next = BATCH_DISCARDED;
    enum status status = release_next_state(from, &request, &next, &failure);

    if (status == STATUS_OK)
        return (int)next;
    assert_int_equal(status, STATUS_CONFLICT);
    assert_int_equal(next, BATCH_DISCARDED); /* a refusal leaves it alone */
    assert_true(failure.text[0] != '\0');
    return REFUSED;
}

static void
every_state_every_evidence_every_command(void **state)
{
    /* Columns: in-cure, held, released, discarded. */
    static const struct {
        struct state_request request;
        int next[4];
    } table[] = {
        {{.cause = STATE_BY_HOLD}, {BATCH_HELD, REFUSED, BATCH_HELD, REFUSED}},
        {{.cause = STATE_BY_DISCARD}, {BATCH_DISCARDED, BATCH_DISCARDED, BATCH_DISCARDED, REFUSED}},
        {{.cause = STATE_BY_RELEASE}, {REFUSED, REFUSED, REFUSED, REFUSED}},
        {{.cause = STATE_BY_RELEASE, .evidence_met = true},
         {BATCH_RELEASED, BATCH_RELEASED, REFUSED, REFUSED}},
        {{.cause = STATE_BY_RELEASE, .overridden = true}, {BATCH_RELEASED, BATCH_RELEASED, REFUSED, REFUSED}},
        {{.cause = STATE_BY_RELEASE, .evidence_met = true, .overridden = true},
         {BATCH_RELEASED, BATCH_RELEASED, REFUSED, REFUSED}},
        {{.cause = STATE_BY_RESULT, .verdict = VERDICT_WITHIN},
         {BATCH_IN_CURE, BATCH_HELD, BATCH_RELEASED, BATCH_DISCARDED}},
        {{.cause = STATE_BY_RESULT, .verdict = VERDICT_NOT_JUDGED},
         {BATCH_IN_CURE, BATCH_HELD, BATCH_HELD, BATCH_DISCARDED}},
        {{.cause = STATE_BY_RESULT, .verdict = VERDICT_DOUBTFUL},
         {BATCH_HELD, BATCH_HELD, BATCH_HELD, BATCH_DISCARDED}},
        {{.cause = STATE_BY_RESULT, .verdict = VERDICT_LYE_HEAVY},
         {BATCH_HELD, BATCH_HELD, BATCH_HELD, BATCH_DISCARDED}},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(table); i++) {
        for (int from = BATCH_IN_CURE; from <= BATCH_DISCARDED; from++) {
            int next = next_state((enum batch_state)from, table[i].request);

            if (next != table[i].next[from])
                print_error("row %zu from %s\n", i, batch_state_word((enum batch_state)from));
            assert_int_equal(next, table[i].next[from]);
        }
    }
}

/* A session of one bar at an age, calibrated before and finished. Gives its number. */
static int64_t
tested(struct dossier *bench, int age_d, double ph)
{
    int64_t session = bench_session(bench, bench_day(age_d)), specimen = bench_specimen(bench, session, 1.0);
    int64_t calibration = bench_calibrated(bench, bench_day(age_d) - 1800);

    bench->sessions[session - 1].finished_at = bench_day(age_d) + 3600;
    for (int i = -1; i <= 1; i++)
        bench_ph(bench, specimen, ph + 0.01 * i, 40.0)->calibration_id = calibration;
    return session;
}

static struct answer *
deviate(struct dossier *bench, int64_t session_id)
{
    struct answer *answer;

    bench->answers = memory_resize(bench->answers, bench->answer_count + 1, sizeof *bench->answers);
    answer = &bench->answers[bench->answer_count++];
    answer_init(answer);
    answer->id = (int64_t)bench->answer_count;
    answer->session_id = session_id;
    answer->step = memory_copy("look");
    answer->deviation = memory_copy("cloudy");
    return answer;
}

/* Sound: tested within at 14 and 28 days. Each case spoils one thing. */
static void
spoil_nothing(struct dossier *bench, struct policy *policy)
{
    (void)bench;
    (void)policy;
}
static void
spoil_one_age(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    for (size_t i = 0; i < 3; i++)
        bench->readings[i].superseded_by = 99;
}
/* 10.62 clears a bar until day 28 and no longer; it was never read again. */
static void
spoil_young_bar(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    tested(bench, 5, 10.62);
    bench_label(bench, bench->specimens[bench->specimen_count - 1].id, "B");
}
static void
read_young_bar_again(struct dossier *bench, struct policy *policy)
{
    spoil_young_bar(bench, policy);
    tested(bench, 30, 10.30);
    bench_label(bench, bench->specimens[bench->specimen_count - 1].id, "B");
}
static void
spoil_age_of_test(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    for (size_t i = 3; i < 6; i++)
        bench->readings[i].taken_at -= DAY_S; /* at 27 days */
    bench->calibrations[1].taken_at -= DAY_S;
}
static void
two_bars_titrated_young(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    for (size_t i = 0; i < 6; i++)
        bench->readings[i].superseded_by = 99;
    for (int i = 0; i < 6; i++)
        bench_titration(bench, bench_day(7), 0.40 + 0.01 * i)->bar = memory_copy(i % 2 == 0 ? "A" : "B");
}
static void
one_bar_titrated_young(struct dossier *bench, struct policy *policy)
{
    two_bars_titrated_young(bench, policy);
    for (size_t i = 1; i < 6; i += 2)
        bench->titrations[i].superseded_by = 99;
}
static void
two_bars_titrated_too_young(struct dossier *bench, struct policy *policy)
{
    two_bars_titrated_young(bench, policy);
    for (size_t i = 0; i < 6; i++)
        bench->titrations[i].taken_at -= DAY_S;
}
static void
spoil_verdict(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    tested(bench, 30, 10.99);
}
static void
spoil_other_bar_of_the_day(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    tested(bench, 30, 11.31);
    tested(bench, 30, 9.90);
}
static void
spoil_meter(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    for (size_t i = 0; i < bench->reading_count; i++)
        bench->readings[i].calibration_id = 0;
}
/* A titration of one bar says nothing of the meter that the other was read with. */
static void
spoil_meter_beside_titration(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    bench->calibrations[1].taken_at -= (civil_time)60 * DAY_S;
    for (int i = 0; i < 2; i++)
        bench_titration(bench, bench_day(30), 0.40)->bar = memory_copy("A");
}
static void
spoil_deviation_before_another_bar(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    deviate(bench, 2);
    tested(bench, 40, 9.9);
    bench_label(bench, bench->specimens[bench->specimen_count - 1].id, "B");
}
static void
spoil_deviation(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    deviate(bench, 2);
}
static void
explain_deviation(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    deviate(bench, 2)->why = memory_copy("oat milk clouds it");
}
static void
deviate_long_ago(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    deviate(bench, 1);
}
static void
spoil_unfinished(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    bench->sessions[1].finished_at = MOMENT_NONE;
}
static void
ask_for_titration(struct dossier *bench, struct policy *policy)
{
    (void)bench;
    policy->titration = true;
}
static void
give_titration(struct dossier *bench, struct policy *policy)
{
    policy->titration = true;
    bench_titration(bench, bench_day(28), 0.40);
    bench_titration(bench, bench_day(28), 0.41);
}
static void
spoil_rework(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    bench->batch.parent_id = 5;
}
static void
spoil_age(struct dossier *bench, struct policy *policy)
{
    (void)bench;
    policy->cure_days = 43;
}
static void
ask_for_nothing_much(struct dossier *bench, struct policy *policy)
{
    spoil_one_age(bench, policy);
    deviate(bench, 2);
    policy->ages = 1;
    policy->deviations_explained = false;
}
static void
spoil_role(struct dossier *bench, struct policy *policy)
{
    (void)policy;
    bench->batch.role = BATCH_LYE_HEAVY;
}

/* A titration clears what was read up to its day, not a bad bar of a later one. */
static void
spoil_bar_after_titration(struct dossier *bench, struct policy *policy)
{
    give_titration(bench, policy);
    tested(bench, 40, 11.31);
    tested(bench, 40, 9.90);
}

static void
each_thing_the_policy_asks_for_is_asked(void **state)
{
    static const struct {
        void (*change)(struct dossier *bench, struct policy *policy);
        const char *missing, *found; /* NULL: released */
    } cases[] = {
        {spoil_nothing, NULL, NULL},
        {spoil_one_age, "within at enough different ages", "1, asked are 2"},
        {spoil_verdict, "the verdict is within, by every bar", "doubtful"},
        {spoil_other_bar_of_the_day, "the verdict is within, by every bar", "lye-heavy: pH 11.31"},
        {spoil_meter, "the verdict is within, by every bar", "not-judged"},
        {spoil_young_bar, "every bar is within by the bound of day 28",
         "bar B was read at 5 days, and pH 10.62"},
        {read_young_bar_again, NULL, NULL},
        {spoil_age_of_test, "a judged sitting that is old enough, or two bars titrated",
         "within at 27 days, asked are 28"},
        {two_bars_titrated_young, NULL, NULL},
        {one_bar_titrated_young, "a judged sitting that is old enough, or two bars titrated",
         "none is within"},
        {two_bars_titrated_too_young, "a judged sitting that is old enough, or two bars titrated",
         "none is within"},
        {spoil_deviation, "what was not done as written has a reason", "the first at step 'look'"},
        {spoil_deviation_before_another_bar, "what was not done as written has a reason",
         "the first at step 'look'"},
        {spoil_meter_beside_titration, "on a checked meter, or by titration", "days before"},
        {explain_deviation, NULL, NULL},
        {deviate_long_ago, NULL, NULL},
        {spoil_unfinished, "what was not done as written has a reason", "session 2 is not finished"},
        {ask_for_titration, "a titration says within", "not titrated"},
        {give_titration, NULL, NULL},
        {spoil_bar_after_titration, "the verdict is within, by every bar", "lye-heavy: pH 11.31"},
        {spoil_rework, "a reworked batch: two bars titrated, and within", "not titrated"},
        {spoil_age, "a judged sitting that is old enough, or two bars titrated",
         "within at 28 days, asked are 43"},
        {ask_for_nothing_much, NULL, NULL},
        {spoil_role, "not made lye-heavy on purpose", "lye-heavy"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();
        struct failure failure = {0};
        struct policy policy;
        struct conclusion conclusion;
        struct release_check check;
        const struct release_item *first = NULL;

        policy_init(&policy);
        tested(&bench, 14, 10.0);
        tested(&bench, 28, 9.9);
        cases[i].change(&bench, &policy);
        check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
        release_check_of(&bench, &conclusion, &policy, &check);
        for (size_t k = check.count; k-- > 0;)
            if (!check.items[k].met)
                first = &check.items[k];
        if (check.met != (cases[i].missing == NULL))
            print_error("case %zu: %s (%s)\n", i, first == NULL ? "released" : first->asked,
                        first == NULL ? "" : first->found);
        assert_int_equal(check.met, cases[i].missing == NULL);
        if (cases[i].missing != NULL) {
            assert_non_null(first);
            assert_string_equal(first->asked, cases[i].missing);
            check_contains(first->found, cases[i].found);
        }
        release_check_clear(&check);
        conclusion_clear(&conclusion);
        dossier_clear(&bench);
    }
}

static void
an_untested_batch_has_no_evidence(void **state)
{
    struct dossier bench = bench_new();
    struct failure failure = {0};
    struct policy policy;
    struct conclusion conclusion;
    struct release_check check;

    (void)state;
    policy_init(&policy);
    policy.ages = 0;
    policy.checked_meter = policy.deviations_explained = false;
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    release_check_of(&bench, &conclusion, &policy, &check);
    assert_false(check.met); /* however little the maker asks for */
    check_contains(check.items[0].found, "not tested yet");
    release_check_clear(&check);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_state_every_evidence_every_command),
    cmocka_unit_test(each_thing_the_policy_asks_for_is_asked),
    cmocka_unit_test(an_untested_batch_has_no_evidence),
};

const struct check_module test_assess_release = CHECK_MODULE("assess/release", tests);
