/* filled_notebook.c - a notebook with rows in every table and every column. */
#include "filled_notebook.h"

#include "check.h"
#include "store_internal.h"

/* In each statement :n makes what must be unique; parents are the latest rows of their tables. */
static const struct {
    const char *table, *sql;
} fillings[] = {
    {"procedure", "INSERT INTO procedure (hash, name, text, added_at) VALUES (printf('%064d', :n), 'room', "
                  "'[step]' || char(10) || 'say = \"so\"', '2026-03-01T09:00') RETURNING id"},
    {"batch",
     "INSERT INTO batch (code, title, made_on, role, reference, parent, note, added_at) VALUES "
     "('W-' || :n, 'oat \"bar\"', '2026-03-02', 'control', NULL, NULL, 'tab' || char(9) || 'and \\', "
     "'2026-03-02T10:00') RETURNING id"},
    {"batch", "INSERT INTO batch (code, title, made_on, role, reference, parent, note, added_at) VALUES "
              "('V-' || :n, NULL, '2026-03-03', 'variant', (SELECT max(id) FROM batch), (SELECT max(id) FROM "
              "batch), NULL, '2026-03-03T10:00:30') RETURNING id"},
    {"recipe_line",
     "INSERT INTO recipe_line (batch, kind, name, mass_g, purity_fraction, sv_min_mg_koh_per_g, "
     "sv_max_mg_koh_per_g) VALUES ((SELECT max(id) FROM batch), 'fat', 'olive oil', 500.0, 0.985 + 0 * "
     ":n, 188.1, 192.7) RETURNING id"},
    {"gear",
     "INSERT INTO gear (name, kind, resolution_ph, accuracy_ph, atc, expires_on, note, added_at) VALUES "
     "('bench ' || :n, 'meter', 0.01, 0.02, 1, '2027-01-01', 'green', '2026-03-01T08:00') RETURNING id"},
    {"gear", "INSERT INTO gear (name, kind, atc, steps, note, added_at) VALUES ('strips ' || :n, 'paper', 0, "
             "'7,8,9,10', NULL, '2026-03-01T08:00') RETURNING id"},
    {"gear",
     "INSERT INTO gear (name, kind, readability_g, added_at) VALUES ('scale ' || :n, 'balance', 0.01, "
     "'2026-03-01T08:00') RETURNING id"},
    {"gear", "INSERT INTO gear (name, kind, resolution_c, accuracy_c, added_at) VALUES ('probe ' || :n, "
             "'thermometer', 0.1, 0.5, '2026-03-01T08:00') RETURNING id"},
    {"gear", "INSERT INTO gear (name, kind, buffer, expires_on, added_at) VALUES ('bottle ' || :n, 'buffer', "
             "'borax', '2026-12-31', '2026-03-01T08:00') RETURNING id"},
    {"calibration",
     "INSERT INTO calibration (meter, taken_at, purpose, declared, slope_percent, offset_mv, verdict, "
     "reason, note) VALUES ((SELECT max(id) FROM gear WHERE kind = 'meter'), '2026-03-04T09:30', "
     "'calibration', 0, 97.3, -4.25 + 0 * :n, 'marginal', 'old', 'warm') RETURNING id"},
    {"calibration_point",
     "INSERT INTO calibration_point (calibration, buffer, kitchen_made, temperature_c, "
     "displayed_ph, potential_mv, table_ph) VALUES ((SELECT max(id) FROM calibration), 'borax', 1, "
     "24.5, 9.19, -127.75 + 0 * :n, 9.185) RETURNING id"},
    {"session",
     "INSERT INTO session (procedure, started_at, limit_ph, meter, paper, balance, thermometer, note) "
     "VALUES ((SELECT max(id) FROM procedure), '2026-03-04T10:00', 11.0, (SELECT max(id) FROM gear WHERE "
     "kind = 'meter'), (SELECT max(id) FROM gear WHERE kind = 'paper'), (SELECT max(id) FROM gear WHERE "
     "kind = 'balance'), (SELECT max(id) FROM gear WHERE kind = 'thermometer'), 'rain ' || :n) RETURNING id"},
    {"specimen",
     "INSERT INTO specimen (session, batch, bar, stated_concentration_pct) VALUES ((SELECT max(id) FROM "
     "session), (SELECT max(id) FROM batch), 'bar ' || :n, 1.003) RETURNING id"},
    {"weighing",
     "INSERT INTO weighing (specimen, weighed, mass_g, balance, taken_at) VALUES ((SELECT max(id) FROM "
     "specimen), 'soap', 1.03 + 0 * :n, (SELECT max(id) FROM gear WHERE kind = 'balance'), "
     "'2026-03-04T10:05') RETURNING id"},
    {"weighing",
     "INSERT INTO weighing (specimen, weighed, mass_g, balance, taken_at, supersedes, why) VALUES ((SELECT "
     "max(id) FROM specimen), 'soap', 1.04 + 0 * :n, NULL, '2026-03-04T10:06', (SELECT max(id) FROM "
     "weighing), 'misread') RETURNING id"},
    {"answer",
     "INSERT INTO answer (session, specimen, step, replicate, outcome, value, value_high, temperature_c, "
     "text, deviation, why, answered_at, supersedes) VALUES ((SELECT max(id) FROM session), (SELECT max(id) "
     "FROM specimen), 'water', :n, 'done', 6.9, 7.1, 39.5, 'clear', 'cold', 'no kettle', "
     "'2026-03-04T10:07', (SELECT max(id) FROM answer)) RETURNING id"},
    {"reading",
     "INSERT INTO reading (specimen, method, gear, replicate, ph, temperature_c, taken_at, calibration, "
     "note) "
     "VALUES ((SELECT max(id) FROM specimen), 'meter', (SELECT max(id) FROM gear WHERE kind = 'meter'), :n, "
     "9.87, 40.1, '2026-03-04T10:10', (SELECT max(id) FROM calibration), 'steady') RETURNING id"},
    {"reading",
     "INSERT INTO reading (specimen, method, gear, replicate, ph, temperature_c, taken_at, calibration, "
     "supersedes, why) VALUES ((SELECT max(id) FROM specimen), 'meter', (SELECT max(id) FROM gear WHERE kind "
     "= 'meter'), :n, 9.78, 40.1, '2026-03-04T10:10', (SELECT max(id) FROM calibration), (SELECT max(id) "
     "FROM "
     "reading), 'digits turned') RETURNING id"},
    {"reading",
     "INSERT INTO reading (specimen, method, gear, replicate, ph_low, ph_high, temperature_c, taken_at) "
     "VALUES "
     "((SELECT max(id) FROM specimen), 'paper', (SELECT max(id) FROM gear WHERE kind = 'paper'), :n, 9.0, "
     "10.0, NULL, '2026-03-04T10:12') RETURNING id"},
    {"titration",
     "INSERT INTO titration (batch, session, replicate, soap_mass_g, acid_mol_per_l, u_acid_relative, "
     "volume_ml, blank_ml, burette_ml, balance, method, taken_at, supersedes, why, note) VALUES ((SELECT "
     "max(id) FROM batch), (SELECT max(id) FROM session), :n, 5.02, 0.1, 0.005, 0.8, 0.05, 0.05, (SELECT "
     "max(id) FROM gear WHERE kind = 'balance'), 'ethanol', '2026-03-05T10:00', (SELECT max(id) FROM "
     "titration), 'bubble', 'pink') RETURNING id"},
    {"state_change",
     "INSERT INTO state_change (batch, state, at, why, evidence, overridden, automatic) VALUES ((SELECT "
     "max(id) FROM batch), 'held', '2026-03-05T11:00', 'zap ' || :n, '3 readings', 1, 1) RETURNING id"},
    {"plan_entry",
     "INSERT INTO plan_entry (batch, due_on, what, why, added_at) VALUES ((SELECT max(id) FROM batch), "
     "'2026-04-01', 'test', 'week ' || :n, '2026-03-05T11:01') RETURNING id"},
    {"plan_drop", "INSERT INTO plan_drop (plan_entry, at, why) VALUES ((SELECT max(id) FROM plan_entry), "
                  "'2026-03-06T11:00', 'sold out ' || :n) RETURNING id"},
    {"session_close",
     "INSERT INTO session_close (session, finished_at, left_open) VALUES ((SELECT max(id) FROM "
     "session), '2026-03-04T11:00', 'paper ' || :n) RETURNING id"},
    {"setting",
     "INSERT INTO setting (name, value, at, why) VALUES ('limit_ph', '11', '2026-03-01T08:30', 'usual ' || "
     ":n) RETURNING id"},
    {"session", "INSERT INTO session (started_at, limit_ph, clear_ph, usual_low_ph, note, read_by) VALUES "
                "('2026-03-06T10:00', 10.9, 10.5, 8.25, 'bounds ' || :n, 'A. ' || :n) RETURNING id"},
    {"titration",
     "INSERT INTO titration (batch, replicate, soap_mass_g, acid_mol_per_l, volume_ml, taken_at, bar, "
     "read_by) "
     "VALUES ((SELECT max(id) FROM batch), :n, 10.0, 0.1, 1.25, '2026-03-06', 'bar ' || :n, 'B.') "
     "RETURNING id"},
    {"state_change",
     "INSERT INTO state_change (batch, state, at, why, overridden, automatic, rule) VALUES ((SELECT max(id) "
     "FROM batch), 'released', '2026-04-05T11:00', 'fit ' || :n, 0, 0, 2) RETURNING id"},
    {"recipe_revision",
     "INSERT INTO recipe_revision (batch, why, added_at) VALUES ((SELECT max(id) FROM batch), "
     "'lye was ' || :n, '2026-03-06T11:00') RETURNING id"},
    {"recipe_line",
     "INSERT INTO recipe_line (batch, kind, name, mass_g, revision) VALUES ((SELECT max(id) FROM "
     "batch), 'lye', 'NaOH', 70.5 + 0 * :n, (SELECT max(id) FROM recipe_revision)) RETURNING id"},
    {"observation",
     "INSERT INTO observation (session, kind, word, seen_at) VALUES ((SELECT max(id) FROM session), "
     "'water', 'distilled', '2026-03-06T10:0' || (:n % 10)) RETURNING id"},
    {"observation",
     "INSERT INTO observation (session, specimen, kind, word, seen_at) VALUES ((SELECT session FROM specimen "
     "ORDER BY id DESC LIMIT 1), (SELECT max(id) FROM specimen), 'look', 'white', '2026-03-06T10:0' || "
     "(:n % 10)) RETURNING id"},
    {"observation",
     "INSERT INTO observation (session, kind, value, seen_at, supersedes, why) VALUES ((SELECT max(id) "
     "FROM session), 'water-ph', 6.5 + 0 * :n, '2026-03-06T10:02', (SELECT max(id) FROM observation), "
     "'misread') RETURNING id"},
    {"bar_used_up",
     "INSERT INTO bar_used_up (batch, bar, used_up_on, added_at) VALUES ((SELECT max(id) FROM batch), "
     "'bar ' || :n, '2026-03-07', '2026-03-07T12:00') RETURNING id"},
    {"bar_used_up",
     "INSERT INTO bar_used_up (batch, bar, added_at, supersedes, why) VALUES ((SELECT max(id) FROM batch), "
     "'bar ' "
     "|| :n, '2026-03-08T12:00', (SELECT max(id) FROM bar_used_up), 'found one more') RETURNING id"},
    {"calibration", "INSERT INTO calibration (meter, taken_at, purpose, declared, verdict, withdrawn) VALUES "
                    "((SELECT max(id) FROM gear WHERE kind = 'meter'), '2026-03-09T08:0' || (:n % 10), "
                    "'calibration', 1, 'accepted', 1) RETURNING id"},
    {"weighing",
     "INSERT INTO weighing (specimen, weighed, mass_g, taken_at, supersedes, why, withdrawn) VALUES ((SELECT "
     "max(id) FROM specimen), 'water', 99.0, '2026-03-09T09:00', (SELECT max(id) FROM weighing), 'spilt ' || "
     ":n, 1) RETURNING id"},
    {"titration",
     "INSERT INTO titration (batch, replicate, soap_mass_g, acid_mol_per_l, volume_ml, taken_at, supersedes, "
     "why, withdrawn) VALUES ((SELECT max(id) FROM batch), :n, 10.0, 0.1, 1.25, '2026-03-06', (SELECT "
     "max(id) FROM titration), 'no blank', 1) RETURNING id"},
    {"reading",
     "INSERT INTO reading (specimen, method, gear, replicate, ph, temperature_c, taken_at, calibration, "
     "calibration_named, approximate) VALUES ((SELECT max(id) FROM specimen), 'meter', (SELECT max(id) FROM "
     "gear WHERE "
     "kind = 'meter'), :n, 9.87, 40.1, '2026-03-09T10:10', (SELECT max(id) FROM calibration), 1, 1) "
     "RETURNING "
     "id"},
    {"gear", "INSERT INTO gear (name, kind, resolution_ph, added_at, retired, usual) VALUES ('old ' || :n, "
             "'meter', 0.1, '2026-03-01T09:00', 1, 0) RETURNING id"},
    {"state_change",
     "INSERT INTO state_change (batch, state, at, why, overridden, automatic, rule, since_at) VALUES "
     "((SELECT "
     "max(id) FROM batch), 'held', '2026-04-06T11:00', 'late ' || :n, 0, 0, 2, '2026-04-02T10:00') RETURNING "
     "id"},
    {"titration", "INSERT INTO titration (batch, replicate, soap_mass_g, acid_mol_per_l, volume_ml, "
                  "taken_at, acid_weighed) VALUES "
                  "((SELECT max(id) FROM batch), :n, 10.0, 0.1, 1.25, '2026-03-07', 1) RETURNING id"},
    {"reading", "INSERT INTO reading (specimen, method, gear, replicate, ph_low, ph_high, taken_at, "
                "on_surface) VALUES ((SELECT "
                "max(id) FROM specimen), 'paper', (SELECT max(id) FROM gear WHERE kind = 'paper'), :n, 8, 9, "
                "'2026-03-09T10:20', 1) RETURNING id"},
    {"batch_close",
     "INSERT INTO batch_close (batch, reason, closed_on, added_at) VALUES ((SELECT max(id) FROM batch), "
     "'sold', '2026-05-0' || (:n % 9 + 1), '2026-05-10T12:00') RETURNING id"},
    {"batch_close",
     "INSERT INTO batch_close (batch, added_at, supersedes, why) VALUES ((SELECT max(id) FROM batch), "
     "'2026-05-11T12:00', (SELECT max(id) FROM batch_close), 'three left ' || :n) RETURNING id"},
    {"correction",
     "INSERT INTO correction (record, number, field, value, why, at, who) VALUES ('batch', (SELECT max(id) "
     "FROM "
     "batch), 'title', 'oat ' || :n, 'misspelt', '2026-04-07T11:00', 'the maker') RETURNING id"},
};

