/* test_distribution.c - Student's t against R 4.2.2 (distribution.R and power.R beside this file). */
#include "check.h"
#include "distribution.h"

static const struct {
    double t, dof, above;
} tails[] = {
    {0.1, 0.5, 0.473165810564303},     {2, 0.5, 0.222757445091566},      {12, 0.5, 0.0925302605346011},
    {0.1, 1, 0.468274482569446},       {2, 1, 0.147583617650433},        {12, 1, 0.0264646760595899},
    {0.1, 2, 0.46473271920707},        {2, 2, 0.091751709536137},        {12, 2, 0.00343646683857923},
    {0.1, 3.3, 0.463057501623326},     {2, 3.3, 0.0654794322197247},     {12, 3.3, 0.000389296060846694},
    {0.1, 12.8, 0.460946794332609},    {2, 12.8, 0.033590164157964},     {12, 12.8, 1.23218694745008e-08},
    {0.1, 31, 0.46049412270398},       {2, 31, 0.0271636076835879},      {12, 31, 1.73896340020987e-13},
    {0.1, 100, 0.460272265547926},     {2, 100, 0.0241060893655668},     {12, 100, 2.19754385780218e-21},
    {0.1, 10000, 0.460173165015537},   {2, 10000, 0.0227636303307177},   {12, 10000, 2.98988980390568e-33},
    {0.1, 1000000, 0.460172172746022}, {2, 1000000, 0.0227502669256596}, {12, 1000000, 1.78584256238253e-33},
};

static const struct {
    double probability, dof, t;
} quantiles[] = {
    {0.001, 1, -318.30883898555},       {0.4, 1, -0.324919696232906},     {0.975, 1, 12.7062047361747},
    {0.001, 2.5, -13.822193110866},     {0.4, 2.5, -0.281459512748548},   {0.975, 2.5, 3.57465484200369},
    {0.001, 7, -4.78528962863833},      {0.4, 7, -0.263166861352023},     {0.975, 7, 2.36462425159278},
    {0.001, 40, -3.30687771408582},     {0.4, 40, -0.255038686345814},    {0.975, 40, 2.02107539030627},
    {0.001, 100000, -3.09031380942724}, {0.4, 100000, -0.25334777715718}, {0.975, 100000, 1.95998770753461},
};

/* power.R beside this file: R's pt(), and beyond the reach of its series the defining integral. */
static const struct {
    double t, dof, noncentrality, above;
} noncentral[] = {
    {2, 3, 1.5, 0.400323731629342},  {12.7, 1, 5, 0.305300819123819},   {2.3, 8, -1, 0.00219005396485039},
    {-1, 5, 0.7, 0.943041952634128}, {-3, 20, -2.5, 0.661602873493125}, {0, 4, 1.2, 0.884930329778292},
    {2, 4, 0, 0.0580582617584078},   {30, 10, 25, 0.27143876066317},    {2, 1000, 2.5, 0.691462658822107},
    {40, 50, 36, 0.178552649124467}, {0.5, 1.5, 3, 0.993416553843714},  {100, 30, 100, 0.5341935307837},
    {190, 60, 200, 0.7359745878402}, {520, 40, 500, 0.3931423058002},
};

static void
tails_agree_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(tails); i++) {
        double above = student_t_above(tails[i].t, tails[i].dof);

        /* relative, for the tails are tiny; GSL loses some digits for large t just above 30 dof */
        check_close(above / tails[i].above, 1.0, 1e-7, "R pt()");
        check_close(student_t_below(tails[i].t, tails[i].dof), 1.0 - tails[i].above, 2e-14, "R pt()");
        check_close(student_t_two_sided(-tails[i].t, tails[i].dof), 2.0 * above, 1e-15, "symmetry");
    }
}

static void
quantiles_agree_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(quantiles); i++)
        check_close(student_t_quantile(quantiles[i].probability, quantiles[i].dof) / quantiles[i].t, 1.0,
                    1e-12, "R qt()");
}

static void
noncentral_tails_agree_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(noncentral); i++) {
        double above = noncentral_t_above(noncentral[i].t, noncentral[i].dof, noncentral[i].noncentrality);

        check_close(above, noncentral[i].above, 1e-10, "R pt() with ncp, or integrate()");
        check_close(noncentral_t_above(-noncentral[i].t, noncentral[i].dof, -noncentral[i].noncentrality),
                    1.0 - above, 1e-12, "mirror");
    }
    check_close(noncentral_t_above(2.0, INFINITY, 1.0), 0.158655253931457, 1e-14, "normal table at 1");
    for (double dof = 0.5; dof < 1e5; dof *= 7.0)
        check_close(noncentral_t_above(1.7, dof, 0.0), student_t_above(1.7, dof), 1e-12, "the central t");
}

static void
infinite_degrees_of_freedom_are_the_normal_distribution(void **state)
{
    (void)state;
    check_close(student_t_above(1.6448536269514722, INFINITY), 0.05, 1e-15, "normal table, R qnorm()");
    check_close(student_t_quantile(0.975, INFINITY), 1.959963984540054, 1e-14, "R qnorm(0.975)");
}

