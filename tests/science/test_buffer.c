/* test_buffer.c - buffers by name and by temperature, against a second published table. */
#include "buffer.h"
#include "check.h"
#include "table_buffers.h"

static const struct buffer *
find(const char *name)
{
    struct failure failure = {0};
    const struct buffer *buffer = NULL;

    check_ok(buffer_find(name, &buffer, &failure), &failure);
    assert_non_null(buffer);
    return buffer;
}

static const struct {
    const char *written, *name;
} names[] = {
    {"borax", "borax"},
    {"Borax buffer", "borax"},
    {"pH 9.18", "borax"},
    {"lime water", "calcium-hydroxide"},
    {"Lime-Water", "calcium-hydroxide"},
    {"calcium hydroxide", "calcium-hydroxide"},
    {"ph 7.00", "technical-7.00"},
    {"pH7", "technical-7.00"},
    {"7,00", "technical-7.00"},
    {"technical-7.00", "technical-7.00"},
    {"technical 10.01", "technical-10.01"},
    {"buffer 4", "technical-4.00"},
    {"pH 4.01", "phthalate"},
    {"phosphate", "phosphate"},
    {"phosphate-1-3.5", "phosphate-1-3.5"},
    {"6.86", "phosphate"},
};

static void
a_buffer_is_found_by_the_names_people_use(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(names); i++)
        assert_string_equal(find(names[i].written)->name, names[i].name);
}

static void
every_listed_buffer_has_a_table_and_is_found_by_its_name(void **state)
{
    (void)state;
    assert_int_equal(buffer_count(), 12);
    for (size_t i = 0; i < buffer_count(); i++) {
        const struct buffer *buffer = buffer_at(i);
        double low_c = NAN, high_c = NAN;

        assert_ptr_equal(find(buffer->name), buffer);
        buffer_range(buffer, &low_c, &high_c);
        assert_true(low_c < high_c);
        assert_true(strlen(buffer_source(buffer)) > 10);
        assert_true(i == 0 || strcmp(buffer_at(i - 1)->name, buffer->name) < 0);
    }
    for (size_t i = 0; i < table_buffers_length; i++)
        find(table_buffers[i].buffer);
}

static void
an_unknown_buffer_is_refused_with_a_near_one_and_where_all_are(void **state)
{
    static const char *const unknown[] = {"", "ph", "buffer", "pH 7.2", "vinegar"};
    struct failure failure = {0};
    const struct buffer *untouched = NULL;

    (void)state;
    for (size_t i = 0; i < LENGTH(unknown); i++) {
        check_refused(buffer_find(unknown[i], &untouched, &failure), STATUS_MISSING, &failure);
        check_contains(
            failure.text,
            "there is borax, lime water, pH 7.00 and more (curetrace calibrate --how-to lists all)");
        assert_null(untouched);
    }
    check_refused(buffer_find("boraks", &untouched, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text,
                   "there is no buffer 'boraks'; did you mean 'borax'? (curetrace calibrate --how-to");
}

/* Printed to three decimals: a row of the table is given back as it stands. */
static void
a_temperature_of_the_table_gives_its_row(void **state)
{
    (void)state;
    for (size_t i = 0; i < table_buffers_length; i++) {
        const struct buffer_row *row = &table_buffers[i];
        struct failure failure = {0};
        double ph = NAN;

        if (strcmp(row->role, "use") != 0)
            continue;
        check_ok(buffer_ph(find(row->buffer), row->temperature_c, &ph, &failure), &failure);
        check_close(ph, row->ph, 1e-12, row->source);
    }
}

/* The pharmacopoeia prints two decimals (half of the last: 0.005) of values whose third is uncertain by
 * another 0.005. The manual's table for bought pH 7 is of another maker's mixture, which differs by up to
 * 0.015 above 30 degC; the buffer's own label comes first there. */
static void
pharmacopoeia_and_manual_tables_agree(void **state)
{
    size_t checked = 0;

    (void)state;
    for (size_t i = 0; i < table_buffers_length; i++) {
        const struct buffer_row *row = &table_buffers[i];
        struct failure failure = {0};
        double ph = NAN;

        if (strcmp(row->role, "check") != 0)
            continue;
        check_ok(buffer_ph(find(row->buffer), row->temperature_c, &ph, &failure), &failure);
        check_close(ph, row->ph, strcmp(row->buffer, "technical-7.00") == 0 ? 0.015 + 0.005 : 0.01,
                    row->source);
        checked++;
    }
    assert_int_equal(checked, 54);
}

/* Borax at 22.5 degC lies between the printed 9.207 (22) and 9.197 (23). */
static void
between_two_rows_the_ph_is_interpolated(void **state)
{
    struct failure failure = {0};
    double ph = NAN;

    (void)state;
    check_ok(buffer_ph(find("borax"), 22.5, &ph, &failure), &failure);
    check_close(ph, 9.202, 5e-4, "NBS/IUPAC table, mean of two neighbours");
    check_ok(buffer_ph(find("lime water"), 42.5, &ph, &failure), &failure);
    check_close(ph, (11.984 + 11.841) / 2.0, 1e-9, "NBS/IUPAC table, mean of two neighbours");
}

static void
outside_its_table_a_buffer_has_no_ph(void **state)
{
    struct failure failure = {0};
    double untouched = -5.0;

    (void)state;
    check_refused(buffer_ph(find("lime water"), 60.1, &untouched, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "known from 0 to 60 degC, not at 60.1");
    check_refused(buffer_ph(find("tartrate"), 24.9, &untouched, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "25 to 95 degC");
    check_refused(buffer_ph(find("borax"), -0.1, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(buffer_ph(find("borax"), NAN, &untouched, &failure), STATUS_RANGE, &failure);
    check_close(untouched, -5.0, 0.0, "a refusal leaves the result alone");
}

static void
two_buffers_can_be_made_in_a_kitchen_and_are_trusted_less(void **state)
{
    struct failure failure = {0};
    double u_ph = NAN;
    size_t kitchen = 0;

    (void)state;
    for (size_t i = 0; i < buffer_count(); i++)
        kitchen += buffer_at(i)->how_to != NULL;
    assert_int_equal(kitchen, 2);
    check_contains(find("borax")->how_to, "3.80 g");
    check_contains(find("lime water")->caution, "gloves and goggles");
    check_ok(buffer_uncertainty(find("borax"), true, &u_ph, &failure), &failure);
    check_close(u_ph, 0.02, 0.0, "common practice, no source");
    check_ok(buffer_uncertainty(find("pH 7"), false, &u_ph, &failure), &failure);
    check_close(u_ph, 0.01, 0.0, "common practice, no source");
    check_refused(buffer_uncertainty(find("pH 7"), true, &u_ph, &failure), STATUS_CONFLICT, &failure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_buffer_is_found_by_the_names_people_use),
    cmocka_unit_test(every_listed_buffer_has_a_table_and_is_found_by_its_name),
    cmocka_unit_test(an_unknown_buffer_is_refused_with_a_near_one_and_where_all_are),
    cmocka_unit_test(a_temperature_of_the_table_gives_its_row),
    cmocka_unit_test(pharmacopoeia_and_manual_tables_agree),
    cmocka_unit_test(between_two_rows_the_ph_is_interpolated),
    cmocka_unit_test(outside_its_table_a_buffer_has_no_ph),
    cmocka_unit_test(two_buffers_can_be_made_in_a_kitchen_and_are_trusted_less),
};

const struct check_module test_science_buffer = CHECK_MODULE("science/buffer", tests);