void
notebook_journal(struct store *store, const char *table, int64_t first, int64_t last)
{
    struct failure failure = {0};
    size_t number = table_find(table);
    const struct table *known = table_open(store, number, &failure);
    struct statement *rows = table_rows(store, number, first, last, &failure);
    struct table_value values[TABLE_COLUMNS_MOST];
    struct canonical_rows gathered = {0};
    bool row = false;

    assert_non_null(rows);
    canonical_rows_start(&gathered);
    while (statement_step(rows, &row, &failure) == STATUS_OK && row) {
        size_t count = table_load(rows, values);

        canonical_add_row(canonical_rows_next(&gathered), known->columns, values, count);
        canonical_rows_add(&gathered);
    }
    statement_done(rows);
    check_ok(journal_entry(store, table, first, last, canonical_rows_text(&gathered), &failure), &failure);
    canonical_rows_clear(&gathered);
}

/* Its SQL may do what no record does. */
static void
add(struct store *store, const char *table, const char *sql, int64_t n)
{
    struct failure failure = {0};
    struct statement *insert = statement_open(store, sql, &failure);
    bool row = false;
    int64_t id;

    if (insert == NULL)
        print_error("%s\n", failure.text);
    assert_non_null(insert);
    check_ok(store_begin(store, &failure), &failure);
    statement_bind_int(insert, ":n", n);
    check_ok(statement_step(insert, &row, &failure), &failure);
    assert_true(row);
    id = statement_id(insert, 0);
    check_ok(statement_step(insert, &row, &failure), &failure);
    statement_done(insert);
    notebook_journal(store, table, id, id);
    check_ok(store_end(store, STATUS_OK, &failure), &failure);
}

void
notebook_fill(struct store *store)
{
    struct failure failure = {0};
    struct statement *count;
    int64_t n;
    bool row = false;

    count = statement_open(store, "SELECT count(*) + 1 FROM setting", &failure);
    assert_non_null(count);
    check_ok(statement_step(count, &row, &failure), &failure);
    n = statement_int(count, 0);
    statement_done(count);
    for (size_t i = 0; i < LENGTH(fillings); i++)
        add(store, fillings[i].table, fillings[i].sql, n);
}
