/* test_sources.c - what results share. */
#include "bench.h"
#include "budget.h"

static struct source_part
part(enum source_kind kind, int64_t id, const char *name, double u_ph, double per_ph)
{
    return (struct source_part){.source = {kind, id, name}, .u_ph = u_ph, .per_ph = per_ph};
}

static struct sources
result(double ph, double own_u_ph, const struct source_part *parts, size_t count)
{
    struct sources sources = {.ph = ph, .own_u_ph = own_u_ph};

    for (size_t i = 0; i < count; i++)
        sources_add(&sources, &parts[i], 1.0);
    return sources;
}

/* JCGM 100:2008, 5.2.2: u^2(a - b) = u^2(a) + u^2(b) - 2 u(a, b). */
static void
a_source_is_shared_when_it_is_the_same_one(void **state)
{
    char borax[] = "borax"; /* another copy of the name, as another batch's record has it */
    const struct source_part first[] = {part(SOURCE_BOTTLE, SOURCE_BOUGHT, "borax", 0.03, 0.0),
                                        part(SOURCE_ACCURACY, 1, NULL, 0.04, 0.0)};
    const struct source_part second[] = {part(SOURCE_BOTTLE, SOURCE_BOUGHT, borax, 0.02, 0.0),
                                         part(SOURCE_ACCURACY, 2, NULL, 0.04, 0.0),
                                         part(SOURCE_BOTTLE, SOURCE_MADE, "borax", 0.5, 0.0)};
    struct sources a = result(10.0, 0.12, first, 2), b = result(10.0, 0.0, second, 3);

    (void)state;
    check_close(sources_u_ph(&a), 0.13, 1e-15, "by hand: 0.03, 0.04 and 0.12");
    check_close(sources_covariance(&a, &b), 0.0006, 1e-15,
                "by hand: the bottle; not another meter, and not borax made in the kitchen");
}

static void
parts_of_one_source_add_up_with_their_signs(void **state)
{
    const struct source_part parts[] = {part(SOURCE_THERMOMETER, 3, NULL, 0.02, 0.0),
                                        part(SOURCE_THERMOMETER, 3, NULL, -0.02, 0.0)};
    struct sources sources = result(10.0, 0.0, parts, 2);

    (void)state;
    assert_int_equal(sources.count, 1);
    check_close(sources_u_ph(&sources), 0.0, 0.0, "read as much too warm as too cold");
}

static void
what_finds_no_room_is_not_lost(void **state)
{
    struct sources sources = {0};

    (void)state;
    for (int64_t id = 1; id <= 100; id++) {
        struct source_part one = part(SOURCE_DRIFT, id, NULL, 0.01, 0.0);

        sources_add(&sources, &one, 1.0);
    }
    check_close(sources_u_ph(&sources), 0.1, 1e-12, "by hand: a hundred of 0.01");
}

/* Three results, two of one day: what the day has in common is not halved, what is each one's own is. */
static void
a_day_is_the_mean_of_its_results(void **state)
{
    const struct source_part parts[] = {part(SOURCE_ACCURACY, 1, NULL, 0.06, 0.0),
                                        part(SOURCE_DRIFT, 1, NULL, 0.02, 0.0),
                                        part(SOURCE_DRIFT, 2, NULL, 0.02, 0.0)};
    struct sources one = result(10.0, 0.03, parts, 2), two = result(10.2, 0.04, parts, 2),
                   three = result(9.9, 0.05, (struct source_part[]){parts[0], parts[2]}, 2);
    struct shared_member members[] = {{&one, 0}, {&two, 0}, {&three, 1}};
    const double difference[] = {-1.0, 1.0}, mean[] = {0.5, 0.5};
    struct shared shared;

    (void)state;
    shared_of(members, 3, 2, &shared);
    assert_int_equal(shared.source_count, 1);
    check_close(shared.ph[0], 10.1, 1e-12, "the day's mean");
    check_close(shared.own_u_ph[0], hypot(0.025, 0.02), 1e-15,
                "by hand: 0.05 / 2, and that day's drift whole");
    check_close(shared.own_u_ph[1], hypot(0.05, 0.02), 1e-15, "by hand");
    check_close(shared_sum_of(&shared, difference, NULL).u_ph, 0.0, 1e-15, "one meter: it cancels");
    check_close(shared_sum_of(&shared, mean, NULL).u_ph, 0.06, 1e-15, "and stays whole in a mean");
    shared_clear(&shared);
}