static void
what_cannot_be_is_not_a_number(void **state)
{
    (void)state;
    assert_true(isnan(student_t_below(NAN, 3.0)));
    assert_true(isnan(noncentral_t_above(1.0, 0.0, 1.0)));
    assert_true(isnan(noncentral_t_above(1.0, 3.0, NAN)));
    assert_true(isnan(student_t_below(1.0, 0.0)));
    assert_true(isnan(student_t_below(1.0, NAN)));
    assert_true(isnan(student_t_quantile(0.0, 3.0)));
    assert_true(isnan(student_t_quantile(1.0, 3.0)));
    assert_true(isnan(student_t_coverage_factor(1.0, 3.0)));
    assert_true(isnan(student_t_coverage_factor(0.95, -1.0)));
}

static void
chi_squared_agrees_with_r(void **state)
{
    (void)state; /* R: pchisq(x, dof, lower.tail = FALSE), in ../assess/cure.R */
    check_close(chi_squared_above(3.2, 1.0), 0.0736382701203, 1e-12, "R pchisq()");
    check_close(chi_squared_above(16.0, 9.0), 0.0668815877741, 1e-12, "R pchisq()");
    check_close(chi_squared_above(150.0, 100.0), 0.000903932042354, 1e-14, "R pchisq()");
    check_close(chi_squared_above(0.0, 4.0), 1.0, 0.0, "definition");
    assert_true(isnan(chi_squared_above(-1.0, 4.0)) && isnan(chi_squared_above(1.0, 0.0)));
    assert_true(isnan(chi_squared_above(NAN, 4.0)) && isnan(chi_squared_above(1.0, INFINITY)));
}

static void
a_rectangle_with_a_normal_variable_agrees_with_r(void **state)
{
    static const struct {
        double half_width, sd, probability, x;
    } known[] = {
        {0.1, 0.02, 0.975, 0.10689734928}, {0.1, 0.1, 0.975, 0.225413708334},
        {0.2, 0.01, 0.99, 0.199978863431}, {0.05, 0.2, 0.95, 0.332381747662},
        {1, 0.3, 0.6, 0.200353716197},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++)
        check_close(rectangle_normal_quantile(known[i].half_width, known[i].sd, known[i].probability),
                    known[i].x, 1e-10, "R integrate() and uniroot()");
    check_close(rectangle_normal_quantile(0.002, 0.2, 0.975), 0.391999330049, 1e-9,
                "Simpson's rule and halving");
    check_close(rectangle_normal_quantile(0.001, 0.2, 0.99), 0.465271513423, 1e-9, "likewise");
    check_close(rectangle_normal_quantile(1e-4, 1.0, 0.5 + 5e-13), 1.2533e-12, 1e-15, "5e-13 sqrt(2 pi)");
    check_close(rectangle_normal_quantile(0.2, 0.0, 0.975), 0.19, 1e-15, "by hand: 95 % of the half-width");
    check_close(rectangle_normal_quantile(0.0, 0.2, 0.975), 0.2 * 1.959963984540054, 1e-15, "normal");
    check_close(rectangle_normal_quantile(0.0, 0.0, 0.975), 0.0, 0.0, "nothing");
    check_close(rectangle_normal_quantile(0.1, 0.1, 0.5), 0.0, 0.0, "the middle");
    assert_true(isnan(rectangle_normal_quantile(-0.1, 0.1, 0.9)));
    assert_true(isnan(rectangle_normal_quantile(0.1, (double)NAN, 0.9)));
    assert_true(isnan(rectangle_normal_quantile(0.1, 0.1, 1.0)));
}

/* GSL's own quantile fails there. */
static void
enormous_degrees_of_freedom_are_infinite_ones(void **state)
{
    static const double dofs[] = {1.1e6, 1e16, 1e53, 1e300};

    (void)state;
    for (size_t i = 0; i < LENGTH(dofs); i++) {
        check_close(student_t_quantile(0.975, dofs[i]), 1.959963984540054, 1e-14, "R qnorm(0.975)");
        check_close(student_t_above(2.0, dofs[i]), 0.0227501319481792, 1e-15, "R pnorm(-2)");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(tails_agree_with_r),
    cmocka_unit_test(quantiles_agree_with_r),
    cmocka_unit_test(noncentral_tails_agree_with_r),
    cmocka_unit_test(infinite_degrees_of_freedom_are_the_normal_distribution),
    cmocka_unit_test(what_cannot_be_is_not_a_number),
    cmocka_unit_test(chi_squared_agrees_with_r),
    cmocka_unit_test(a_rectangle_with_a_normal_variable_agrees_with_r),
    cmocka_unit_test(enormous_degrees_of_freedom_are_infinite_ones),
};

const struct check_module test_science_distribution = CHECK_MODULE("science/distribution", tests);