/* A tilt is asked for where the curve is: the same at both readings, which then cancels. */
static void
sensitivities_are_taken_at_the_fitted_ph(void **state)
{
    const struct source_part low = part(SOURCE_LINE_SLOPE, 1, NULL, 0.10, 0.10),
                             high = part(SOURCE_LINE_SLOPE, 1, NULL, 0.12, 0.10);
    struct sources a = result(9.95, 0.01, &low, 1), b = result(10.15, 0.01, &high, 1);
    struct shared_member members[] = {{&a, 0}, {&b, 1}};
    const double weights[] = {-1.0, 1.0}, fitted[] = {10.05, 10.05};
    struct shared shared;

    (void)state;
    shared_of(members, 2, 2, &shared);
    check_close(shared_sum_of(&shared, weights, NULL).u_ph, 0.02, 1e-12, "at the readings");
    check_close(shared_sum_of(&shared, weights, fitted).u_ph, 0.0, 1e-12, "at the mean of both");
    shared_clear(&shared);
}

static void
the_free_share_is_kept_apart_to_be_added_whole(void **state)
{
    const struct source_part share = part(SOURCE_FREE_SHARE, 0, NULL, 0.115 / sqrt(3.0), 0.0);
    struct sources cold = result(10.0, 0.02, &share, 1), warm = result(10.0, 0.02, NULL, 0);
    struct shared_member members[] = {{&cold, 0}, {&warm, 1}};
    const double weights[] = {0.5, 0.5};
    struct shared shared;
    struct shared_sum sum;

    (void)state;
    shared_of(members, 2, 2, &shared);
    sum = shared_sum_of(&shared, weights, NULL);
    check_close(sum.u_ph, 0.0, 0.0, "not in quadrature");
    check_close(sum.whole_half_ph, 0.0575, 1e-12, "by hand: half of 0.115");
    shared_clear(&shared);
}

/* The whole budget by source is the whole budget, wherever the solution was read. */
static void
sources_add_up_to_the_budget(void **state)
{
    static const double temperatures_c[] = {16.0, 25.0, 38.5, 40.0, 48.0};
    static const double readings[] = {8.6, 9.18, 10.4, 11.9, 12.3};
    const struct scatter scatter = {.sd_ph = 0.03, .dof = 6.0};

    (void)state;
    for (size_t i = 0; i < LENGTH(temperatures_c) * LENGTH(readings); i++) {
        struct dossier bench;
        int64_t specimen = bench_ready(&bench);
        struct reading_valuer valuer = {.dossier = &bench};
        struct reading_value value = {0};
        struct failure failure = {0};
        struct budget budget = {0};

        bench_ph(&bench, specimen, readings[i % LENGTH(readings)], temperatures_c[i / LENGTH(readings)]);
        check_ok(reading_value_of(&valuer, &bench.readings[0], &value, &failure), &failure);
        check_ok(budget_of(&value, 1, &scatter, &budget, &failure), &failure);
        check_close(sources_u_ph(&budget.sources),
                    hypot(budget.total.standard_uncertainty, budget.share_half_ph / sqrt(3.0)), 1e-12,
                    "the same parts, and the share that the budget keeps whole");
        check_close(budget.sources.ph, value.ph_at_reference, 0.0, "their pH");
        reading_valuer_clear(&valuer);
        dossier_clear(&bench);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_source_is_shared_when_it_is_the_same_one),
    cmocka_unit_test(parts_of_one_source_add_up_with_their_signs),
    cmocka_unit_test(what_finds_no_room_is_not_lost),
    cmocka_unit_test(a_day_is_the_mean_of_its_results),
    cmocka_unit_test(sensitivities_are_taken_at_the_fitted_ph),
    cmocka_unit_test(the_free_share_is_kept_apart_to_be_added_whole),
    cmocka_unit_test(sources_add_up_to_the_budget),
};
const struct check_module test_assess_sources = CHECK_MODULE("assess/sources", tests);
